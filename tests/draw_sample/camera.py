"""From linear light to a telephone's picture: tilt, turn, exposure, lens shade, softness, sensor noise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image

from .canvas import Canvas
from .noise import Field, blur, resize


@dataclass(frozen=True)
class View:
    """How the telephone was held: turn in degrees, tilt (0.1 is plain to see), out-of-focus toward an edge."""

    turn_deg: float = 0.0
    tilt: tuple[float, float] = (0.0, 0.0)
    zoom: float = 1.0
    soft_top: float = 0.0
    soft_bottom: float = 0.0
    exposure: float = 1.0


def _matrix(c: Canvas, view: View) -> Field:
    """Projective map from a picture's pixel to the drawn canvas' pixel."""
    turn = np.radians(view.turn_deg)
    size = c.width_px
    cos, sin, zoom = np.cos(turn), np.sin(turn), 1 / view.zoom
    middle = np.array([[1, 0, -c.width_px / 2], [0, 1, -c.height_px / 2], [0, 0, 1]])
    tilt = np.array(
        [[zoom * cos, -zoom * sin, 0], [zoom * sin, zoom * cos, 0], [view.tilt[0] / size, view.tilt[1] / size, 1]]
    )
    back = np.array([[1, 0, c.width_px / 2 + c.border], [0, 1, c.height_px / 2 + c.border], [0, 0, 1]])
    return back @ tilt @ middle


def seen_at(c: Canvas, view: View, point: tuple[float, float]) -> tuple[float, float]:
    """Where a point of the scene (mm) lies in the picture, 0 to 1 from the top left."""
    px = np.array([*((p - o) / c.mm + c.border for p, o in zip(point, c.origin, strict=True)), 1.0])
    across, down, scale = np.linalg.inv(_matrix(c, view)) @ px
    return float(across / scale / c.width_px), float(down / scale / c.height_px)


def _developed(light: Field, exposure: float) -> Field:
    """Expose for the bright parts, with a soft shoulder and the sRGB curve."""
    level = float(np.percentile(light[::7, ::7].mean(-1), 96))
    x = light * (0.48 * exposure / max(level**0.6 * 0.27**0.4, 1e-3))
    x = x * (1 + x / 2.2) / (1 + x)
    x = np.clip(x * 1.28, 0, 1)
    return np.where(x < 0.0031308, 12.92 * x, 1.055 * np.power(np.maximum(x, 1e-6), 1 / 2.4) - 0.055)


def photograph(c: Canvas, view: View) -> Image.Image:
    """Take the picture."""
    scene = Image.fromarray((_developed(c.light, view.exposure) * 255 + 0.5).astype("uint8"))
    m = _matrix(c, view)
    m = m / m[2, 2]
    taken = scene.transform(
        (c.width_px, c.height_px), Image.Transform.PERSPECTIVE, tuple(m.ravel()[:8]), Image.Resampling.BICUBIC
    )
    pixels = np.asarray(taken, "float32")
    height, width = pixels.shape[:2]
    v, u = np.mgrid[0:height, 0:width].astype("float32")
    u, v = u / width - 0.5, v / height - 0.5
    k = width / 1600
    far = np.clip(np.maximum(-v * 2, 0) * view.soft_top + np.maximum(v * 2, 0) * view.soft_bottom, 0, 1)[..., None]
    sharp = np.stack([blur(pixels[..., b], 0.55 * k) for b in range(3)], -1)
    if far.max() > 0:
        soft = np.stack([blur(pixels[..., b], 4.5 * k) for b in range(3)], -1)
        sharp = sharp + (soft - sharp) * far
    sharp = sharp * (1 - 0.42 * (u**2 + v**2) * 1.15)[..., None]
    return Image.fromarray(np.clip(sharp + _grain(c, sharp), 0, 255).astype("uint8"))


def _grain(c: Canvas, pixels: Field) -> Field:
    """Sensor noise: a little more in the shadows, colour noise coarser than brightness noise."""
    height, width = pixels.shape[:2]
    level = (1.9 - 0.9 * pixels.mean(-1) / 255)[..., None]
    bright = blur(c.rng.standard_normal((height, width), dtype="float32"), 0.6) * 1.9
    colour = np.stack(
        [resize(c.rng.standard_normal((height // 3, width // 3), dtype="float32"), width, height) for _ in range(3)],
        -1,
    )
    return level * (bright[..., None] + 0.7 * colour)

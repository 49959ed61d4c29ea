"""From linear light to what a telephone makes of it: lens, exposure, tone, noise, a restless hand. No `bpy`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .noise import blur, lattice
from .tone import encoded


@dataclass(frozen=True)
class Take:
    """How one picture was taken. `stops`: brighter than the telephone chose; `shake`, `soft`: pixels at 1600."""

    seed: int = 1
    stops: float = 0.0
    warm: float = 0.0
    shake: float = 0.8
    soft: float = 0.45
    noise: float = 1.0
    bend: float = 0.035
    local: float = 0.18


def lens_map(rendered: tuple[int, int], wanted: tuple[int, int], bend: float) -> tuple[np.ndarray, np.ndarray]:
    """Rows and columns of the render that a bent lens puts on each pixel; the middle keeps its scale."""
    rows, columns = np.indices(wanted, np.float32)
    y, x = rows - (wanted[0] - 1) / 2, columns - (wanted[1] - 1) / 2
    radius = np.hypot(x, y) / (0.5 * np.hypot(*wanted))
    grow = 1 + bend * radius**2
    return (rendered[0] - 1) / 2 + y * grow, (rendered[1] - 1) / 2 + x * grow


def through_lens(light: np.ndarray, wanted: tuple[int, int], bend: float) -> np.ndarray:
    """Resample light as the lens bends it."""
    y, x = lens_map(light.shape[:2], wanted, bend)
    y, x = np.clip(y, 0, light.shape[0] - 1.001), np.clip(x, 0, light.shape[1] - 1.001)
    i, j = y.astype(int), x.astype(int)
    fy, fx = (y - i)[..., None], (x - j)[..., None]
    top = light[i, j] * (1 - fx) + light[i, j + 1] * fx
    return (top * (1 - fy) + (light[i + 1, j] * (1 - fx) + light[i + 1, j + 1] * fx) * fy).astype(np.float32)


def labels_through_lens(truth: np.ndarray, wanted: tuple[int, int], bend: float) -> np.ndarray:
    """The truth on the picture's pixels: the nearest sample, never a mixture."""
    y, x = lens_map(truth.shape[:2], wanted, bend)
    i = np.clip(np.rint(y), 0, truth.shape[0] - 1).astype(int)
    return truth[i, np.clip(np.rint(x), 0, truth.shape[1] - 1).astype(int)]


def _shaken(light: np.ndarray, reach: float, rng: np.random.Generator) -> np.ndarray:
    """A hand's movement while the shutter was open: a short bent path."""
    if reach <= 0:
        return light
    steps = max(int(2 * reach) + 2, 3)
    turn, curl = rng.uniform(0, 2 * np.pi), rng.normal(0, 0.6)
    t = np.linspace(-0.5, 0.5, steps)
    dx, dy = reach * t * np.cos(turn + curl * t), reach * t * np.sin(turn + curl * t)
    pad = int(np.ceil(reach)) + 1
    wide = np.pad(light, ((pad, pad), (pad, pad), (0, 0)), "edge")
    high, across = light.shape[:2]
    out = np.zeros_like(light)
    for right, down in zip(dx + pad, dy + pad, strict=True):
        i, j, fy, fx = int(down), int(right), down % 1, right % 1
        for a, wa in ((i, 1 - fy), (i + 1, fy)):
            for b, wb in ((j, 1 - fx), (j + 1, fx)):
                out += wa * wb * wide[a : a + high, b : b + across]
    return out / steps


def _each(light: np.ndarray, sigma: float) -> np.ndarray:
    return np.stack([blur(light[..., k], sigma) for k in range(3)], -1)


def _exposed(light: np.ndarray, take: Take) -> np.ndarray:
    """The telephone's own exposure and white balance: half way to grey, weighted to the middle."""
    high, wide = light.shape[:2]
    y, x = np.mgrid[-1 : 1 : high * 1j, -1 : 1 : wide * 1j]
    weight = np.exp(-1.3 * (x * x + y * y))[..., None]
    mean = (light * weight).sum((0, 1)) / weight.sum()
    balance = (mean.mean() / np.maximum(mean, 1e-6)) ** 0.25
    balance *= np.array([1 + 0.08 * take.warm, 1, 1 - 0.08 * take.warm])
    lum = np.maximum((light * balance).mean(-1), 1e-6)
    key = np.exp((np.log(lum + 1e-4) * weight[..., 0]).sum() / weight.sum())
    key = max(key, float(np.percentile(lum, 96)) / 3.6)
    return light * balance * (0.125 / key) * 2**take.stops


def _toned(light: np.ndarray, local: float) -> np.ndarray:
    """Lift shadows and hold lights by neighbourhood, then a film-like curve; 0 to 255."""
    lum = np.maximum(light.mean(-1), 1e-5)
    base = blur(np.log(lum), 0.03 * light.shape[1])
    light = light * np.exp(-local * (base - np.log(0.17)))[..., None].clip(0.4, 2.6)
    top = 0.55
    over = np.maximum(light - top, 0)
    light = np.where(light > top, top + (1 - top) * (over / (over + (1 - top))), light)
    grey = light.mean(-1, keepdims=True)
    light = np.maximum(grey + 1.04 * (light - grey), 0)
    t = encoded(light) / 255
    return 255 * (t + 0.55 * (t - t * t) * (2 * t - 1))


def _noisy(picture: np.ndarray, amount: float, rng: np.random.Generator) -> np.ndarray:
    """A small sensor's grain: fine in brightness, blotchy in colour, more in the dark."""
    high, wide, _ = picture.shape
    dark = 1.35 - picture.mean(-1, keepdims=True) / 255
    fine = blur(rng.normal(0, 1, (high, wide)).astype(np.float32), 0.55)[..., None] * 3.4
    blots = np.stack([lattice(rng, (high, wide), (3.5, 3.5)) for _ in range(3)], -1)
    return picture + amount * dark * (1.5 * fine + 0.9 * (blots - blots.mean(-1, keepdims=True)))


def develop(light: np.ndarray, wanted: tuple[int, int], take: Take) -> np.ndarray:
    """Make the photograph: bytes (height, width, 3) of a wanted (height, width)."""
    rng = np.random.default_rng(take.seed)
    scale = max(wanted) / 1600
    light = through_lens(np.nan_to_num(light), wanted, take.bend)
    y, x = np.mgrid[-1 : 1 : wanted[0] * 1j, -1 : 1 : wanted[1] * 1j]
    light = light * (1 - 0.16 * (x * x + y * y))[..., None]
    light = _shaken(light, take.shake * scale, rng)
    light = _exposed(light, take)
    light = light + 0.025 * _each(np.minimum(light, 6), 22 * scale)  # stray light in a lens with a thumb mark on it
    light = _each(light, max(take.soft * scale, 0.3))
    picture = _noisy(_toned(light, take.local), take.noise, rng)
    picture = picture + 0.75 * (picture - _each(picture, 1.1))
    return np.clip(picture, 0, 255).round().astype(np.uint8)

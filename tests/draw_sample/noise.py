"""Noise, soft steps and blurs: the small tools under every surface."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Field = NDArray[np.float32]


def smooth(x: Field, start: float, end: float) -> Field:
    """Rise from 0 at `start` to 1 at `end` without a corner; falls when `end` is below `start`.

    >>> [float(v) for v in smooth(np.array([0.0, 1.0, 2.0], dtype="float32"), 0, 2)]
    [0.0, 0.5, 1.0]
    """
    t = np.clip((x - start) / (end - start), 0, 1)
    return t * t * (3 - 2 * t)


def mix(below: Field, above: Field | tuple[float, ...], share: Field | float) -> Field:
    """Cover a colour field by `share` (0 to 1) of another colour."""
    cover = np.asarray(share, "float32")[..., None]
    return (below + (np.asarray(above, "float32") - below) * cover).astype("float32")


def ramp(x: Field, stops: list[tuple[float, tuple[float, float, float]]]) -> Field:
    """Colour of each value along a list of (value, colour) stops."""
    at = [stop[0] for stop in stops]
    bands = [np.interp(x, at, [stop[1][band] for stop in stops]) for band in range(3)]
    return np.stack(bands, -1).astype("float32")


def resize(field: Field, width: int, height: int, how: Image.Resampling = Image.Resampling.BICUBIC) -> Field:
    """Resample a field to another size in pixels."""
    return np.asarray(Image.fromarray(field.astype("float32")).resize((width, height), how), "float32")


def _convolve(field: Field, kernel: Field, axis: int) -> Field:
    reach = len(kernel) // 2
    pad = [(reach, reach) if a == axis else (0, 0) for a in range(2)]
    padded = np.pad(field, pad, mode="edge")
    out = np.zeros_like(field)
    for i, weight in enumerate(kernel):
        window = [slice(None), slice(None)]
        window[axis] = slice(i, i + field.shape[axis])
        out += weight * padded[tuple(window)]
    return out


def blur(field: Field, sigma_px: float) -> Field:
    """Gaussian blur; wide ones are made on a smaller copy, which the eye cannot tell apart."""
    if sigma_px < 0.25:
        return field
    height, width = field.shape
    factor = max(1, int(sigma_px / 2.5))
    small = resize(field, max(4, width // factor), max(4, height // factor), Image.Resampling.BOX)
    sigma = sigma_px * small.shape[1] / width
    reach = max(1, int(np.ceil(2.6 * sigma)))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2).astype("float32")
    kernel /= kernel.sum()
    soft = _convolve(_convolve(small, kernel, 0), kernel, 1)
    return soft if factor == 1 else resize(soft, width, height)


def shifted(field: Field, right_px: int, down_px: int) -> Field:
    """Move a field; what comes in at the edge is empty."""
    out = np.zeros_like(field)
    height, width = field.shape
    src = field[max(0, -down_px) : height - max(0, down_px), max(0, -right_px) : width - max(0, right_px)]
    top, left = max(0, down_px), max(0, right_px)
    out[top : top + src.shape[0], left : left + src.shape[1]] = src
    return out


def fbm(rng: np.random.Generator, shape: tuple[int, int], cell_px: tuple[float, float], rough: float) -> Field:
    """Fractal noise about 0.5: octaves of smooth random lattices from `cell_px` (across, down) to the pixel."""
    height, width = shape
    out = np.zeros(shape, "float32")
    across, down = cell_px
    gain, total = 1.0, 0.0
    while min(across, down) >= 1.5 and total < 2.6:
        lattice = rng.random((int(height / down) + 4, int(width / across) + 4), dtype="float32") - 0.5
        big = resize(lattice, int(lattice.shape[1] * across), int(lattice.shape[0] * down))
        out += gain * big[int(down) : int(down) + height, int(across) : int(across) + width]
        total += gain
        gain, across, down = gain * rough, across / 2, down / 2
    return out / max(total, 1e-6) * 2.2 + 0.5

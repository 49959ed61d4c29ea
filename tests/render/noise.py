"""Random fields on a pixel grid, in numpy alone: every one comes from the generator that it is given."""

from __future__ import annotations

import numpy as np
from PIL import Image

Field = np.ndarray


def ramp(x: Field, low: float, high: float) -> Field:
    """Rise smoothly from 0 at `low` to 1 at `high`; falls when the two are swapped."""
    t = np.clip((x - low) / (high - low), 0, 1)
    return t * t * (3 - 2 * t)


def stretched(field: Field, shape: tuple[int, int], how: Image.Resampling = Image.Resampling.BICUBIC) -> Field:
    """Resample a field to another grid."""
    return np.asarray(Image.fromarray(field.astype(np.float32)).resize(shape[::-1], how), np.float32)


def lattice(rng: np.random.Generator, shape: tuple[int, int], cell: tuple[float, float]) -> Field:
    """Smooth noise of mean 0 and deviation about 1, whose bumps are `cell` = (across, down) pixels wide."""
    need = [int(np.ceil(n / c)) + 3 for n, c in zip(shape, cell[::-1], strict=True)]
    coarse = Image.fromarray(rng.normal(0, 1.25, need).astype(np.float32))
    start = rng.uniform(1, 1.9, 2)
    box = (start[1], start[0], start[1] + shape[1] / cell[0], start[0] + shape[0] / cell[1])
    return np.asarray(coarse.resize(shape[::-1], Image.Resampling.BICUBIC, box=box), np.float32)


def clouds(
    rng: np.random.Generator,
    shape: tuple[int, int],
    cell: float | tuple[float, float],
    octaves: int = 5,
    gain: float = 0.55,
) -> Field:
    """Noise summed over octaves, mean 0, deviation 1. `cell` in pixels of the coarsest octave."""
    across, down = cell if isinstance(cell, tuple) else (cell, cell)
    total = np.zeros(shape, np.float32)
    for octave in range(octaves):
        size = (max(across / 2**octave, 1.0), max(down / 2**octave, 1.0))
        total += gain**octave * lattice(rng, shape, size)
    total -= total.mean()
    return total / max(float(total.std()), 1e-6)


def warped(field: Field, right: Field, down: Field) -> Field:
    """Look up a field at places shifted by so many pixels (edges repeat)."""
    rows, columns = np.indices(field.shape, np.float32)
    x = np.clip(columns + right, 0, field.shape[1] - 1)
    y = np.clip(rows + down, 0, field.shape[0] - 1)
    i, j = y.astype(np.int32), x.astype(np.int32)
    fy, fx = y - i, x - j
    top = field[i, j] * (1 - fx) + field[i, np.minimum(j + 1, field.shape[1] - 1)] * fx
    i = np.minimum(i + 1, field.shape[0] - 1)
    low = field[i, j] * (1 - fx) + field[i, np.minimum(j + 1, field.shape[1] - 1)] * fx
    return (top * (1 - fy) + low * fy).astype(np.float32)


def blur(field: Field, sigma: float) -> Field:
    """Gaussian blur by `sigma` pixels; wide ones go over a coarser grid."""
    if sigma > 6:
        shrink = sigma / 3
        small = tuple(max(round(n / shrink), 2) for n in field.shape)
        return stretched(blur(stretched(field, small, Image.Resampling.BOX), 3.0), field.shape)
    reach = int(np.ceil(3 * sigma))
    weight = np.exp(-0.5 * (np.arange(-reach, reach + 1) / max(sigma, 1e-6)) ** 2)
    weight /= weight.sum()
    out = field.astype(np.float32)
    for axis in (0, 1):
        pad = [(0, 0), (0, 0)]
        pad[axis] = (reach, reach)
        wide, size = np.pad(out, pad, "edge"), field.shape[axis]
        out = sum(w * np.take(wide, range(k, k + size), axis) for k, w in enumerate(weight.astype(np.float32)))
    return out


def cells(rng: np.random.Generator, shape: tuple[int, int], cell: float) -> tuple[Field, Field, Field]:
    """Scatter one point a cell: distance to the nearest and the second (in cells), a random value of the nearest."""
    rows, columns = np.indices(shape, np.float32) / np.float32(cell)
    need = [int(n / cell) + 4 for n in shape]
    px, py, own = (rng.uniform(0, 1, need).astype(np.float32) for _ in range(3))
    i, j = rows.astype(np.int32), columns.astype(np.int32)
    near = np.full(shape, 9, np.float32)
    second, value = near.copy(), np.zeros(shape, np.float32)
    for di in (-1, 0, 1):
        for dj in (-1, 0, 1):
            a, b = i + di + 1, j + dj + 1
            away = np.hypot(i + di + py[a, b] - rows, j + dj + px[a, b] - columns)
            closer = away < near
            second = np.where(closer, near, np.minimum(second, away))
            value = np.where(closer, own[a, b], value)
            near = np.where(closer, away, near)
    return near, second, value


def runs(rng: np.random.Generator, source: Field, reach: float) -> Field:
    """Let what is in `source` run down the rows, `reach` pixels far, in uneven streaks; 0 to 1."""
    height, width = source.shape
    keep = 1 - 1 / (reach * np.clip(np.exp(0.7 * lattice(rng, (1, width), (9, 1))[0]), 0.15, 2.5))
    wander = np.cumsum(rng.normal(0, 0.05, height))
    out, row = np.zeros_like(source), np.zeros(width, np.float32)
    for k in range(height):
        row = np.maximum(row * keep, source[k])
        out[k] = row
    bend = 1.5 * lattice(rng, source.shape, (60, 90)) + wander[:, None].astype(np.float32)
    return warped(out, bend, np.zeros_like(bend))

"""Distances on a skin, in mm: to a path, along it, to a ring."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from .noise import Field
from .skin import Skin

Path = list[tuple[float, float]]


def _nearest(u: Field, v: Field, path: Path) -> tuple[Field, Field]:
    best, walked, gone = np.full(u.shape, 1e9, np.float32), np.zeros(u.shape, np.float32), 0.0
    for (x0, y0), (x1, y1) in pairwise(path):
        dx, dy = x1 - x0, y1 - y0
        long = float(np.hypot(dx, dy))
        t = np.clip(((u - x0) * dx + (v - y0) * dy) / long**2, 0, 1)
        d = np.hypot(u - x0 - t * dx, v - y0 - t * dy)
        closer = d < best
        best, walked = np.where(closer, d, best), np.where(closer, gone + t * long, walked)
        gone += long
    return best.astype(np.float32), walked.astype(np.float32)


def away(s: Skin, path: Path) -> Field:
    """Distance of every place from a path, mm."""
    return _nearest(s.u, s.v, path)[0]


def along(s: Skin, path: Path) -> Field:
    """Length along the path to the place nearest, mm."""
    return _nearest(s.u, s.v, path)[1]


def oval(s: Skin, at: tuple[float, float], size: tuple[float, float], turn: float = 0.0) -> Field:
    """0 at the centre, 1 on the rim of an oval of so many mm across and down, turned by degrees."""
    a = np.radians(turn)
    x, y = s.u - at[0], s.v - at[1]
    return np.hypot((x * np.cos(a) + y * np.sin(a)) * 2 / size[0], (y * np.cos(a) - x * np.sin(a)) * 2 / size[1])


def box(s: Skin, at: tuple[float, float], size: tuple[float, float], corner: float = 8) -> Field:
    """Signed distance (mm) to a box with round corners; below 0 inside."""
    x = np.abs(s.u - at[0]) - size[0] / 2 + corner
    y = np.abs(s.v - at[1]) - size[1] / 2 + corner
    return np.hypot(np.maximum(x, 0), np.maximum(y, 0)) + np.minimum(np.maximum(x, y), 0) - corner

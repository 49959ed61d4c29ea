"""Shapes of sheet metal: where a place of an unrolled skin lies, mm. x right, y away from the eye, z up."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from .noise import Field

Points = np.ndarray
Shape = Callable[[Field, Field], Points]
Vector = tuple[float, float, float]
Outline = list[tuple[float, float]]


def flat(corner: Vector, right: Vector = (1, 0, 0), down: Vector = (0, 0, -1)) -> Shape:
    """A plane from its upper left corner, along two directions of length 1."""
    o, r, d = (np.asarray(k, float) for k in (corner, right, down))
    return lambda u, v: o + u[..., None] * r + v[..., None] * d


def bend(points: Outline, radius: float) -> Outline:
    """Round the corners of an outline (y, z) by a radius."""
    out: Outline = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        p, a, b = np.array(here), np.array(before) - here, np.array(after) - here
        la, lb = np.hypot(*a), np.hypot(*b)
        half = np.arccos(np.clip(a @ b / la / lb, -1, 1)) / 2
        reach = min(radius / np.tan(half), 0.48 * la, 0.48 * lb)
        start, end = p + a / la * reach, p + b / lb * reach
        out += [tuple((1 - t) ** 2 * start + 2 * t * (1 - t) * p + t * t * end) for t in np.linspace(0, 1, 9)]
    return [*out, points[-1]]


def length(points: Outline) -> float:
    """Length of an outline, mm."""
    return float(np.hypot(*np.diff(np.asarray(points, float), axis=0).T).sum())


def profile(points: Outline, x0: float = 0.0, crown: float = 0.0) -> Shape:
    """An outline in (y, z), drawn along x from `x0`; v is the length along it. `crown` bulges its middle."""
    p = np.asarray(points, float)
    walked = np.r_[0, np.cumsum(np.hypot(*np.diff(p, axis=0).T))]

    def shape(u: Field, v: Field) -> Points:
        y, z = (np.interp(v, walked, p[:, k]) for k in (0, 1))
        wide = max(float(u.max()), 1.0)
        return np.stack([x0 + u, y - crown * (1 - (2 * u / wide - 1) ** 2), z + 0 * u], -1)

    return shape


def upright(points: Outline, z0: float) -> Shape:
    """An outline in (x, y), drawn down from z0; u is the length along the outline."""
    p = np.asarray(points, float)
    walked = np.r_[0, np.cumsum(np.hypot(*np.diff(p, axis=0).T))]
    return lambda u, v: np.stack([np.interp(u, walked, p[:, 0]), np.interp(u, walked, p[:, 1]), z0 - v], -1)


def tube(start: Vector, end: Vector, radius: float) -> Shape:
    """A tube from start to end; u runs along it, v round it."""
    a, b = np.asarray(start, float), np.asarray(end, float)
    axis = (b - a) / np.linalg.norm(b - a)
    side = np.cross(axis, (0, 0, 1) if abs(axis[2]) < 0.9 else (0, 1, 0))
    side /= np.linalg.norm(side)
    other = np.cross(axis, side)

    def shape(u: Field, v: Field) -> Points:
        angle = v / radius
        return a + u[..., None] * axis + radius * (np.cos(angle)[..., None] * other + np.sin(angle)[..., None] * side)

    return shape


def disc(centre: Vector, outer: float, bulge: float = 0.0, face: float = 0.0) -> Shape:
    """A ring in the plane of x and z, seen from before; u runs round it (mm at its rim), v from the rim inwards."""
    x, y, z = centre

    def shape(u: Field, v: Field) -> Points:
        r, angle = outer - v, u / outer
        out = bulge * np.sin(np.pi * v / max(float(v.max()), 1.0)) + face * v
        return np.stack([x + r * np.sin(angle), y - out, z + r * np.cos(angle)], -1)

    return shape


def moved(shape: Shape, by: Vector = (0, 0, 0), turn: Vector = (0, 0, 0)) -> Shape:
    """Turn a shape about x, then y, then z (degrees), then move it."""
    rx, ry, rz = np.radians(turn)
    cx, sx, cy, sy, cz, sz = np.cos(rx), np.sin(rx), np.cos(ry), np.sin(ry), np.cos(rz), np.sin(rz)
    m = (
        np.array([[cz, -sz, 0], [sz, cz, 0], [0, 0, 1]])
        @ np.array([[cy, 0, sy], [0, 1, 0], [-sy, 0, cy]])
        @ np.array([[1, 0, 0], [0, cx, -sx], [0, sx, cx]])
    )
    return lambda u, v: shape(u, v) @ m.T + np.asarray(by, float)


def kicked(points: Outline, bends: Outline, x0: float = 0.0) -> Shape:
    """An outline in (y, z) swept along x and climbing as `bends` = (x, rise) say: a frame's kick-up."""
    at, rise = np.asarray(bends, float).T
    straight = profile(points, x0)
    fine = np.linspace(at[0], at[-1], 400)
    height = np.interp(fine, at, rise)
    soft = np.convolve(np.pad(height, 30, "edge"), np.hanning(61) / np.hanning(61).sum(), "valid")

    def shape(u: Field, v: Field) -> Points:
        p = straight(u, v)
        p[..., 2] += np.interp(p[..., 0], fine, soft)
        return p

    return shape

"""Signed distances in mm (negative inside): the outlines of parts, cut-outs, holes and rusted places."""

from __future__ import annotations

import itertools

import numpy as np

from .noise import Field

Points = list[tuple[float, float]]


def circle(x: Field, y: Field, cx: float, cy: float, radius: float) -> Field:
    """Distance to a circle."""
    return np.hypot(x - cx, y - cy) - radius


def ellipse(x: Field, y: Field, at: tuple[float, float], half: tuple[float, float]) -> Field:
    """Roughly the distance to an ellipse (exact on its outline)."""
    return (np.hypot((x - at[0]) / half[0], (y - at[1]) / half[1]) - 1) * min(half)


def box(x: Field, y: Field, area: tuple[float, float, float, float], round_mm: float = 0.0) -> Field:
    """Distance to a box (left, top, right, bottom) with rounded corners."""
    left, top, right, bottom = area
    dx = np.abs(x - (left + right) / 2) - (right - left) / 2 + round_mm
    dy = np.abs(y - (top + bottom) / 2) - (bottom - top) / 2 + round_mm
    return np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) + np.minimum(np.maximum(dx, dy), 0) - round_mm


def path(x: Field, y: Field, points: Points) -> Field:
    """Distance to a line through points."""
    out = np.full(x.shape, np.inf, "float32")
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        ux, uy = bx - ax, by - ay
        t = np.clip(((x - ax) * ux + (y - ay) * uy) / (ux * ux + uy * uy + 1e-9), 0, 1)
        out = np.minimum(out, np.hypot(x - ax - t * ux, y - ay - t * uy))
    return out


def along(x: Field, y: Field, points: Points) -> Field:
    """Length walked along a line to the nearest place on it."""
    nearest = np.full(x.shape, np.inf, "float32")
    out = np.zeros(x.shape, "float32")
    walked = 0.0
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        length = float(np.hypot(bx - ax, by - ay))
        t = np.clip(((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / (length**2 + 1e-9), 0, 1)
        here = np.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay))
        out = np.where(here < nearest, walked + t * length, out)
        nearest = np.minimum(nearest, here)
        walked += length
    return out


def polygon(x: Field, y: Field, corners: Points) -> Field:
    """Distance to a polygon."""
    edge = path(x, y, [*corners, corners[0]])
    inside = np.zeros(x.shape, bool)
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        crosses = (ay > y) != (by > y)
        inside ^= crosses & (x < (bx - ax) * (y - ay) / ((by - ay) or 1e-9) + ax)
    return np.where(inside, -edge, edge)


def arc(cx: float, cy: float, radius: float, start_deg: float, end_deg: float, steps: int = 24) -> Points:
    """Points on an arc, degrees clockwise from the right."""
    angles = np.radians(np.linspace(start_deg, end_deg, steps))
    return [(cx + radius * float(np.cos(a)), cy + radius * float(np.sin(a))) for a in angles]

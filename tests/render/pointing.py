"""What a call-out points at, measured on a picture's mask. Knows nothing of how call-outs are drawn. No `bpy`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from .truth import pieces

Point = tuple[float, float]
#: A piece belongs to a call-out that holds half of it; a speck beside the largest one so held is not looked at.
HELD, SPECK = 0.5, 0.05


@dataclass(frozen=True)
class Pointed:
    """How well a call-out that goes round a place fits it; all from 0 to 1.

    `share` of the call-out that carries the label, `cover` of the pieces it holds that lie inside it, `across` and
    `down`: how much of its own width and height these pieces reach over.
    """

    share: float
    cover: float
    across: float
    down: float

    @property
    def worst(self) -> float:
        """The least of what must be near 1 where a call-out goes round its place closely."""
        return min(self.cover, self.across, self.down)


def area(kind: str, points: list[Point], radius: float, shape: tuple[int, int]) -> np.ndarray:
    """The pixels inside a polygon, a box or a circle given in shares of the picture (radius: of its width)."""
    high, wide = shape
    image = Image.new("1", (wide, high))
    at = [(x * wide, y * high) for x, y in points]
    if kind == "circle":
        (x, y), r = at[0], radius * wide
        ImageDraw.Draw(image).ellipse((x - r, y - r, x + r, y + r), fill=1)
    elif kind == "box":
        (left, right), (top, low) = (sorted(side) for side in zip(*at, strict=True))
        ImageDraw.Draw(image).rectangle((left, top, right, low), fill=1)
    else:
        ImageDraw.Draw(image).polygon(at, fill=1)
    return np.asarray(image, bool)


def _reach(inside: np.ndarray, axis: int) -> float:
    return float(np.ptp(np.nonzero(inside.any(axis))[0])) + 1


def held(inside: np.ndarray, named: np.ndarray) -> np.ndarray:
    """Those pieces of what a call-out names that lie in it for the most part."""
    mine = [piece for piece in pieces(named) if (piece & inside).sum() >= HELD * piece.sum()]
    large = [piece for piece in mine if piece.sum() >= SPECK * mine[0].sum()]
    return np.logical_or.reduce([np.zeros_like(named), *large])


def pointed(inside: np.ndarray, named: np.ndarray) -> Pointed:
    """Measure a call-out, as its pixels, against the pixels of what it names."""
    mine = held(inside, named)
    both = mine & inside
    if not both.any():
        return Pointed(float(named[inside].mean()) if inside.any() else 0.0, 0.0, 0.0, 0.0)
    across, down = (_reach(both, axis) / _reach(inside, axis) for axis in (0, 1))
    return Pointed(float(named[inside].mean()), float(both.sum() / mine.sum()), across, down)


def near(at: Point, shape: tuple[int, int], reach: float) -> np.ndarray:
    """The pixels within `reach` (a share of the picture's width) of a point."""
    return area("circle", [at], reach, shape)


def on_panel(pixel_to_mm: list[list[float]], pixels: np.ndarray) -> np.ndarray:
    """Where pixels (rows of x, y) lie on the main panel, mm, by the plane that was fitted to it."""
    on = np.array(pixel_to_mm) @ np.column_stack([pixels, np.ones(len(pixels))]).T
    return (on[:2] / on[2]).T


def apart_mm(pixel_to_mm: list[list[float]], ends: list[Point], pixels: tuple[int, int]) -> float:
    """The way between two points of a picture of so many pixels (wide, high), mm on the main panel."""
    one, other = on_panel(pixel_to_mm, np.array(ends) * pixels)
    return float(np.hypot(*(other - one)))

"""The list of scenes: each a function that draws on a canvas and says how the picture was taken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from PIL import Image

from .camera import View, photograph, seen_at
from .canvas import Canvas, Lamp, Mark

Draw = Callable[[Canvas], View]


@dataclass(frozen=True)
class Scene:
    """A named scene, how much of the car is across the upright picture, and its lamp."""

    name: str
    width_mm: float
    draw: Draw
    portrait: bool = False
    lamp: Lamp = field(default_factory=Lamp)
    centre: tuple[float, float] | None = None

    def canvas(self, long_px: int = 1600) -> Canvas:
        """An empty canvas for this scene; fewer pixels for a quick look."""
        short = long_px * 3 // 4
        width, height = (short, long_px) if self.portrait else (long_px, short)
        high_mm = self.width_mm * height / width
        x, y = self.centre or (self.width_mm / 2, high_mm / 2)
        return Canvas(self.name, self.width_mm, width, height, self.lamp, (x - self.width_mm / 2, y - high_mm / 2))


SCENES: dict[str, Scene] = {}


def scene(
    name: str,
    width_mm: float,
    *,
    portrait: bool = False,
    lamp: Lamp | None = None,
    centre: tuple[float, float] | None = None,
) -> Callable[[Draw], Draw]:
    """Enter a drawing function in the list; `centre` (mm) is what the picture is aimed at."""

    def enter(draw: Draw) -> Draw:
        SCENES[name] = Scene(name, width_mm, draw, portrait, lamp or Lamp(), centre)
        return draw

    return enter


@dataclass(frozen=True)
class Taken:
    """A finished picture and where its noted places lie in it."""

    image: Image.Image
    width_mm: float
    marks: tuple[Mark, ...]


def _within(point: tuple[float, float]) -> tuple[float, float]:
    """What runs out of the picture is noted as far as its edge: a call-out cannot lie outside."""
    return min(max(point[0], 0.0), 1.0), min(max(point[1], 0.0), 1.0)


def take(name: str, long_px: int = 1600) -> Taken:
    """Draw a scene and photograph it."""
    chosen = SCENES[name]
    canvas = chosen.canvas(long_px)
    view = chosen.draw(canvas)
    image = photograph(canvas, view)
    marks = tuple(Mark(m.what, tuple(_within(seen_at(canvas, view, p)) for p in m.points)) for m in canvas.marks)
    left, right = (
        seen_at(canvas, view, (canvas.origin[0] + x, canvas.origin[1] + canvas.height_mm / 2))
        for x in (0.0, canvas.width_mm)
    )
    return Taken(image, canvas.width_mm / (right[0] - left[0]), marks)

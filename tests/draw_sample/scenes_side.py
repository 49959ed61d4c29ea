"""Scenes along the outside of the cab: fender, door, rockers, cab corners."""

from __future__ import annotations

import numpy as np

from . import shapes, things
from .camera import View
from .canvas import Canvas, Lamp, Part
from .coats import GREEN_INSIDE, concrete, dark_void, dirt, paint, undercoat
from .noise import smooth
from .rust import DEEP, PITTED, SCALE, SURFACE, pierced, pinholes, ragged, rust, torn
from .scene import scene


def _ground(c: Canvas, top_mm: float, soft: float = 5.0) -> None:
    """Shop floor below the car, out of focus, dark where the car keeps the light away."""
    floor = concrete(c)
    c.lay(floor)
    c.dim(0.24 + 0.76 * smooth(c.y, top_mm - 30, top_mm + 0.42 * c.height_mm))
    c.soften(soft)


def _rocker_face(c: Canvas, top: float, bottom: float) -> Part:
    """A rocker from outside: rolled top edge, flat face, turn-under."""
    part = paint(c, np.maximum(top - c.y, c.y - bottom))
    high = bottom - top
    roll = -14 * smooth(c.y, top + 16, top - 4)
    step = 5 * smooth(c.y, top + 0.30 * high - 10, top + 0.30 * high + 10)
    under = -0.27 * high * smooth(c.y, top + 0.62 * high, bottom + 0.12 * high) ** 1.5
    return dirt(c, part.raised((roll + step + under).astype("float32")), 0.42)


def _door_above(c: Canvas, bottom: float, gap_x: float | None = None) -> None:
    """The lower edge of the door (and the cab beside it), rusted a little along its hem."""
    outline = c.y - bottom
    if gap_x is not None:
        outline = np.maximum(outline, 5 - np.abs(c.x - gap_x))
    part = paint(c, outline)
    part = dirt(c, part.raised((-9 * smooth(c.y, bottom - 15, bottom + 3)).astype("float32")), 0.30)
    part = rust(c, part, (bottom - 3) - c.y, 9, SURFACE)
    c.lay(part, 8)


@scene("rocker_left_outer", 1000)
def rocker_left_outer(c: Canvas) -> View:
    top, bottom = 235.0, 520.0
    _ground(c, bottom)
    part = _rocker_face(c, top, bottom)
    worst = np.maximum(bottom - 62 - c.y, np.abs(c.x - 530) - 315)
    worst = np.minimum(worst, shapes.ellipse(c.x, c.y, (690, 505), (150, 72)))
    part = rust(c, part, worst, 34, DEEP)
    holes = np.minimum(
        shapes.ellipse(c.x, c.y, (655, 505), (105, 26)), shapes.ellipse(c.x, c.y, (800, 512), (40, 20))
    )
    holes = np.minimum(holes, shapes.ellipse(c.x, c.y, (330, 514), (52, 14)))
    holes = ragged(c, holes, 9)
    part = torn(c, pierced(c, part, holes, deep_mm=45), holes, c.y - bottom)
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (560, 480), (140, 40)), 16, 0.72, holes), deep_mm=12)
    c.lay(part, 28)
    _door_above(c, top - 10, 742)
    things.rule(c, (190, 300), 2.5)
    c.mark("rust", (205, 446), (850, 440), (850, 522), (205, 522))
    c.mark("hole", (545, 476), (845, 476), (845, 524), (545, 524))
    c.mark("hole", (275, 498), (385, 498), (385, 524), (275, 524))
    c.mark("lower flange", (0, 520), (1000, 520))
    return View(-1.2, (0.06, -0.05), 1.02)


@scene("rocker_left_outer_close", 330)
def rocker_left_outer_close(c: Canvas) -> View:
    bottom = 205.0
    _ground(c, bottom, 9)
    part = _rocker_face(c, -110, bottom)
    part = rust(c, part, 96 + 14 * np.sin(c.x / 50) - c.y, 24, DEEP)
    holes = np.minimum(shapes.ellipse(c.x, c.y, (178, 188), (88, 25)), shapes.ellipse(c.x, c.y, (292, 196), (26, 14)))
    holes = ragged(c, holes, 7)
    part = torn(c, pierced(c, part, holes, deep_mm=40), holes, c.y - bottom)
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (150, 145), (105, 24)), 9, 0.70, holes), deep_mm=8)
    c.lay(part, 22)
    things.rule(c, (28, 34), -2.0, 300)
    c.mark("rust", (0, 90), (330, 90), (330, 206), (0, 206))
    c.mark("hole", (88, 160), (270, 160), (270, 206), (88, 206))
    c.mark("sound paint above", (165, 60))
    return View(1.5, (-0.04, 0.05), 1.03, soft_top=0.3)


@scene("rocker_right_outer", 600, centre=(370, 380), lamp=Lamp(toward=(0.45, -0.5, 0.72), centre=(0.6, 0.4)))
def rocker_right_outer(c: Canvas) -> View:
    top, bottom = 200.0, 480.0
    _ground(c, bottom)
    part = _rocker_face(c, top, bottom)
    place = np.minimum(bottom - 9 - c.y, shapes.ellipse(c.x, c.y, (330, 462), (138, 42)))
    part = rust(c, part, place, 20, SCALE)
    c.lay(part, 26)
    _door_above(c, top - 10, 250)
    things.rule(c, (335, 268), -3.0)
    c.mark("rust", (195, 422), (465, 422), (465, 482), (195, 482))
    c.mark("lower flange", (0, 480), (900, 480))
    return View(1.0, (-0.06, -0.04), 1.03)


@scene("fender_left_rear", 430, centre=(385, 290))
def fender_left_rear(c: Canvas) -> View:
    _ground(c, 400)
    arch = shapes.circle(c.x, c.y, -150, 470, 330)
    part = paint(c, np.maximum(np.maximum(c.y - 400, -arch), c.x - 520))
    lip = 9 * smooth(arch, 24, 6) - 16 * smooth(c.y, 385, 402) - 12 * smooth(c.x, 508, 522)
    part = dirt(c, part.raised((lip + 10 * smooth(c.y, 190, 215)).astype("float32")), 0.45)
    place = np.minimum(shapes.ellipse(c.x, c.y, (385, 384), (70, 34)), 397 - c.y)
    part = rust(c, part, place, 16, SCALE)
    behind = paint(c, np.maximum(526 - c.x, c.y - 425))
    c.lay(behind.raised((-8 * smooth(c.x, 540, 526)).astype("float32")), 6)
    c.lay(part, 14)
    things.bolt(c, (478, 360), 14)
    c.mark("rust", (315, 342), (458, 342), (458, 402), (315, 402))
    c.mark("bolt at the rocker", (478, 360))
    return View(-2.0, (0.08, 0.02), 1.03)


@scene("door_left_bottom", 560)
def door_left_bottom(c: Canvas) -> View:
    _ground(c, 300, 7)
    part = paint(c, np.maximum(c.y - 300, c.x - 520))
    part = part.raised((-7 * smooth(c.y, 286, 302) + 6 * smooth(c.y, 120, 142)).astype("float32"))
    part = things.seam(c, part, [(-80, 277), (640, 277)], 3.0, 1.2)
    part = rust(
        c,
        dirt(c, part, 0.35),
        np.minimum(np.maximum(276 - c.y, np.abs(c.x - 300) - 215), shapes.ellipse(c.x, c.y, (335, 288), (120, 26))),
        14,
        PITTED,
    )
    part = pierced(c, part, pinholes(c, shapes.box(c.x, c.y, (250, 262, 420, 296)), 9, 0.74), deep_mm=10)
    c.lay(part, 24)
    for x in (120, 330, 460):
        slot = shapes.box(c.x, c.y, (x - 12, 288, x + 12, 293), 2)
        c.dim(1 - 0.8 * c.inside(slot))
    things.chalk(c, shapes.arc(335, 288, 118, 186, 352), 5, closed=False)
    c.mark("rust", (85, 266), (515, 266), (515, 302), (85, 302))
    c.mark("pinholes", (335, 280))
    c.mark("hem flange", (0, 277), (520, 277))
    return View(-1.0, (0.05, -0.10), 1.03, soft_top=0.35)


@scene("rocker_left_inner", 460, centre=(430, 300), lamp=Lamp(room=0.22, centre=(0.5, 0.45), reach=0.5))
def rocker_left_inner(c: Canvas) -> View:
    return _rocker_inner(c, SCALE, holed=True)


@scene(
    "rocker_right_inner",
    460,
    centre=(340, 310),
    lamp=Lamp(toward=(0.4, -0.55, 0.73), room=0.25, centre=(0.45, 0.42), reach=0.55),
)
def rocker_right_inner(c: Canvas) -> View:
    return _rocker_inner(c, SURFACE, holed=False)


def _rocker_inner(c: Canvas, worst: float, *, holed: bool) -> View:
    """Seen from below and inside: floor flange above, upright face, lower pinch flange with its spot welds."""
    c.lay(dark_void(c))
    floor = undercoat(c, c.y - 130)
    c.lay(rust(c, dirt(c, floor, 0.5), 118 - c.y + 400 * (not holed), 20, SURFACE))
    part = paint(c, np.maximum(120 - c.y, c.y - 400), GREEN_INSIDE, 0.6)
    shape = -12 * smooth(c.y, 140, 118) - 22 * smooth(c.y, 318, 345) + 3 * smooth(np.abs(c.x - 350), 92, 80)
    part = things.spot_welds(c, part.raised(shape.astype("float32")), [(-60, 375), (780, 375)], 42)
    part = dirt(c, part, 0.62)
    low = np.maximum(352 - c.y, np.abs(c.x - 350) - 100)
    if holed:
        low = shapes.ellipse(c.x, c.y, (450, 382), (95, 34))
    part = rust(c, part, low, 20, worst)
    left, top, right = (355, 346, 545) if holed else (248, 340, 452)
    c.mark("rust", (left, top), (right, top), (right, 402), (left, 402))
    if holed:
        part = pierced(c, part, ragged(c, shapes.ellipse(c.x, c.y, (455, 378), (34, 12)), 4), deep_mm=40)
        c.mark("hole", (420, 364), (490, 364), (490, 392), (420, 392))
    c.lay(part, 16)
    things.drain(c, (288, 288), 12, plugged=False)
    c.lay(things.tube(c, [(-80, 172), (250, 178), (520, 168), (800, 176)], 4.5), 12)
    c.mark("drain hole", (288, 288))
    c.mark("spot-welded flange", (0, 375), (700, 375))
    return View(1.4, (0.05, 0.07), 1.03, soft_bottom=0.6)

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
    worst = np.minimum(bottom - 66 - c.y, shapes.ellipse(c.x, c.y, (690, 500), (190, 95)))
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
    c.mark("rust", (40, 440), (960, 440), (960, 522), (40, 522))
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


@scene("rocker_right_outer", 900, lamp=Lamp(toward=(0.45, -0.5, 0.72), centre=(0.6, 0.4)))
def rocker_right_outer(c: Canvas) -> View:
    top, bottom = 200.0, 480.0
    _ground(c, bottom)
    part = _rocker_face(c, top, bottom)
    place = np.minimum(bottom - 48 - c.y, shapes.ellipse(c.x, c.y, (300, 455), (210, 90)))
    part = rust(c, part, place, 26, SCALE)
    part = rust(c, part, shapes.ellipse(c.x, c.y, (640, 330), (60, 26)), 24, SURFACE)
    c.lay(part, 26)
    _door_above(c, top - 10, 250)
    things.rule(c, (470, 262), -3.0)
    c.mark("rust", (30, 400), (560, 370), (870, 430), (870, 482), (30, 482))
    c.mark("blistered paint", (640, 330))
    c.mark("lower flange", (0, 480), (900, 480))
    return View(1.0, (-0.06, -0.04), 1.02)


@scene("fender_left_rear", 620)
def fender_left_rear(c: Canvas) -> View:
    _ground(c, 400)
    arch = shapes.circle(c.x, c.y, -150, 470, 330)
    part = paint(c, np.maximum(np.maximum(c.y - 400, -arch), c.x - 520))
    lip = 9 * smooth(arch, 24, 6) - 16 * smooth(c.y, 385, 402) - 12 * smooth(c.x, 508, 522)
    part = dirt(c, part.raised((lip + 10 * smooth(c.y, 190, 215)).astype("float32")), 0.45)
    place = np.minimum(shapes.ellipse(c.x, c.y, (360, 392), (175, 78)), 352 - c.y + 0.16 * (c.x - 300))
    part = rust(c, part, place, 26, SCALE)
    part = rust(c, part, shapes.circle(c.x, c.y, 255, 250, 26), 24, SURFACE)
    behind = paint(c, np.maximum(526 - c.x, c.y - 425))
    c.lay(behind.raised((-8 * smooth(c.x, 540, 526)).astype("float32")), 6)
    c.lay(part, 14)
    things.bolt(c, (478, 360), 14)
    c.mark("rust", (200, 330), (505, 320), (515, 402), (190, 402))
    c.mark("blistered paint", (255, 250))
    c.mark("bolt at the rocker", (478, 360))
    return View(-2.0, (0.08, 0.02), 1.02)


@scene("door_left_bottom", 560)
def door_left_bottom(c: Canvas) -> View:
    _ground(c, 300, 7)
    part = paint(c, np.maximum(c.y - 300, c.x - 520))
    part = part.raised((-7 * smooth(c.y, 286, 302) + 6 * smooth(c.y, 120, 142)).astype("float32"))
    part = things.seam(c, part, [(-80, 277), (640, 277)], 3.0, 1.2)
    part = rust(
        c, dirt(c, part, 0.35), np.minimum(262 - c.y, shapes.ellipse(c.x, c.y, (330, 290), (150, 48))), 20, PITTED
    )
    part = pierced(c, part, pinholes(c, shapes.box(c.x, c.y, (250, 262, 420, 296)), 9, 0.74), deep_mm=10)
    c.lay(part, 24)
    for x in (120, 330, 460):
        slot = shapes.box(c.x, c.y, (x - 12, 288, x + 12, 293), 2)
        c.dim(1 - 0.8 * c.inside(slot))
    things.chalk(c, shapes.arc(335, 288, 118, 186, 352), 5, closed=False)
    c.mark("rust", (150, 236), (500, 236), (500, 302), (150, 302))
    c.mark("pinholes", (335, 280))
    c.mark("hem flange", (0, 277), (520, 277))
    return View(-1.0, (0.05, -0.10), 1.03, soft_top=0.35)


@scene("rocker_left_inner", 700, lamp=Lamp(room=0.22, centre=(0.5, 0.45), reach=0.5))
def rocker_left_inner(c: Canvas) -> View:
    return _rocker_inner(c, SCALE, holed=True)


@scene("rocker_right_inner", 700, lamp=Lamp(toward=(0.4, -0.55, 0.73), room=0.25, centre=(0.45, 0.42), reach=0.55))
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
    low = np.minimum(338 - c.y, shapes.ellipse(c.x, c.y, (430, 320), (170, 90))) if holed else 352 - c.y
    part = rust(c, part, low, 26, worst)
    c.mark("rust", (20, 300 if holed else 340), (680, 300 if holed else 340), (680, 402), (20, 402))
    if holed:
        part = pierced(c, part, ragged(c, shapes.ellipse(c.x, c.y, (455, 318), (46, 20)), 6), deep_mm=40)
        c.mark("hole", (400, 294), (512, 294), (512, 342), (400, 342))
    c.lay(part, 16)
    things.drain(c, (180, 292), 12, plugged=False)
    c.lay(things.tube(c, [(-80, 172), (250, 178), (520, 168), (800, 176)], 4.5), 12)
    c.mark("drain hole", (180, 292))
    c.mark("spot-welded flange", (0, 375), (700, 375))
    return View(1.4, (0.05, 0.07), 1.03, soft_bottom=0.6)

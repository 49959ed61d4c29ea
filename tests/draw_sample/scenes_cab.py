"""Scenes at the cab: corners, floors, toe board, kick panel, firewall, drip rail, cowl."""

from __future__ import annotations

import numpy as np

from . import shapes, things
from .camera import View
from .canvas import Canvas, Lamp, Part
from .coats import (
    GREEN_INSIDE,
    PRIMER_GREY,
    PRIMER_RED,
    concrete,
    dark_void,
    dirt,
    paint,
    primer,
    undercoat,
)
from .noise import smooth
from .rust import DEEP, PITTED, SCALE, SURFACE, pierced, pinholes, ragged, rust, torn
from .scene import scene


def _corner_skin(c: Canvas, right: float, bottom: float) -> Part:
    """The rear lower corner of a cab: flat side, rounded toward the back, turned under."""
    part = paint(c, np.maximum(c.x - right, c.y - bottom))
    turn = -0.55 * 130 * smooth(c.x, right - 130, right + 20) ** 1.6
    under = -40 * smooth(c.y, bottom - 55, bottom + 14) ** 1.5
    return dirt(c, part.raised((turn + under).astype("float32")), 0.42)


def _behind_corner(c: Canvas, bottom: float) -> None:
    c.lay(concrete(c))
    c.dim(0.08 + 0.9 * smooth(c.y, bottom, bottom + 200))
    box = paint(c, np.maximum(c.y - bottom + 10, 0 * c.x - 1), fade=0.7)
    c.lay(box.raised((18 * smooth(c.y, 90, 110)).astype("float32")))
    c.dim(1 - 0.55 * smooth(c.y, bottom, bottom - 320) * smooth(c.y, bottom + 5, bottom - 20))
    c.soften(5)


@scene("cab_corner_left_outer", 480, centre=(360, 310))
def cab_corner_left_outer(c: Canvas) -> View:
    bottom = 400.0
    _behind_corner(c, bottom)
    part = _corner_skin(c, 520, bottom)
    part = things.seam(c, part, [(95, -60), (95, 420)], 4.0, 4.0)
    place = np.minimum(shapes.ellipse(c.x, c.y, (385, 368), (110, 72)), 392 - c.y)
    part = rust(c, part, place, 22, DEEP)
    hole = ragged(
        c, np.minimum(shapes.ellipse(c.x, c.y, (385, 380), (58, 24)), shapes.circle(c.x, c.y, 448, 352, 10)), 9
    )
    part = torn(c, pierced(c, part, hole, deep_mm=40), hole, c.y - bottom)
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (375, 332), (62, 20)), 8, 0.72, hole), deep_mm=10)
    c.lay(part, 26)
    things.rule(c, (160, 200), 4.0)
    c.mark("rust", (275, 290), (495, 290), (495, 402), (275, 402))
    c.mark("hole", (325, 352), (458, 340), (458, 402), (325, 402))
    return View(-1.5, (0.07, -0.03), 1.03)


@scene("cab_corner_left_outer_close", 250, portrait=True)
def cab_corner_left_outer_close(c: Canvas) -> View:
    bottom = 285.0
    _behind_corner(c, bottom)
    part = _corner_skin(c, 300, bottom)
    part = rust(c, part, np.minimum(shapes.ellipse(c.x, c.y, (125, 240), (98, 82)), 276 - c.y), 22, DEEP)
    hole = ragged(c, shapes.ellipse(c.x, c.y, (125, 252), (60, 30)), 7)
    part = torn(c, pierced(c, part, hole, deep_mm=36), hole, c.y - bottom)
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (125, 200), (62, 18)), 7, 0.70, hole), deep_mm=8)
    c.lay(part, 22)
    things.rule(c, (22, 52), 2.0, 200)
    c.mark("rust", (22, 156), (228, 156), (228, 286), (22, 286))
    c.mark("hole", (63, 218), (188, 218), (188, 286), (63, 286))
    return View(1.0, (0.03, 0.06), 1.04, soft_top=0.35)


@scene("cab_corner_left_inner", 300, centre=(255, 270), lamp=Lamp(room=0.2, centre=(0.55, 0.5), reach=0.5))
def cab_corner_left_inner(c: Canvas) -> View:
    c.lay(dark_void(c))
    wall = primer(c, c.y - 250, PRIMER_RED)
    wall = rust(c, dirt(c, wall, 0.45), shapes.ellipse(c.x, c.y, (255, 245), (62, 26)), 14, SURFACE)
    c.lay(wall.raised((-18 * smooth(c.x, 170, 60)).astype("float32")))
    part = primer(c, np.maximum(228 - c.y, -c.x - 90), PRIMER_RED)
    part = part.raised((12 * smooth(c.y, 226, 246) - 0.10 * (c.y - 240)).astype("float32"))
    part = things.spot_welds(c, part, [(-60, 262), (560, 262)], 46)
    part = rust(c, dirt(c, part, 0.85, low_first=0.2), shapes.ellipse(c.x, c.y, (255, 282), (74, 46)), 18, SCALE)
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (265, 285), (40, 18)), 6, 0.77), deep_mm=10)
    c.lay(part, 14)
    things.crumbs(c, shapes.ellipse(c.x, c.y, (250, 325), (110, 30)), 4, 0.66)
    things.drain(c, (145, 322), 9, plugged=False)
    c.mark("rust", (183, 232), (327, 232), (327, 328), (183, 328))
    c.mark("spot-welded seam", (0, 262), (480, 262))
    c.mark("drain hole", (145, 322))
    return View(-2.5, (-0.08, 0.06), 1.03, soft_top=0.5)


@scene("cab_corner_right_outer", 400, centre=(330, 300), lamp=Lamp(toward=(0.42, -0.55, 0.72), centre=(0.6, 0.4)))
def cab_corner_right_outer(c: Canvas) -> View:
    """An earlier repair that hides rust: a sheet lapped over the corner, screwed and tacked, rust creeping out."""
    bottom = 385.0
    _behind_corner(c, bottom)
    part = _corner_skin(c, 560, bottom)
    part = rust(c, part, shapes.box(c.x, c.y, (218, 262, 408, 420), 22), 18, SCALE)
    c.lay(part, 24)
    outline = shapes.polygon(c.x, c.y, [(240, 280), (384, 274), (392, 366), (246, 374)])
    sheet = primer(c, outline, PRIMER_GREY).raised(
        (-40 * smooth(c.y, bottom - 55, bottom + 14) ** 1.5).astype("float32")
    )
    sheet = rust(c, sheet, -outline - 5, 8, SURFACE)
    sheet = rust(c, sheet, np.minimum(shapes.circle(c.x, c.y, 380, 345, 14), 362 - c.y), 10, SCALE)
    for points in (
        [(250, 280), (272, 279)],
        [(322, 277), (342, 276)],
        [(384, 286), (387, 308)],
        [(242, 310), (243, 332)],
    ):
        sheet = things.weld(c, sheet, points, 6, 1.8, 0.35)
    c.lay(things.edge(sheet, c, 1.2), 5)
    for at in ((258, 294), (370, 290), (262, 352), (314, 290)):
        _screw(c, at)
    c.mark("lapped sheet", (240, 280), (384, 274), (392, 366), (246, 374))
    c.mark("rust creeping out", (218, 260), (408, 260), (408, 387), (218, 387))
    return View(2.0, (-0.06, -0.03), 1.03)


def _screw(c: Canvas, at: tuple[float, float]) -> None:
    c = c.window(at, 18)
    distance = shapes.circle(c.x, c.y, *at, 5.5)
    part = undercoat(c, distance, (0.14, 0.13, 0.12)).raised(things.dome(distance, 2.2, 3.0))
    slot = shapes.path(c.x, c.y, [(at[0] - 4, at[1] - 2), (at[0] + 4, at[1] + 2)]) - 0.7
    c.lay(rust(c, part.raised(-1.5 * c.inside(slot)), distance - 2, 6, SURFACE), 2)


def _floor_pan(c: Canvas, ribs: tuple[float, ...], colour: tuple[float, float, float] = GREEN_INSIDE) -> Part:
    """A floor pan with its pressed beads, seen from above."""
    part = primer(c, c.full(-1), colour)
    relief = c.full(0)
    for x in ribs:
        relief += things.dome(shapes.path(c.x, c.y, [(x, 60), (x, 555)]) - 11, 7, 9)
    return part.raised(relief)


def _seat_mount(c: Canvas, at: tuple[float, float], turn: float = 0.3, rusty: bool = True) -> None:
    """A pressed seat riser with one bolt through it."""
    x, y = at
    c = c.window(at, 110)
    outline = shapes.box(c.x, c.y, (x - 62, y - 38, x + 62, y + 38), 9)
    plate = undercoat(c, outline, (0.05, 0.055, 0.05)).raised(things.dome(outline + 14, 9, 7))
    if rusty:
        plate = rust(c, plate, shapes.circle(c.x, c.y, x + 40, y + 34, 34), 22, SURFACE)
    c.lay(things.edge(plate, c, 1.6), 9)
    things.bolt(c, (x, y), 18, turn=turn)


@scene("floor_left_front", 560, centre=(480, 320))
def floor_left_front(c: Canvas) -> View:
    part = _floor_pan(c, (140, 260, 380, 500, 620))
    part = dirt(c, part, 0.98, low_first=0.15)
    part = rust(
        c,
        part,
        shapes.ellipse(c.x, c.y, (405, 330), (88, 62)),
        24,
        DEEP,
    )
    hole = ragged(c, shapes.ellipse(c.x, c.y, (405, 328), (54, 34)), 6)
    part = pierced(c, part, hole, deep_mm=70, below=concrete(c))
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (400, 332), (74, 50)), 8, 0.79, hole), deep_mm=14)
    c.lay(part)
    things.crumbs(c, np.maximum(shapes.ellipse(c.x, c.y, (405, 340), (120, 90)), 20 - hole), 4, 0.70)
    _seat_mount(c, (632, 215))
    things.rule(c, (250, 482), -4.0)
    things.drain(c, (320, 165), 15)
    c.lay(things.tube(c, [(-90, 40), (200, 52), (520, 30), (960, 46)], 9), 14)
    c.mark("rust", (320, 268), (490, 268), (490, 392), (320, 392))
    c.mark("hole", (348, 292), (462, 292), (462, 364), (348, 364))
    c.mark("seat mounting bolt", (632, 215))
    c.mark("drain plug", (320, 165))
    return View(2.5, (0.02, 0.10), 1.03)


@scene("floor_left_front_close", 330, portrait=True)
def floor_left_front_close(c: Canvas) -> View:
    part = _floor_pan(c, (30, 175))
    part = dirt(c, part, 0.95, low_first=0.1)
    part = rust(c, part, shapes.ellipse(c.x, c.y, (145, 275), (84, 60)), 22, DEEP)
    hole = ragged(c, shapes.ellipse(c.x, c.y, (143, 275), (54, 36)), 6)
    part = pierced(c, part, hole, deep_mm=55, below=concrete(c))
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (145, 275), (74, 52)), 6, 0.79, hole), deep_mm=10)
    c.lay(part)
    things.crumbs(c, np.maximum(shapes.ellipse(c.x, c.y, (150, 285), (110, 90)), 18 - hole), 4, 0.71)
    _seat_mount(c, (232, 96), 0.1)
    things.rule(c, (38, 398), -3.0, 250, tape=True)
    c.mark("rust", (60, 214), (230, 214), (230, 336), (60, 336))
    c.mark("hole", (88, 238), (200, 238), (200, 312), (88, 312))
    c.mark("seat mounting bolt", (232, 96))
    c.mark("rust to the seat mounting", (186, 222), (186, 134))
    return View(-2.0, (0.03, 0.06), 1.03)


@scene("floor_right_front", 480, centre=(350, 350), lamp=Lamp(toward=(0.5, -0.45, 0.72), centre=(0.6, 0.4)))
def floor_right_front(c: Canvas) -> View:
    part = _floor_pan(c, (150, 270, 390, 510, 630))
    part = dirt(c, part, 0.92, low_first=0.1)
    place = shapes.ellipse(c.x, c.y, (335, 345), (124, 68))
    part = rust(c, part, place, 26, PITTED)
    c.lay(part)
    things.crumbs(c, shapes.ellipse(c.x, c.y, (335, 355), (150, 90)), 4, 0.73)
    things.drain(c, (450, 215), 15)
    things.chalk(c, [(x, 345 + 0.62 * (y - 345)) for x, y in shapes.arc(335, 345, 172, 10, 352)], 7)
    things.rule(c, (215, 462), 3.0)
    c.mark("rust", (212, 276), (458, 276), (458, 414), (212, 414))
    c.mark("drain plug", (450, 215))
    return View(-2.0, (-0.04, 0.09), 1.03)


@scene("floor_left_rear", 720)
def floor_left_rear(c: Canvas) -> View:
    part = _floor_pan(c, (120, 300, 480, 640))
    part = things.seam(c, part, [(-80, 90), (800, 90)], 3.0, 2.0)
    part = things.spot_welds(c, part, [(-80, 112), (800, 112)], 48)
    part = dirt(c, part, 0.92, low_first=0.25)
    c.lay(rust(c, part, shapes.circle(c.x, c.y, 620, 470, -8), 20, SURFACE))
    things.drain(c, (392, 330), 17)
    c.lay(things.tube(c, [(-80, 190), (240, 205), (520, 190), (820, 214)], 6), 9)
    c.mark("drain plug", (392, 330))
    c.mark("spot-welded seam", (0, 90), (720, 90))
    return View(1.5, (0.0, 0.10), 1.03)


@scene("toe_board_left", 360, centre=(230, 290), lamp=Lamp(room=0.26, reach=0.5))
def toe_board_left(c: Canvas) -> View:
    part = primer(c, c.full(-1), GREEN_INSIDE)
    slope = 0.55 * np.clip(300 - c.y, 0, None) * -1 + 0 * c.x
    ribs = sum(things.dome(shapes.path(c.x, c.y, [(x, 90), (x, 250)]) - 10, 6, 8) for x in (150, 260, 370, 480))
    part = things.seam(c, part.raised((slope * 0.35 + ribs).astype("float32")), [(-80, 318), (720, 318)], 3.5, 2.2)
    part = things.spot_welds(c, part, [(-80, 340), (720, 340)], 40)
    part = dirt(c, part, 0.92, low_first=0.5)
    place = shapes.ellipse(c.x, c.y, (215, 318), (62, 36))
    part = rust(c, part, place, 16, SCALE)
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (215, 316), (44, 14)), 6, 0.70), deep_mm=12)
    c.lay(part)
    things.crumbs(c, shapes.box(c.x, c.y, (150, 335, 290, 385)), 4, 0.70)
    c.lay(things.edge(undercoat(c, shapes.box(c.x, c.y, (322, 165, 386, 235), 9)), c, 2.5), 22)
    c.lay(things.tube(c, [(354, 165), (364, 100), (400, 20)], 8, (0.09, 0.09, 0.09)), 30)
    c.mark("rust", (155, 280), (275, 280), (275, 356), (155, 356))
    c.mark("pinholes", (170, 300), (260, 300), (260, 332), (170, 332))
    c.mark("seam to the floor pan", (0, 318), (640, 318))
    return View(-1.5, (0.05, 0.08), 1.03)

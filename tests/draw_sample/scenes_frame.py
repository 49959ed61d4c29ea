"""Scenes under the car: frame rails, crossmember, cab mount, spring hanger."""

from __future__ import annotations

import numpy as np

from . import shapes, things
from .camera import View
from .canvas import Canvas, Lamp, Part
from .coats import GREEN_INSIDE, dark_void, dirt, primer, undercoat
from .noise import Field, smooth
from .rust import DEEP, PITTED, SCALE, SURFACE, pierced, pinholes, ragged, rust, torn
from .scene import scene

BELOW = Lamp(toward=(-0.35, -0.62, 0.70), centre=(0.5, 0.48), reach=0.48, room=0.16, power=1.25)
FRAME = (0.019, 0.0185, 0.018)


def _underside(c: Canvas, floor_to: float) -> None:
    """The dim space round a frame: cab or bed floor above, nothing below."""
    c.lay(dark_void(c))
    floor = primer(c, c.y - floor_to, GREEN_INSIDE)
    ribs = sum(things.dome(np.abs((c.x + 60) % 150 - 75) - 22, 8, 10) for _ in (0,))
    c.lay(rust(c, dirt(c, floor.raised(ribs), 0.8), c.y * 0 + 22, 26, SURFACE))
    c.dim(0.30 + 0.25 * smooth(c.y, floor_to, -0.1 * c.height_mm))
    c.soften(3.5)


def _rail(c: Canvas, top: Field, bottom: Field) -> Part:
    """The web of a channel rail between two edges (fields of y), with its flanges rolled away."""
    outline = np.maximum(top - c.y, c.y - bottom)
    part = undercoat(c, outline, FRAME)
    roll = -16 * smooth(c.y - top, 16, -4) - 18 * smooth(bottom - c.y, 16, -4)
    return dirt(c, part.raised(roll.astype("float32")), 0.72, low_first=0.2)


def _line(c: Canvas, points: list[tuple[float, float]]) -> None:
    c.lay(things.tube(c, points, 4.5, (0.10, 0.095, 0.085)), 14)


def _kick_up(c: Canvas, rise_from: float, rise_to: float, high: float, at: float) -> Field:
    return (at - high * smooth(c.x, rise_from, rise_to)).astype("float32")


@scene("rail_left_over_axle", 780, lamp=BELOW)
def rail_left_over_axle(c: Canvas) -> View:
    _underside(c, 120)
    top, bottom = _kick_up(c, 60, 420, 90, 260), _kick_up(c, 90, 450, 90, 412)
    part = _rail(c, top, bottom)
    middle = (top + bottom) / 2
    place = np.minimum(bottom - 42 - c.y, shapes.ellipse(c.x, c.y - middle + 300, (430, 320), (230, 70)))
    part = rust(c, part, place, 32, SCALE)
    part = rust(c, part, c.y - top - 16, 14, SURFACE)
    c.lay(part, 30)
    for x in (150, 650):
        hole = shapes.circle(c.x, c.y, x, float(np.interp(x, [60, 420], [338, 248])), 14)
        c.dim(1 - 0.9 * c.inside(hole))
    _line(c, [(-90, 232), (90, 230), (260, 176), (420, 140), (900, 146)])
    things.rule(c, (255, 262), -9.0)
    c.mark(
        "rust",
        (150, 262),
        (300, 200),
        (420, 176),
        (720, 176),
        (760, 320),
        (440, 322),
        (330, 345),
        (200, 394),
        (60, 410),
    )
    c.mark("lower flange", (0, 412), (120, 409), (270, 367), (420, 324), (780, 322))
    return View(1.5, (0.05, 0.04), 1.03, soft_bottom=0.4)


@scene("rail_left_over_axle_hole", 460, lamp=BELOW)
def rail_left_over_axle_hole(c: Canvas) -> View:
    _underside(c, 50)
    part = _rail(c, c.full(70), c.full(250))
    part = rust(c, part, np.minimum(shapes.ellipse(c.x, c.y, (118, 205), (76, 46)), 243 - c.y), 18, DEEP)
    hole = ragged(
        c, np.minimum(shapes.ellipse(c.x, c.y, (116, 212), (27, 15)), shapes.circle(c.x, c.y, 84, 232, 3)), 6
    )
    part = pierced(c, part, hole, deep_mm=40)
    part = pierced(c, part, pinholes(c, shapes.ellipse(c.x, c.y, (118, 185), (44, 14)), 6, 0.78, hole), deep_mm=8)
    c.lay(torn(c, part, hole, c.y - 250), 26)
    _hanger(c, 285, 120)
    things.chalk(c, [(x, 205 + 0.7 * (y - 205)) for x, y in shapes.arc(118, 205, 88, 150, 390)], 5, closed=False)
    things.rule(c, (40, 88), 1.5, 200)
    c.mark("rust", (42, 158), (194, 158), (194, 252), (42, 252))
    c.mark("hole", (86, 195), (146, 195), (146, 230), (86, 230))
    c.mark("spring hanger", (355, 215))
    c.mark("edge of the hole to the hanger", (145, 212), (285, 212))
    return View(-2.0, (-0.06, 0.05), 1.03)


def _hanger(c: Canvas, left: float, top: float) -> None:
    """A spring hanger: riveted plate, two ears, one cross bolt with the spring's eye."""
    x, y = left, top
    c = c.window((x + 70, y + 95), 145)
    plate = undercoat(c, shapes.box(c.x, c.y, (x, y, x + 140, y + 110), 12), FRAME)
    plate = rust(c, dirt(c, plate, 0.6), y + 88 - c.y, 26, SCALE)
    c.lay(things.edge(plate, c, 2.5), 9)
    for dx, dy in ((22, 22), (118, 22), (22, 82), (118, 82)):
        things.rivet(c, (x + dx, y + dy), 10)
    ear = shapes.polygon(c.x, c.y, [(x + 34, y + 60), (x + 106, y + 60), (x + 96, y + 196), (x + 44, y + 196)]) - 8
    c.lay(things.edge(rust(c, undercoat(c, ear, FRAME), y + 150 - c.y, 34, SCALE), c, 3), 16)
    things.bolt(c, (x + 70, y + 160), 26)


@scene("spring_hanger_left_front", 420, lamp=BELOW)
def spring_hanger_left_front(c: Canvas) -> View:
    _underside(c, 20)
    part = _rail(c, c.full(30), c.full(190))
    c.lay(rust(c, part, 150 - c.y, 30, SCALE), 24)
    leaf = undercoat(c, np.abs(c.y - 262 - 0.04 * c.x) - 9, FRAME).raised(
        3 * c.inside(np.abs(c.y - 262 - 0.04 * c.x) - 6)
    )
    c.lay(rust(c, leaf, c.full(-6), 30, SURFACE), 10)
    _hanger(c, 140, 82)
    eye = things.edge(undercoat(c, np.abs(shapes.circle(c.x, c.y, 210, 242, 30)) - 6, FRAME), c, 2.5)
    c.lay(rust(c, eye, c.full(-4), 22, SURFACE), 6)
    c.mark("rust", (140, 150), (282, 150), (282, 285), (140, 285))
    c.mark("spring bolt", (210, 242))
    c.mark("rivets", (162, 104), (258, 104))
    return View(2.5, (0.05, 0.05), 1.03, soft_top=0.3)


@scene(
    "rail_right_centre", 820, lamp=Lamp(toward=(0.4, -0.6, 0.7), centre=(0.5, 0.45), reach=0.5, room=0.18, power=1.2)
)
def rail_right_centre(c: Canvas) -> View:
    _underside(c, 150)
    part = _rail(c, c.full(215), c.full(405))
    part = rust(c, part, np.minimum(388 - c.y, shapes.ellipse(c.x, c.y, (540, 370), (150, 50))), 22, SURFACE)
    part = rust(c, part, shapes.ellipse(c.x, c.y, (210, 300), (26, 22)), 22, SURFACE)
    c.lay(part, 30)
    for x, r in ((110, 16), (360, 24), (690, 16)):
        c.dim(1 - 0.92 * c.inside(shapes.circle(c.x, c.y, x, 310, r)))
    _line(c, [(-90, 252), (300, 246), (460, 252), (960, 244)])
    things.rule(c, (400, 280), 2.0, 300, tape=True)
    c.mark("rust", (385, 325), (695, 325), (695, 406), (385, 406))
    c.mark("flange edge", (0, 405), (820, 405))
    return View(-1.0, (-0.05, 0.03), 1.03, soft_bottom=0.4)


@scene("crossmember", 600, centre=(380, 300), lamp=BELOW)
def crossmember(c: Canvas) -> View:
    _underside(c, 90)
    part = undercoat(c, np.maximum(150 - c.y, c.y - 385), FRAME)
    hat = 26 * smooth(c.y, 150, 205) * smooth(c.y, 385, 330)
    part = dirt(c, part.raised(hat.astype("float32")), 0.7, low_first=0.4)
    part = rust(c, part, shapes.ellipse(c.x, c.y, (330, 345), (104, 34)), 20, PITTED)
    c.lay(part, 26)
    for x in (150, 500):
        c.dim(1 - 0.9 * c.inside(shapes.ellipse(c.x, c.y, (x, 262), (24, 15))))
    side = rust(c, _rail(c, c.full(110), c.full(425)), c.full(10), 26, SURFACE)
    side = Part(side.mask * c.inside(590 - c.x), side.albedo, side.relief, side.gloss)
    c.lay(things.edge(side, c, 3), 24)
    for y in (190, 345):
        things.rivet(c, (618, y), 11)
    c.mark("rust", (225, 308), (435, 308), (435, 384), (225, 384))
    c.mark("drain slots", (150, 262), (500, 262))
    c.mark("rivets at the rail", (618, 190), (618, 345))
    return View(1.0, (0.06, 0.04), 1.03, soft_top=0.4)


@scene("cab_mount_left_front", 360, portrait=True, lamp=BELOW)
def cab_mount_left_front(c: Canvas) -> View:
    """The bracket's floor is gone: what is left of a shelf hangs round the bolt, the rubber has dropped."""
    _underside(c, 110)
    rail = _rail(c, c.full(225), c.full(420))
    c.lay(rust(c, rail, 380 - c.y, 26, SCALE), 26)
    outline = shapes.polygon(c.x, c.y, [(60, 205), (310, 205), (285, 330), (85, 330)]) - 8
    shelf = rust(c, undercoat(c, outline, FRAME), c.full(-30), 34, DEEP)
    gone = ragged(c, shapes.ellipse(c.x, c.y, (198, 284), (58, 36)), 7)
    shelf = torn(c, pierced(c, shelf, gone, deep_mm=30), gone, c.full(5))
    c.lay(things.edge(shelf, c, 2.5), 18)
    body = rust(c, primer(c, c.y - 128, GREEN_INSIDE), 104 - c.y, 20, SURFACE)
    c.lay(things.edge(body, c, 3), 14)
    c.lay(things.tube(c, [(188, 128), (190, 352)], 7, (0.07, 0.05, 0.04)), 12)
    rubber_ = things.edge(undercoat(c, shapes.box(c.x, c.y, (138, 132, 240, 176), 12), (0.02, 0.02, 0.02)), c, 5)
    c.lay(rubber_, 12)
    things.bolt(c, (190, 356), 24, turn=0.1)
    things.crumbs(c, shapes.box(c.x, c.y, (90, 390, 280, 425)), 5, 0.66)
    c.mark("gone", (140, 246), (258, 246), (258, 322), (140, 322))
    c.mark("cab mounting bolt", (190, 240))
    c.mark("rubber", (189, 154))
    return View(-1.5, (0.04, 0.05), 1.03, soft_bottom=0.4)

"""Cab corners: a skin bent round the cab's rear edge, between door and bed; and from inside."""

from __future__ import annotations

import numpy as np

from .. import grime, lines
from ..coats import INSIDE, PRIMER, paint, sealer
from ..nodes import plain
from ..noise import Field, ramp
from ..props import box, rivet, rule
from ..rooms import COOL, NEUTRAL, WARM, floor, shop, wheel
from ..rust import Rust, eat, through
from ..shapes import Shape, bend, length, upright
from ..stage import Stage
from .side import body

#: From the door's gap rearwards, then round the corner (x, y), seen on the left side.
PLAN = bend([(0, 0), (60, -6), (285, 4), (300, 130)], 46)


def _mirrored(shape: Shape) -> Shape:
    def turned(u: Field, v: Field) -> np.ndarray:
        return shape(u, v) * np.array([-1, 1, 1])

    return turned


def _neighbours(stage: Stage, side: int) -> None:
    """Door, bed, what is dark between and below. `side` 1: left of the car, the front to the left."""
    s = stage.skin(700, 720, 1.3, 31)
    s.form -= 2.2 * ramp(np.abs(s.v - 300), 14, 2)
    body(s, 0.46 * ramp(s.v, 560, 720), Rust(hole=None), 0.3, 0.4 * ramp(s.v, 350, 720))
    door = upright([(-706, -4), (-6, -2)], 480)
    stage.panel("door", door if side > 0 else _flip(door, 700), s, step=3, thick=1)
    t = stage.skin(900, 760, 1.0, 32)
    body(t, 0.40 * ramp(t.v, 600, 760), Rust(hole=None), 0.35, 0.5 * ramp(t.v, 300, 760))
    bed = upright([(335, 150), (338, 8), (1100, 0)], 520)
    stage.panel("bed", bed if side > 0 else _flip(bed, 900), t, step=4, thick=1)
    dark = plain("jamb", (22, 22, 20), (40, 34, 30), 0.95, 0, 40)
    box((side * 100, 160, 100), (2200, 20, 800), dark, bevel=0)
    box((side * 100, 420, -330), (2600, 600, 30), plain("below", (40, 36, 32), (70, 52, 40), 0.95, 0, 60, 2), bevel=0)
    box(
        (side * 300, 330, -300),
        (2600, 70, 150),
        plain("rail", (46, 42, 38), (78, 54, 40), 0.9, 0, 8, 0.8, 0.4),
        bevel=4,
    )
    wheel(stage, side * 900, 70, -180)
    floor(stage, -530)
    shop(stage, -530)


def _flip(shape: Shape, wide: float) -> Shape:
    """The other side of the car; u still runs to the right as it is seen."""
    other = _mirrored(shape)
    return lambda u, v: other(wide - u, v)


def _lights(stage: Stage, side: int) -> None:
    stage.lamp("AREA", (-side * 1300, -1400, 1900), 95, (0, 0, 0), (1700, 120), COOL)
    stage.lamp("AREA", (side * 1500, -1100, 2100), 20, (0, 0, 0), (1700, 120), COOL)
    stage.lamp("SPOT", (side * 420, -620, -260), 7, (side * 150, 0, -120), (50, 50), WARM, 100)
    stage.sky((0.75, 0.85, 1.0), 0.06)


def _left(stage: Stage, fine: float) -> None:
    s = stage.skin(length(PLAN), 700, fine, 1)
    s.form -= 2.2 * ramp(np.abs(s.v - 300), 14, 2)
    low = ramp(s.v, 540, 700)
    rust = Rust(hole=0.93, grain=0.9)
    worst = through(s, 0.15 + 0.42 * low, rust, (175, 645), (215, 120), -6)
    body(s, worst, rust, 0.28 + 0.2 * low, 0.7 * ramp(s.v, 420, 700))
    stage.panel("corner", upright(PLAN, 480), s, main=True, step=1.3, thick=0.9)
    t = stage.skin(400, 500, 1.2, 9)
    paint(t, INSIDE)
    eat(t, 0.52 + 0.1 * t.clouds("w", 70, 3), Rust(hole=None, runs=0, dry=0.6))
    grime.dust(t, 0.5)
    stage.panel("inner", upright([(0, 70), (260, 60), (268, 130)], 270), t, step=4)
    _neighbours(stage, 1)
    _lights(stage, 1)


def cab_corner_left_outer(stage: Stage) -> None:
    """F3: holed lower corner with a steel rule."""
    _left(stage, 2.6)
    rule((120, -10.5, -60), (90, -3, 0))
    stage.camera((190, -640, 20), (150, 0, -70), 27, roll=1)


def cab_corner_left_outer_close(stage: Stage) -> None:
    """F3: the hole near by, the telephone upright."""
    _left(stage, 3.6)
    stage.camera((230, -400, -70), (165, 0, -112), 27, roll=-3, tall=True)
    stage.lamp("AREA", (255, -400, -75), 0.5, (165, 0, -150), (12, 12), NEUTRAL)


def cab_corner_right_outer(stage: Stage) -> None:
    """F16: an earlier sheet lapped over rust, riveted; rust creeps out along its lower edge."""
    long = length(PLAN)
    s = stage.skin(long, 700, 2.6, 3)
    at, size = (long - 150, 588), (200, 138)
    edge = lines.box(s, at, size, 5)
    below = ramp(s.v, 610, 665) * ramp(np.abs(s.u - at[0]), 150, 90)
    worst = 0.16 + 0.30 * ramp(s.v, 560, 700) + 0.22 * below + 0.20 * ramp(np.abs(edge), 16, 1)
    body(s, worst, Rust(hole=None, scale=0.66), 0.25, 0.45 * ramp(s.v, 450, 700))
    sheet = ramp(edge, 0.6, -0.2)
    keep = s.label.copy()
    p = stage.skin(long, 700, 2.6, 4)
    paint(p, PRIMER)
    creep = ramp(edge, -30, 0) * ramp(s.v, 590, 650)
    eat(p, 0.20 + 0.40 * creep, Rust(hole=None, blisters=0.3, runs=0.6, spots=0.6), (110, 108, 104))
    grime.dust(p, 0.35)
    for mine, new in ((s.colour, p.colour), (s.rough, p.rough), (s.height, p.height + 1.4)):
        cover = sheet[..., None] if mine.ndim == 3 else sheet
        mine += cover * (new - mine)
    s.label[:] = np.where(sheet > 0.5, p.label, keep)
    s.colour *= (1 - 0.6 * ramp(np.abs(edge - 1.0), 1.6, 0))[..., None]
    stage.panel("corner", _flip(upright(PLAN, 480), long), s, main=True, step=1.3, thick=0.9)
    grey = plain("rivets", (132, 130, 126), (104, 70, 50), 0.5, 0.6, 3, 0.1, 0.35)
    for x, z in ((-58, -50), (-145, -50), (-232, -50), (-58, -162), (-145, -162), (-232, -162)):
        rivet((x, float(np.interp(-x, [60, 285], [-7.2, 2.8])), z), (0, -1, 0), 4.4, grey)
    _neighbours(stage, -1)
    _lights(stage, -1)
    stage.camera((-130, -560, -20), (-150, 0, -90), 27, roll=-2)


def cab_corner_left_inner(stage: Stage) -> None:
    """F4: the corner from inside: scale over the spot-welded seam."""
    plan = bend([(-300, -390), (190, 0), (700, 66)], 50)
    s = stage.skin(length(plan), 760, 2.6, 6)
    paint(s, INSIDE, 0.9)
    s.form += 1.2 * ramp(s.u, 620, 618)
    s.form += 5 * ramp(np.abs(s.v - 110), 16, 6)
    for v in range(40, 760, 42):
        s.form -= 0.8 * ramp(np.hypot(s.u - 602, s.v - v), 4.5, 2.5)
    sealer(s, [(624, 0), (624, 250)], 12, (128, 122, 104))
    worst = 0.22 + 0.52 * ramp(lines.oval(s, (612, 370), (165, 260), 4), 1.35, 0.3) + 0.14 * ramp(s.v, 480, 700)
    eat(s, worst, Rust(hole=None, scale=0.64, runs=0.3))
    grime.dust(s, 0.32 + 0.3 * ramp(s.v, 400, 700))
    stage.panel("corner", upright(plan, 300), s, main=True, step=1.3)
    box((200, -60, -330), (2400, 1500, 20), plain("bottom", (104, 86, 66), (72, 56, 44), 0.95, 0, 12, 1), bevel=0)
    stage.lamp("AREA", (60, -480, 140), 1.6, (200, 0, 0), (14, 14), NEUTRAL)
    stage.lamp("AREA", (-600, -600, 700), 7, (200, 0, 0), (400, 300), COOL)
    stage.sky((0.7, 0.8, 1), 0.05)
    stage.camera((110, -440, 60), (205, 0, -40), 27, roll=3)

"""Below the car: crossmember, cab mount, inner rockers and the floor pan from below, wheelhouse, bed floor."""

from __future__ import annotations

import numpy as np

from .. import grime, lines
from ..coats import CHASSIS, INSIDE, OUTSIDE, paint, sealer, undercoat
from ..nodes import plain
from ..noise import ramp
from ..props import bolt, box, line, rod
from ..rooms import COOL, NEUTRAL, WARM, beyond, floor, shop, under
from ..rust import Rust, eat, through
from ..shapes import bend, flat, length, moved, profile
from ..skin import BACKGROUND
from ..stage import Stage
from .floor_pan import ribs, strewn
from .rail import cleaned, old

Spot = tuple[float, float, float]


def _lit(stage: Stage, eye: Spot, target: Spot, roll: float, tall: bool = False, watt: float = 1.3) -> None:
    stage.lamp("AREA", tuple(e + d for e, d in zip(eye, (28, 0, 16), strict=True)), watt, target, (14, 14), NEUTRAL)
    stage.lamp("SPOT", (eye[0] + 420, eye[1] - 60, eye[2] - 160), 9, target, (40, 40), WARM, 100)
    stage.lamp("AREA", (-1300, -900, 100), 14, target, (900, 900), COOL)
    stage.sky((0.6, 0.7, 0.85), 0.05)
    stage.camera(eye, target, 27, roll=roll, tall=tall, fstop=5)


def crossmember(stage: Stage) -> None:
    """F10: pitted at the lower edge, drain slots, two spots cleaned for the gauge."""
    outline = bend([(90, 62), (0, 58), (0, -58), (90, -66)], 14)
    s = stage.skin(1200, length(outline), 2.4, 3)
    band = ramp(s.v, 130, 190) * ramp(np.abs(s.u - 560), 160, 90)
    for u in (330, 860):
        slot = lines.box(s, (u, 186), (52, 16), 8)
        s.eaten = np.maximum(s.eaten, -slot)
        s.label[slot < 0] = BACKGROUND
        s.form += 2 * ramp(slot, 8, 1)
    old(s, 0.26 + 0.42 * band, Rust(hole=None, scale=0.70, pits=2.4, runs=0.1, dry=0.4), 0.3)
    cleaned(s, (520, 160), (30, 26))
    cleaned(s, (618, 168), (28, 24))
    stage.panel("crossmember", profile(outline, -600), s, main=True, step=1.2, thick=3)
    dark = plain("rail", (48, 44, 40), (84, 58, 44), 0.85, 0.1, 8, 0.5, 0.4)
    for x in (-560, 560):
        box((x, -40, 10), (70, 300, 150), dark, bevel=5)
    bolt((-455, -2, 10), (0, -1, 0), 19, dark)
    bolt((455, -2, 10), (0, -1, 0), 19, dark)
    under(stage, 210)
    floor(stage, -900)
    shop(stage, -900)
    _lit(stage, (-20, -400, -70), (-20, 0, 22), -2)


def cab_mount_left_front(stage: Stage) -> None:
    """F11: the bracket's floor is gone round the bolt; the rubber hangs on it."""
    s = stage.skin(340, 300, 3.4, 5)
    rust = Rust(hole=0.95, scale=0.60, thick=1.1, dry=0.4, runs=0, grain=0.8)
    edge = ramp(s.v, 230, 300)
    paint(s, CHASSIS, 0.8)
    eat(s, through(s, 0.46 + 0.16 * edge, rust, (170, 160), (150, 104), 10), rust)
    grime.dust(s, 0.35, (120, 106, 88))
    stage.panel("bracket", flat((-170, -150, 0), (1, 0, 0), (0, 1, 0.04)), s, main=True, step=1.0, thick=3)
    t = stage.skin(340, 30, 2.5, 6)
    old(t, 0.50 + 0 * t.u, Rust(hole=None, scale=0.62, dry=0.4))
    stage.panel("lip", flat((-170, -151, 30)), t, step=1.5, thick=3)
    rubber = plain("rubber", (30, 29, 28), (64, 54, 46), 0.85, 0, 6, 0.4)
    rod((0, -12, 38), (0, 0, 1), 36, 34, rubber, bevel=6)
    rod((8, -18, -48), (0.08, 0, 1), 29, 24, rubber, bevel=6)
    steel = plain("bolt", (92, 82, 72), (112, 74, 50), 0.6, 0.4, 4, 0.3, 0.4)
    rod((2, -14, 10), (0.02, 0, 1), 7.5, 150, steel)
    rod((0, -12, 58), (0, 0, 1), 34, 4, steel, bevel=1)
    u = stage.skin(1200, 700, 1.2, 8)
    paint(u, INSIDE)
    undercoat(u, 0.35 + 0 * u.u)
    eat(u, 0.36 + 0.1 * u.clouds("w", 100, 3), Rust(hole=None, runs=0))
    grime.dust(u, 0.6)
    stage.panel("cab floor", flat((-600, -320, 72), (1, 0, 0), (0, 1, 0)), u, step=4)
    box((0, 196, 0), (1400, 60, 150), plain("rail", (48, 44, 40), (84, 58, 44), 0.85, 0.1, 8, 0.5, 0.4), bevel=6)
    box((0, 900, -200), (3000, 30, 900), plain("dark", (34, 31, 28), (48, 40, 34), 0.95, 0, 60, 1), bevel=0)
    floor(stage, -900)
    _lit(stage, (-120, -300, -330), (4, -14, 10), 3, tall=True, watt=0.8)


def _inner_rocker(
    stage: Stage, seed: int, hole: float, at: tuple[float, float], size: tuple[float, float], rust: Rust
) -> None:
    outline = bend([(160, 96), (8, 92), (0, -40), (26, -78), (28, -104)], 12)
    s = stage.skin(1100, length(outline), 2.4, seed)
    low = ramp(s.v, 300, 385)
    paint(s, INSIDE, 0.9)
    undercoat(s, 0.5 - 1.4 * ramp(s.v, 170, 290))
    worst = 0.20 + 0.24 * low + hole * ramp(lines.oval(s, at, size), 1.3, 0.5)
    eat(s, through(s, worst, rust, at, size) if rust.hole else worst, rust)
    for u in (180, 420, 660, 900):
        s.form -= 0.9 * ramp(np.hypot(s.u - u, s.v - 378), 5, 3)
    slot = lines.box(s, (330, 262), (40, 14), 7)
    s.eaten = np.maximum(s.eaten, -slot)
    s.label[slot < 0] = BACKGROUND
    grime.mud(s, 0.35 * ramp(s.v, 200, 390), (112, 98, 78))
    grime.dust(s, 0.45)
    stage.panel("inner rocker", profile(outline, -550), s, main=True, step=1.3, thick=1)
    t = stage.skin(1300, 196, 1.0, seed + 1)
    paint(t, CHASSIS)
    eat(t, 0.55 + 0.1 * t.clouds("w", 80, 3), Rust(hole=None, runs=0, dry=0.6))
    stage.panel("outer", flat((-650, 80, 100)), t, step=4)
    box((0, -200, 120), (2400, 900, 20), plain("pan", (58, 54, 48), (84, 64, 48), 0.9, 0, 20, 1, 0.4), bevel=0)
    box((-420, -150, 85), (90, 420, 60), plain("member", (48, 44, 40), (88, 60, 44), 0.9, 0, 10, 0.6, 0.4), bevel=6)
    floor(stage, -900, -1500)
    shop(stage, -900)
    beyond(stage, 45)
    box((0, 700, 10), (2600, 40, 220), plain("other rocker", (56, 60, 52), (80, 60, 46), 0.9, 0, 20), bevel=10)
    _lit(stage, (-10, -440, -190), (-10, 0, 8), 2)


def rocker_left_inner(stage: Stage) -> None:
    """F2: the inner side from below: rusted through at the lower flange, the rest dry."""
    _inner_rocker(stage, 11, 0.0, (560, 335), (180, 50), Rust(hole=0.92, runs=0.2, grain=0.8))


def rocker_right_inner(stage: Stage) -> None:
    """F24: surface rust on the lower flange only."""
    _inner_rocker(stage, 17, 0.20, (560, 350), (220, 80), Rust(hole=None, scale=0.95, runs=0.2))


def floor_from_below(stage: Stage) -> None:
    """The left front pan from below: undercoat broken off round the hole."""
    s = stage.skin(1300, 1000, 2.2, 23)
    ribs(s, [280, 400, 520, 640, 760], (300, 1050), 34, -8)
    rust = Rust(hole=0.93, runs=0, grain=0.95)
    wet = ramp(lines.oval(s, (650, 490), (480, 340)), 1.3, 0.2)
    paint(s, INSIDE)
    undercoat(s, 0.55 - 1.5 * wet)
    eat(s, through(s, 0.16 + 0.38 * wet, rust, (640, 480), (134, 118), -8), rust)
    grime.dust(s, 0.5, (110, 98, 82))
    stage.panel("pan", flat((-650, -500, 0), (1, 0, 0), (0, 1, 0)), s, main=True, step=1.5, thick=0.9)
    dark = plain("member", (48, 44, 40), (88, 60, 44), 0.9, 0, 10, 0.6, 0.4)
    box((250, 0, -34), (90, 1100, 66), dark, bevel=6)
    box((-470, 0, -60), (80, 1300, 150), dark, bevel=6)
    line(
        [(-380, -500, -24), (-370, 0, -20), (-384, 500, -26)],
        4,
        plain("pipe", (112, 104, 90), (98, 72, 50), 0.5, 0.5, 5),
    )
    box((0, 0, 900), (1500, 1500, 10), plain("roof", (120, 122, 116), None, 0.9, 0, 100), bevel=0)
    _lit(stage, (-20, -210, -560), (-10, -10, 0), 4)


def wheelhouse(stage: Stage) -> None:
    """A front wheelhouse: undercoat, road dirt, sealer on the seam; sound."""
    arch = bend([(-430, -260), (-400, 120), (-180, 330), (180, 330), (400, 120), (430, -260)], 150)
    for name, shape, size, seam in (
        ("arch", moved(profile(arch, -40), turn=(0, 0, 90)), (380, length(arch)), 372.0),
        ("wall", flat((-450, 330, 360)), (900, 640), 20.0),
    ):
        s = stage.skin(*size, 1.9, 25 + len(name))
        paint(s, OUTSIDE)
        undercoat(s, 0.42 + 0.2 * s.clouds("w", 150, 2))
        if name == "wall":
            sealer(s, [(20, 600), (60, 250), (260, 44), (640, 44), (840, 250), (880, 600)], 17, (104, 100, 90))
            s.form += 6 * ramp(lines.box(s, (450, 330), (320, 220), 60), 8, -10)
        eat(s, 0.15 + 0.10 * ramp(np.abs(s.u - seam), 40, 5), Rust(hole=None, scale=0.95, runs=0.3))
        grime.mud(s, 0.30 + 0.45 * ramp(s.v, 200, s.height_mm), (104, 90, 70))
        grime.dust(s, 0.5)
        stage.panel(name, shape, s, main=name == "wall", step=2.0)
    dark = plain("arm", (44, 41, 38), (84, 60, 46), 0.85, 0.1, 9, 0.5, 0.4)
    rod((60, 170, -190), (1, 0.2, 0.06), 24, 1400, dark, bevel=4)
    rod(
        (-90, 240, 60),
        (0.12, 0, 1),
        30,
        900,
        plain("damper", (52, 56, 60), (80, 70, 60), 0.6, 0.1, 20, 0.1),
        bevel=4,
    )
    line(
        [(-330, 240, 160), (-200, 230, 20), (-150, 200, -150), (-60, 160, -400)],
        9,
        plain("hose", (28, 28, 28), (54, 50, 44), 0.7, 0, 8),
    )
    floor(stage, -560)
    _lit(stage, (40, -230, -40), (0, 200, 50), -3, watt=1.8)


def bed_floor_front(stage: Stage) -> None:
    """F22: surface rust at the front of the bed's floor, between and over the ribs."""
    s = stage.skin(2200, 1300, 1.5, 27)
    for k in range(9):
        s.form += 11 * ramp(np.abs(s.v - 120 - 145 * k), 40, 26)
    spot = ramp(lines.oval(s, (950, 560), (560, 330), 5), 1.35, 0.5)
    paint(s, INSIDE, 1.0)
    eat(s, 0.22 + 0.34 * spot + 0.05 * s.clouds("w", 60, 3), Rust(hole=None, scale=0.95, runs=0, spots=0.7, dry=0.5))
    grime.scratches(s, 150, longest=260)
    grime.dust(s, 0.35 + 0.35 * ramp(s.form, 8, 0))
    strewn(stage, s, (950, 600), 260, 50, (-1100, 650))
    stage.panel("bed", flat((-1100, 650, 0), (1, 0, 0), (0, -1, 0)), s, main=True, step=2.2)
    b = stage.skin(2200, 520, 1.2, 28)
    b.form += 9 * ramp(np.abs((b.v % 150) - 75), 40, 26)
    paint(b, INSIDE, 1.0)
    eat(b, 0.22 + 0.2 * ramp(b.v, 440, 520), Rust(hole=None, scale=0.95, runs=0.6))
    grime.scratches(b, 60, longest=200)
    grime.dust(b, 0.3)
    stage.panel("head board", flat((-1100, 640, 515)), b, step=3)
    rod((330, 180, 14), (0, 0, 1), 14, 8, plain("washer", (120, 112, 104), (108, 74, 50), 0.5, 0.5, 5))
    stage.lamp("AREA", (-1500, 500, 1900), 100, (0, 0, 0), (1700, 1500), COOL)
    stage.lamp("AREA", (1300, -900, 1700), 30, (0, 0, 0), (1500, 120), NEUTRAL)
    stage.sky((0.75, 0.86, 1.0), 0.25)
    stage.camera((-80, -420, 800), (-110, 90, 0), 27, roll=-2)

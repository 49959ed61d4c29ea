"""Frame rails: a C of 4 mm steel, its web towards the eye; spring hanger."""

from __future__ import annotations

import numpy as np

from .. import grime, lines
from ..coats import CHASSIS, bright_steel, paint
from ..nodes import plain
from ..noise import Field, ramp
from ..props import bolt, box, line, rivet, rod, rule
from ..rooms import NEUTRAL, WARM, floor, shop, under
from ..rust import Rust, eat, through
from ..shapes import bend, kicked, length, profile
from ..skin import SOUND, Skin
from ..stage import Stage

C_SECTION = bend([(64, 76), (0, 76), (0, -76), (64, -76)], 11)
CLIMB = [(-600, 0), (-330, 4), (40, 92), (330, 104), (600, 104)]


def old(s: Skin, worst: Field, rust: Rust, dirt: float = 0.32) -> Field:
    """A rail's life: black paint, rust, road dirt, oil."""
    paint(s, CHASSIS, 0.8)
    f = eat(s, worst, rust)
    grime.mud(s, 0.5 * ramp(s.v, 90, 240), (104, 92, 76))
    grime.dust(s, dirt + 0.25 * ramp(s.v, 80, 50), (120, 106, 88))
    grime.oil(s, 0.55 * ramp(s.u, 240, 60))
    return f


def cleaned(s: Skin, at: tuple[float, float], size: tuple[float, float] = (34, 28)) -> None:
    """A spot cleaned bright for the gauge."""
    cover = ramp(lines.oval(s, at, size) + 0.05 * s.clouds("clean", 14, 3), 1.05, 0.9)
    bright_steel(s, cover)
    s.label[cover > 0.5] = SOUND


def _pipes(path: list[tuple[float, float, float]]) -> None:
    pipe = plain("pipe", (118, 108, 92), (96, 70, 50), 0.5, 0.5, 5, 0.05, 0.4)
    for k in (0, 14):
        line([(x, y, z + k) for x, y, z in path], 3.2, pipe)


def _lights(
    stage: Stage,
    lamp: tuple[float, float, float],
    eye: tuple[float, float, float],
    target: tuple[float, float, float],
) -> None:
    """A hand lamp hung below, the telephone's own, daylight from the door."""
    stage.lamp("SPOT", lamp, 14, target, (40, 40), WARM, 110)
    stage.lamp("AREA", tuple(e + d for e, d in zip(eye, (30, 0, 18), strict=True)), 1.3, target, (14, 14), NEUTRAL)
    stage.lamp("AREA", (-1300, -900, 200), 14, target, (900, 900), (0.8, 0.9, 1))
    stage.sky((0.6, 0.7, 0.85), 0.05)


def _over_axle(stage: Stage, fine: float) -> None:
    s = stage.skin(1150, length(C_SECTION), fine, 1)
    low = ramp(s.v, 110, 215)
    near = ramp(lines.oval(s, (560, 160), (210, 120)), 1.2, 0.2)
    worst = 0.30 + 0.36 * low + 0.10 * ramp(np.abs(s.u - 560), 420, 60) + 0.10 * near
    rust = Rust(scale=0.60, hole=0.99, runs=0.15, dry=0.45, thick=1.15, grain=1.1)
    old(s, through(s, worst, rust, (560, 155), (64, 38), -14), rust)
    grime.chalk(s, grime.ring((560, 156), (150, 104)))
    cleaned(s, (735, 140))
    stage.panel("rail", kicked(C_SECTION, CLIMB, -600), s, main=True, step=1.2, thick=3.6)
    rusty = plain("rivets", (66, 52, 46), (104, 66, 44), 0.85, 0.1, 3, 0.4)
    for x, z in ((150, 120), (150, 60), (215, 138), (215, 72)):
        rivet((x, -3, z), (0, -1, 0), 11, rusty)
    bolt((-420, -2, 30), (0, -1, 0), 17, plain("bolt", (92, 84, 76), (110, 70, 46), 0.6, 0.4, 3, 0.2, 0.4))
    _pipes([(-620, 20, 96), (-330, 20, 98), (40, 20, 184), (300, 20, 196), (620, 20, 198)])
    under(stage, 330)
    floor(stage, -900)
    shop(stage, -900)


def rail_left_over_axle(stage: Stage) -> None:
    """F8: scale along the kick-up, web and lower flange; a hole in a chalk ring."""
    _over_axle(stage, 2.0)
    _lights(stage, (330, -520, -260), (30, -540, 20), (0, 0, 100))
    stage.camera((30, -540, 20), (0, 0, 100), 27, roll=-2, fstop=5)


def rail_left_over_axle_hole(stage: Stage) -> None:
    """F8: the hole near the spring hanger, a steel rule below."""
    _over_axle(stage, 3.4)
    rule((60, -5, 152), (90, -11, 0))
    _lights(stage, (330, -420, -200), (10, -330, 45), (15, 0, 92))
    stage.camera((10, -330, 45), (15, 0, 92), 27, roll=2.5)


def rail_right_centre(stage: Stage) -> None:
    """F9: surface rust on the lower edge only."""
    s = stage.skin(1150, length(C_SECTION), 2.2, 7)
    band = ramp(s.v, 165, 232) * ramp(np.abs(s.u - 600), 260, 110)
    old(s, 0.22 + 0.36 * band, Rust(hole=None, scale=0.95, runs=0.1, dry=0.4), 0.34)
    cleaned(s, (470, 130))
    for u in (250, 900):
        hole = np.hypot(s.u - u, s.v - 135) - 11
        s.eaten = np.maximum(s.eaten, -hole)
    stage.panel("rail", profile(C_SECTION, -575), s, main=True, step=1.3, thick=3.6)
    _pipes([(-620, 10, 92), (-200, 10, 96), (200, 10, 92), (620, 10, 97)])
    clip = plain("clip", (74, 70, 64), (100, 68, 46), 0.6, 0.3, 4)
    for x in (-240, 260):
        box((x, 4, 100), (20, 22, 26), clip, bevel=4)
    under(stage, 210)
    floor(stage, -900)
    shop(stage, -900)
    _lights(stage, (-330, -520, -240), (-20, -450, -50), (-10, 0, 32))
    stage.camera((-20, -450, -50), (-10, 0, 32), 27, roll=2, fstop=5)


def _hanger(stage: Stage) -> None:
    """A hanger riveted to the rail, scale on its lower half, with the spring's eye and bolt."""
    outline = bend([(-8, 96), (-10, 20), (-34, -60), (-36, -150)], 20)
    s = stage.skin(150, length(outline), 3.2, 9)
    paint(s, CHASSIS, 0.8)
    d = np.abs(s.u - 75) - np.interp(s.v, [0, 90, 180, 260], [72, 70, 56, 46])
    s.eaten = np.maximum(s.eaten, d / 3)
    s.label[d > 0] = 0
    low = ramp(s.v, 70, 160)
    keep = d > 0
    eat(s, 0.30 + 0.44 * low, Rust(hole=None, scale=0.60, thick=1.2, dry=0.4, grain=0.8))
    s.label[keep] = 0
    grime.dust(s, 0.4, (120, 106, 88))
    stage.panel("hanger", profile(outline, -75), s, main=True, step=1.0, thick=7)
    rusty = plain("rivets", (66, 52, 46), (104, 66, 44), 0.85, 0.1, 3, 0.4)
    for x in (-44, 44):
        for z in (74, 22):
            rivet((x, -11, z), (0, -1, 0), 11, rusty)
    steel = plain("eye", (70, 56, 48), (104, 70, 48), 0.8, 0.1, 5, 0.5)
    rod((0, -5, -112), (0, 1, 0), 31, 74, steel, bevel=3)
    bolt((0, -43, -112), (0, -1, 0), 27, plain("nut", (84, 74, 66), (112, 74, 50), 0.6, 0.4, 4, 0.3, 0.4))
    for k in range(4):
        box((330 + 30 * k, -5, -100 - 10 * k), (680 - 70 * k, 62, 9), steel, (0, 3.0, 0), 2)


def spring_hanger_left_front(stage: Stage) -> None:
    """F12: a riveted hanger, scale on its lower half."""
    s = stage.skin(1000, length(C_SECTION), 2.2, 8)
    old(s, 0.32 + 0.22 * ramp(s.v, 130, 220), Rust(hole=None, scale=0.66, runs=0.1, dry=0.4), 0.34)
    stage.panel("rail", profile(C_SECTION, -500), s, step=1.5, thick=3.6)
    _hanger(stage)
    _pipes([(-520, 10, 92), (-200, 10, 96), (200, 10, 92), (520, 10, 97)])
    under(stage, 230)
    floor(stage, -900)
    shop(stage, -900)
    _lights(stage, (-330, -420, -260), (-60, -410, -60), (5, 0, -8))
    stage.camera((-60, -410, -60), (5, 0, -8), 27, roll=-2, fstop=5)

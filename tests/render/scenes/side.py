"""The left and right side low down: rocker, door above it, what is behind."""

from __future__ import annotations

import numpy as np

from .. import grime, lines
from ..coats import CHASSIS, OUTSIDE, Coat, paint
from ..nodes import plain
from ..noise import Field, ramp
from ..props import box, rule
from ..rooms import COOL, NEUTRAL, WARM, floor, shop
from ..rust import Rust, eat, through
from ..shapes import bend, length, profile
from ..skin import Skin
from ..stage import Stage

ROCKER = bend([(46, 4), (4, 2), (-7, -14), (-9, -62), (2, -102), (34, -126), (36, -152)], 13)
DOOR = bend([(-12, 560), (-26, 300), (-20, 60), (-11, 14), (-6, 8), (26, 8)], 8)


def body(
    s: Skin,
    worst: Field,
    rust: Rust,
    dirt: Field | float = 0.3,
    splash: Field | None = None,
    coat: Coat | str = OUTSIDE,
) -> Field:
    """An outer panel's life: paint, water marks, rust, scratches, mud, dust. Gives the rust's field."""
    paint(s, coat)
    grime.water(s, 0.7)
    f = eat(s, worst, rust)
    grime.scratches(s, int(s.width_mm / 70))
    if splash is not None:
        grime.mud(s, splash)
    grime.dust(s, dirt)
    return f


def inside(stage: Stage, wide: float, high: float, behind: float, seed: int = 77) -> None:
    """The dark rusty steel that is seen through a hole."""
    s = stage.skin(wide, high, 1.4, seed)
    paint(s, CHASSIS)
    eat(s, 0.55 + 0.12 * s.clouds("w", 90, 3), Rust(hole=None, runs=0, dry=0.6))
    grime.dust(s, 0.5)
    stage.panel("inside", profile([(behind, high - 150), (behind, -150)], -wide / 2), s, step=4)


def _door(stage: Stage, ends: tuple[float, float], seed: int) -> None:
    wide = ends[1] - ends[0]
    s = stage.skin(wide, length(DOOR), 1.3, seed)
    low = ramp(s.v, 420, 566)
    s.form -= 2.2 * ramp(np.abs(s.v - 380), 14, 2)
    body(s, 0.52 * low + 0.02, Rust(hole=None, runs=0.5, spots=0.5), 0.26 + 0.25 * low, 0.45 * ramp(s.v, 300, 560))
    stage.panel("door", profile(DOOR, ends[0]), s, step=2.5, thick=1)


def _rocker(stage: Stage, worst: Field, s: Skin, rust: Rust) -> None:
    body(s, worst, rust, 0.28 + 0.25 * ramp(s.v, 60, 190), 0.75 * ramp(s.v, 30, 200))
    stage.panel("rocker", profile(ROCKER, -750), s, main=True, step=1.3, thick=0.9)


def _round_about(stage: Stage, seed: int, door: tuple[float, float]) -> None:
    """Door, jamb, the neighbours, the ground, the shop."""
    _door(stage, door, seed)
    beside = (door[1] + 6, door[1] + 700) if door[1] < -door[0] else (door[0] - 706, door[0] - 6)
    _door(stage, beside, seed + 1)
    inside(stage, 1500, 150, 52)
    dark = plain("jamb", (24, 24, 22), (44, 38, 32), 0.9, 0, 40)
    box((0, 60, 90), (2600, 60, 190), dark, bevel=0)
    box((0, 420, -160), (2600, 700, 20), plain("below", (40, 36, 32), (70, 52, 40), 0.95, 0, 60, 2), bevel=0)
    box((0, 260, -235), (2600, 70, 150), plain("rail", (46, 42, 38), (78, 54, 40), 0.9, 0, 8, 0.8, 0.4), bevel=4)
    floor(stage, -420)
    shop(stage, -420)


def _lights(stage: Stage) -> None:
    stage.lamp("AREA", (-1500, -1500, 2100), 100, (0, 0, 0), (1800, 120), COOL)
    stage.lamp("AREA", (1600, -900, 2200), 24, (0, 0, 0), (1800, 120), COOL)
    stage.lamp("SPOT", (420, -820, -120), 9, (60, 0, -60), (50, 50), WARM, 100)
    stage.sky((0.75, 0.85, 1.0), 0.06)


def _left(stage: Stage, fine: float, look: tuple[float, float]) -> None:
    s = stage.skin(1500, length(ROCKER), fine, 3)
    low = ramp(s.v, 70, 165)
    span = ramp(np.abs(s.u - 730), 560, 330)
    rust = Rust(hole=0.94, grain=0.9)
    worst = through(s, 0.16 + span * 0.46 * low, rust, (870, 158), (400, 62))
    _rocker(stage, through(s, worst, rust, (500, 160), (130, 48)), s, rust)
    _round_about(stage, 5, (-760, 520))
    rule((look[0], -12.5, look[1]), (90, 1.8, 0))
    _lights(stage)


def rocker_left_outer(stage: Stage) -> None:
    """F1: holed along the bottom edge, scale around."""
    _left(stage, 1.7, (-230, -36))
    stage.camera((40, -900, 120), (0, 0, -20), 27, roll=1.5)


def rocker_left_outer_close(stage: Stage) -> None:
    """F1, the holed edge near by."""
    _left(stage, 3.0, (150, -30))
    stage.camera((170, -430, -10), (130, 0, -52), 27, roll=-2.5)
    stage.lamp("AREA", (190, -440, 20), 0.6, (130, 0, -78), (12, 12), NEUTRAL)


def rocker_right_outer(stage: Stage) -> None:
    """F15: scale at the lower edge, not holed."""
    s = stage.skin(1500, length(ROCKER), 2.0, 13)
    low = ramp(s.v, 60, 150)
    worst = 0.14 + 0.28 * low + 0.36 * ramp(lines.oval(s, (760, 158), (360, 90)), 1.2, 0.3)
    _rocker(stage, worst, s, Rust(hole=None, scale=0.66))
    _round_about(stage, 15, (-520, 760))
    _lights(stage)
    stage.camera((20, -760, 60), (20, 0, -40), 27, roll=-1)

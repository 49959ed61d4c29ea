"""Floor pans from above: ribs, seat mountings, sealer, dirt; and the toe board."""

from __future__ import annotations

from typing import Any

import numpy as np

from .. import grime, lines
from ..coats import INSIDE, paint, sealer, tints, undercoat
from ..nodes import plain
from ..noise import Field, ramp
from ..props import bolt, box, crumbs, line, rod, rule, tape
from ..rooms import COOL, NEUTRAL, WARM
from ..rust import Rust, eat, through
from ..shapes import flat
from ..skin import Skin
from ..stage import Stage


def ribs(s: Skin, rows: list[float], ends: tuple[float, float], wide: float = 34, high: float = 8) -> None:
    """Stamped ribs across the pan."""
    for v in rows:
        d = np.hypot(np.maximum(np.maximum(ends[0] - s.u, s.u - ends[1]), 0), s.v - v)
        s.form += high * ramp(d, wide * 0.72, wide * 0.28)


def pan(stage: Stage, fine: float, seed: int, side: int = 1) -> Skin:
    """A pan 1500 x 1160 mm with ribs, turned up in front and at its left (the rocker); `side` -1: at its right."""
    s = stage.skin(1500, 1160, fine, seed)
    ribs(s, [370, 490, 610, 730, 850, 970], (430, 1160) if side > 0 else (340, 1070))
    s.form += 130 * ramp(_from_rocker(s.u, side), 260, 0) ** 2 + 110 * ramp(s.v, 240, 0) ** 2
    return s


def _from_rocker(u: Any, side: int) -> Any:
    return u if side > 0 else 1500 - u


def lived(s: Skin, worst: Field, rust: Rust, dirt: float = 0.5, side: int = 1) -> None:
    """A pan's life: thin paint, a rest of tar, sealer, rust, sand."""
    paint(s, INSIDE, 0.9)
    sealer(s, [(_from_rocker(u, side), v) for u, v in ((262, 0), (256, 500), (266, 1160))], 20)
    f = eat(s, worst, rust, keep=None)
    tar = 1.1 - lines.oval(s, (_from_rocker(1150, side), 890), (460, 320)) - 2 * ramp(f, 0.3, 0.5)
    undercoat(s, tar, (34, 31, 28))
    low = ramp(s.blur(s.form, 14) - s.form, -2.5, 2.0)
    grime.dust(s, dirt * (0.35 + 0.6 * low), (142, 126, 102))
    grime.mud(s, 0.30 * low + 0.1, (120, 102, 80))


def strewn(stage: Stage, s: Skin, at: tuple[float, float], spread: float, count: int,
    corner: tuple[float, float] = (-750, 580)
) -> None:  # fmt: skip
    """Flakes and grit round the worst place; none over a hole."""
    rng = np.random.default_rng(stage.seed + 5)
    u, v = rng.normal(at[0], spread, count), rng.normal(at[1], spread * 0.8, count)
    rows = np.clip((v * s.fine).astype(int), 0, s.shape[0] - 1), np.clip((u * s.fine).astype(int), 0, s.shape[1] - 1)
    firm = s.eaten[rows] <= 0
    spots = np.stack([u + corner[0], corner[1] - v, (s.height + s.form)[rows] + 1.2], -1)[firm]
    crumbs(stage, spots, (1.5 + rng.exponential(2.4, count).clip(0, 12))[firm], 3)


def _stand(
    stage: Stage,
    s: Skin,
    eye: tuple[float, float, float],
    target: tuple[float, float, float],
    roll: float,
    side: int = 1,
) -> None:
    stage.panel("pan", flat((-750, 580, 0), (1, 0, 0), (0, -1, 0)), s, main=True, step=1.5, thick=0.9)
    ground = plain("ground", (74, 70, 64), (50, 46, 42), 0.95, 0, 40, 1)
    box((0, 0, -430), (3000, 3000, 10), ground, bevel=0)
    box((40, 0, -75), (90, 900, 70), plain("member", (60, 50, 42), (92, 60, 42), 0.9, 0, 9, 0.6), bevel=6)
    box((-700 * side, 0, 130), (40, 1600, 330), plain("jamb", *tints(stage.car, INSIDE), 0.5, 0, 50), bevel=10)
    stage.lamp("AREA", (-1500 * side, 300, 1100), 60, (0, 0, 0), (900, 1300), COOL)
    stage.lamp("AREA", (900 * side, 900, 1500), 12, (0, 0, 0), (900, 300), WARM)
    stage.lamp("AREA", tuple(e + d for e, d in zip(eye, (40, -20, 15), strict=True)), 0.9, target, (14, 14), NEUTRAL)
    stage.sky((0.8, 0.88, 1.0), 0.12)
    stage.camera(eye, target, 27, roll=roll)


def mounting(at: tuple[float, float], long: float = 240) -> None:
    """A seat's bracket with its two bolts, and the carpet's torn edge beside it."""
    black = plain("bracket", (52, 52, 50), (96, 64, 46), 0.6, 0.1, 6, 0.25, 0.35)
    box((at[0], at[1], 13), (58, long, 5), black, bevel=2)
    for side in (-1, 1):
        box((at[0] + side * 29, at[1], 6), (4, long, 18), black, bevel=1.5)
        bolt(
            (at[0], at[1] + side * long * 0.36, 15.5),
            (0, 0, 1),
            17,
            plain("bolt", (104, 98, 90), (110, 72, 48), 0.5, 0.5, 3, 0.2, 0.4),
        )


def _left(stage: Stage, fine: float) -> Skin:
    s = pan(stage, fine, 21)
    wet = ramp(lines.oval(s, (650, 590), (430, 330), 12), 1.25, 0.1)
    rust = Rust(hole=0.93, runs=0, spots=0.6, grain=0.95)
    lived(s, through(s, 0.15 + 0.36 * wet, rust, (630, 580), (165, 114), 8), rust)
    if stage.car == "pickup":
        grime.chalk(s, grime.ring((640, 585), (350, 270), gap=0.5))
    strewn(stage, s, (670, 610), 130, 170)
    mounting((140, 10))
    loom = plain("loom", (30, 30, 31), (50, 46, 42), 0.55, 0, 5, 0.1)
    line(
        [
            (-752, 326, 70),
            (-640, 318, 44),
            (-500, 312, 12),
            (-300, 322, 6),
            (0, 300, 6),
            (260, 330, 6),
            (560, 318, 8),
            (800, 330, 10),
        ],
        6,
        loom,
    )
    return s


def floor_left_front(stage: Stage) -> None:
    """F5: holed beside the seat mounting, seen from above."""
    s = _left(stage, 2.0)
    if stage.car == "pickup":
        rule((-120, -150, 9.5), (0, 0, 7))
    _stand(stage, s, (-60, -270, 560), (-60, -10, 0), 2)


def floor_left_front_close(stage: Stage) -> None:
    """F5: the hole and the mounting's bolt, a tape across."""
    s = _left(stage, 2.6)
    tape((-105, 66, 24), (4, 0, -3), 250)
    _stand(stage, s, (-15, -160, 470), (-28, 10, 0), -4)
    stage.tall = True


def floor_right_front(stage: Stage) -> None:
    """F6: pitted between the ribs, a chalk ring, not holed; the door is on the right."""
    s = pan(stage, 2.0, 31, -1)
    wet = ramp(lines.oval(s, (750, 600), (330, 210), 6), 1.35, 0.3)
    lived(s, 0.16 + 0.52 * wet, Rust(hole=None, scale=0.74, pits=2.2, runs=0, spots=0.7), 0.45, -1)
    grime.chalk(s, grime.ring((745, 600), (330, 240)))
    strewn(stage, s, (740, 610), 120, 60)
    mounting((345, 40))
    _stand(stage, s, (50, -250, 530), (20, -10, 0), -5, -1)


def floor_left_rear(stage: Stage) -> None:
    """Sound under old paint and dust, one drain plug."""
    s = pan(stage, 2.0, 41)
    lived(s, 0.12 + 0.06 * s.clouds("w", 90, 2), Rust(hole=None, runs=0, spots=0.5), 0.9)
    rod((60, -70, 1), (0, 0, 1), 24, 6, plain("plug", (36, 36, 36), (74, 68, 60), 0.7, 0, 6), bevel=2)
    rod((60, -70, 4), (0, 0, 1), 15, 5, plain("plug2", (44, 43, 42), (84, 78, 68), 0.7, 0, 6), bevel=2)
    _stand(stage, s, (60, -280, 570), (40, -10, 0), 4)

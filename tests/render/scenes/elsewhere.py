"""Two pictures that belong nowhere: the bench, and the floor with a foot's worth of tools on it."""

from __future__ import annotations

import numpy as np

from .. import grime
from ..nodes import plain
from ..noise import ramp
from ..props import bolt, box, crumbs, line, rod, tape
from ..rooms import COOL, NEUTRAL, floor, shop
from ..shapes import flat
from ..stage import Stage
from ..tone import linear


def _boards(stage: Stage) -> None:
    s = stage.skin(1500, 900, 1.8, 3)
    grain = s.clouds("grain", (160, 3), 5, 0.7)
    board = np.floor(s.v / 150)
    tone = 1 + 0.16 * grain + 0.12 * np.sin(board * 5.1)
    s.lay(np.ones(s.shape, np.float32), linear((122, 92, 62)) * tone[..., None].clip(0.3, 2), 0.6)
    s.colour *= (1 - 0.8 * ramp(np.abs((s.v % 150) - 75), 72.6, 74))[..., None]
    grime.oil(s, 0.35 + 0 * s.u)
    grime.scratches(s, 120, (76, 56, 40), 160)
    grime.dust(s, 0.3)
    stage.panel("boards", flat((-750, 450, 0), (1, 0, 0), (0, -1, 0)), s, main=True, step=3, sag=0.3)


def bench(stage: Stage) -> None:
    """The bench with tools on it."""
    _boards(stage)
    steel = plain("steel", (128, 126, 122), (96, 84, 74), 0.35, 0.85, 20, 0.05, 0.3)
    dark = plain("handle", (40, 40, 42), (66, 60, 54), 0.55, 0, 14)
    red = plain("red", (140, 44, 34), (112, 38, 30), 0.4, 0, 30)
    rod((-90, 40, 14), (1, 0.35, 0), 13, 260, plain("wood", (158, 120, 76), (128, 92, 58), 0.55, 0, 30), bevel=5)
    rod((58, 92, 20), (0.35, -1, 0), 19, 104, steel, 8, 3)
    rod((-140, -150, 9), (1, -0.12, 0), 4, 190, steel)
    rod((-286, -132, 15), (1, -0.12, 0), 15, 118, red, 10, 5)
    for k in range(7):
        bolt((150 + 38 * (k % 4) + 9 * k, -120 - 34 * (k // 4) + 5 * k, 1), (0.1 * (k - 3), 0.3, 1), 15, steel)
    tape((120, 190, 12), (6, 0, -16), 260)
    tin = plain("tin", (64, 84, 104), (112, 116, 112), 0.35, 0.4, 40, 0.02, 0.3)
    rod((-330, 160, 62), (0, 0, 1), 52, 124, tin, 64, 1)
    for z in (3, 121):
        rod((-330, 160, z), (0, 0, 1), 54.5, 6, steel, 64, 2)
    rod((-330, 160, 122), (0, 0, 1), 47, 6, plain("paint", (70, 82, 66), (96, 100, 84), 0.35, 0, 20, 0.4), 64, 1)
    rng = np.random.default_rng(9)
    chips = [
        plain(f"chip{k}", c, None, 0.5, 0.7, 3) for k, c in enumerate(((120, 116, 110), (90, 84, 78), (104, 70, 46)))
    ]
    spots = np.stack([rng.normal(40, 260, 160), rng.normal(-20, 160, 160), np.full(160, 1.4)], -1)
    crumbs(stage, spots, rng.uniform(1.5, 7, 160), 6, chips)
    line([(300, -210, 7), (210, -240, 7), (90, -200, 7), (60, -120, 7), (-20, -110, 7)], 6, dark)
    box((0, 480, 160), (1800, 20, 400), plain("board", (150, 146, 132), (126, 122, 110), 0.9, 0, 120), bevel=0)
    stage.lamp("AREA", (-400, 200, 1300), 22, (0, 0, 0), (1200, 120), COOL)
    stage.lamp("AREA", (700, -600, 1100), 9, (0, 0, 0), (500, 500), NEUTRAL)
    stage.sky((0.8, 0.88, 1.0), 0.14)
    stage.camera((-60, -440, 300), (-40, 20, 20), 27, roll=-4, fstop=4)


def shop_floor(stage: Stage) -> None:
    """The floor and the wall behind: the telephone went off in the hand."""
    floor(stage, 0, -900)
    shop(stage, 0)
    hose = plain("hose", (150, 60, 40), (120, 50, 36), 0.5, 0, 30)
    line(
        [
            (-2400, 1500, 9),
            (-900, 500, 9),
            (-200, 700, 9),
            (300, 1000, 9),
            (700, 600, 9),
            (1900, 1900, 9),
            (3500, 2300, 9),
        ],
        9,
        hose,
    )
    stage.lamp("AREA", (-1500, 1200, 2600), 160, (0, 900, 0), (2200, 150), COOL)
    stage.lamp("AREA", (1500, 2600, 2600), 160, (0, 2600, 0), (2200, 150), COOL)
    stage.sky((0.8, 0.88, 1.0), 0.12)
    stage.camera((0, -600, 1250), (200, 900, 100), 27, roll=17)

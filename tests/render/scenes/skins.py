"""Outer skins: fender, bedside, tailgate, door bottom."""

from __future__ import annotations

import numpy as np

from .. import grime, lines
from ..coats import INSIDE, paint, sealer, tints
from ..nodes import plain
from ..noise import ramp
from ..props import bolt, box, rod
from ..rooms import COOL, NEUTRAL, WARM, floor, shop, wheel
from ..rust import Rust, eat
from ..shapes import bend, flat, length, profile
from ..skin import BACKGROUND, Skin
from ..stage import Stage
from .side import body

SKIN = bend([(-4, 430), (-20, 200), (-12, 20), (2, -26), (30, -32)], 16)


def _arch(s: Skin, at: tuple[float, float], radius: float) -> None:
    """Cut a wheel opening and turn its lip outwards."""
    d = np.hypot(s.u - at[0], s.v - at[1]) - radius
    s.form += 7 * ramp(d, 26, 3) - 2 * ramp(d, 60, 26) * ramp(d, 0, 26)
    s.eaten = np.maximum(s.eaten, -d / 4)
    s.label[d < 0] = BACKGROUND


def _surroundings(stage: Stage, low: float = -420) -> None:
    box((0, 330, 260), (2600, 30, 620), plain("dark", (20, 19, 18), (36, 31, 27), 0.95, 0, 40, 1), bevel=0)
    box((0, 420, -75), (2800, 70, 140), plain("rail", (44, 40, 36), (80, 56, 42), 0.9, 0, 9, 0.8, 0.4), bevel=5)
    box((0, 1050, 60), (2800, 1200, 20), plain("roof", (34, 31, 28), (60, 46, 36), 0.95, 0, 60, 2), bevel=0)
    floor(stage, low)
    shop(stage, low)
    stage.lamp("AREA", (-1500, -1500, 2000), 95, (0, 0, 0), (1800, 120), COOL)
    stage.lamp("AREA", (1500, -1000, 2200), 22, (0, 0, 0), (1800, 120), COOL)
    stage.lamp("SPOT", (-300, -700, -160), 5, (40, 0, 0), (50, 50), WARM, 100)
    stage.sky((0.75, 0.85, 1.0), 0.06)


def _behind_wheel(stage: Stage, at: tuple[float, float], size: tuple[float, float], seed: int, crease: float) -> None:
    s = stage.skin(1000, length(SKIN), 2.2, seed)
    s.form += 3 * ramp(np.abs(s.v - crease), 30, 4)
    spot = ramp(lines.oval(s, at, size, 6), 1.35, 0.3)
    worst = 0.12 + 0.22 * ramp(s.v, 340, 470) + 0.48 * spot
    body(s, worst, Rust(hole=None, scale=0.64), 0.28 + 0.2 * ramp(s.v, 250, 470), 0.55 * ramp(s.v, 150, 480))
    _arch(s, (60, 400), 360)
    stage.panel("skin", profile(SKIN, -500), s, main=True, step=1.4, thick=0.9)
    wheel(stage, -440, 42, 10)


def fender_left_rear(stage: Stage) -> None:
    """F13: scale at the lower edge behind the wheel opening."""
    _behind_wheel(stage, (560, 420), (170, 92), 41, 150)
    s = stage.skin(500, 600, 1.4, 44)
    body(s, 0.3 * ramp(s.v, 430, 600), Rust(hole=None), 0.3)
    stage.panel("door", flat((506, -6, 430)), s, step=3, thick=1)
    _surroundings(stage)
    stage.camera((80, -640, 60), (70, 0, 60), 27, roll=2)


def bedside_left_rear(stage: Stage) -> None:
    """F20: scale behind the rear wheel's opening, towards the bumper."""
    _behind_wheel(stage, (580, 330), (230, 130), 51, 90)
    box(
        (420, -30, -80),
        (700, 60, 90),
        plain("bumper", (168, 166, 160), (120, 92, 72), 0.3, 0.8, 40, 0.1, 0.25),
        bevel=14,
    )
    _surroundings(stage)
    stage.camera((60, -600, 130), (60, 0, 100), 27, roll=-2)


def tailgate(stage: Stage) -> None:
    """F21: surface rust along the lower seam."""
    s = stage.skin(1300, 480, 1.9, 61)
    inner = lines.box(s, (650, 190), (1100, 250), 40)
    s.form -= 6 * ramp(inner, 6, -8)
    s.form -= 2.5 * ramp(np.abs(s.v - 395), 5, 1.5)
    seam = ramp(np.abs(s.v - 402), 26, 3) * ramp(np.abs(s.u - 640), 330, 150)
    body(s, 0.17 + 0.36 * seam, Rust(hole=None, scale=0.95, runs=0.7), 0.35, 0.4 * ramp(s.v, 250, 480))
    stage.panel("tailgate", flat((-650, 0, 300)), s, main=True, step=1.6, thick=1)
    post = plain("post", *tints(stage.car), 0.45, 0, 60)
    for x in (-715, 715):
        box((x, 30, 60), (120, 80, 620), post, bevel=14)
    box(
        (0, 10, -270),
        (1600, 90, 130),
        plain("bumper", (170, 168, 162), (124, 96, 74), 0.28, 0.85, 40, 0.1, 0.2),
        bevel=20,
    )
    grey = plain("hinge", (120, 116, 108), (104, 70, 50), 0.5, 0.5, 5, 0.2, 0.4)
    for x in (-560, 560):
        box((x, -8, -150), (90, 14, 44), grey, bevel=4)
        bolt((x - 24, -16, -150), (0, -1, 0), 12, grey)
    _surroundings(stage, -620)
    stage.camera((-40, -720, 30), (-10, 0, -50), 27, roll=1.5)


def door_left_bottom(stage: Stage) -> None:
    """F14: the open door's inner side low down: pitted hem, drains closed with sealer."""
    outline = bend([(4, 330), (0, 60), (-16, 20), (-18, -8), (-30, -14)], 9)
    s = stage.skin(1000, length(outline), 2.2, 71)
    paint(s, INSIDE)
    for u in (170, 500, 820):
        s.form -= 5 * ramp(lines.box(s, (u, 130), (200, 140), 30), 4, -6)
    for u in (260, 720):
        s.form -= 2 * ramp(lines.box(s, (u, 318), (36, 9), 4), 1, -1)
        sealer(s, [(u - 30, 318), (u + 32, 320)], 16, (120, 118, 110))
    hem = ramp(s.v, 300, 345)
    worst = 0.16 + hem * (0.28 + 0.26 * ramp(np.abs(s.u - 480), 330, 170))
    eat(s, worst, Rust(hole=0.95, scale=0.72, pits=2.0, runs=0.2))
    grime.scratches(s, 10)
    grime.mud(s, 0.55 * hem)
    grime.dust(s, 0.4 + 0.2 * hem)
    stage.panel("hem", profile(outline, -500), s, main=True, step=1.4, thick=1)
    rubber = plain("seal", (26, 26, 26), (50, 47, 42), 0.8, 0, 10)
    rod((0, -12, 30), (1, 0, 0), 8, 1200, rubber)
    t = stage.skin(1300, 500, 1.0, 75)
    body(t, 0.3 + 0.1 * t.clouds("w", 60, 3), Rust(hole=None), 0.7, 0.5 + 0 * t.u)
    stage.panel("step", flat((-650, 520, -120), (1, 0, 0), (0, -1, 0)), t, step=4)
    _surroundings(stage, -420)
    stage.lamp("AREA", (60, -430, 60), 0.6, (0, 0, 30), (14, 14), NEUTRAL)
    stage.camera((30, -470, 150), (10, 0, 40), 27, roll=-1.5)

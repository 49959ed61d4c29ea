"""What only the coupe has: quarter, boot floor, battery tray, strut tower, the channel below the rear window."""

from __future__ import annotations

import numpy as np

from .. import grime, lines
from ..coats import INSIDE, paint, sealer, tints
from ..nodes import plain
from ..noise import ramp
from ..props import bolt, box, line, lug, rod
from ..rooms import floor, shop, wheel
from ..rust import Rust, eat, through
from ..shapes import bend, flat, length, profile
from ..skin import BACKGROUND
from ..stage import Stage
from .floor_pan import strewn
from .side import body

QUARTER = bend([(14, 520), (-16, 420), (-24, 200), (-14, 30), (4, -20), (34, -26)], 24)


def _by_day(stage: Stage, eye: tuple[float, float, float], target: tuple[float, float, float], roll: float) -> None:
    """A drive before a house on a grey day: soft light from above."""
    stage.lamp("AREA", (-900, -1200, 2200), 95, (0, 0, 0), (2600, 2200), (0.92, 0.96, 1.0))
    stage.sky((0.82, 0.89, 1.0), 0.35)
    stage.camera(eye, target, 27, roll=roll)


def quarter_left_arch(stage: Stage) -> None:
    """Blisters and a hole at the rear edge of the wheel opening."""
    s = stage.skin(1200, length(QUARTER), 2.0, 1)
    s.form -= 2 * ramp(np.abs(s.v - 150), 12, 2)
    d = np.hypot(s.u - 180, s.v - 470) - 330
    rust = Rust(hole=0.93, grain=0.9, blisters=1.5)
    near = ramp(d, 90, 8) * ramp(s.v, 180, 330)
    worst = through(s, 0.12 + 0.40 * near + 0.18 * ramp(s.v, 430, 560), rust, (500, 400), (96, 52), 70)
    body(s, worst, rust, 0.25 + 0.15 * ramp(s.v, 300, 540), 0.45 * ramp(s.v, 250, 560))
    s.form += 8 * ramp(d, 24, 3)
    s.eaten = np.maximum(s.eaten, -d / 4)
    s.label[d < 0] = BACKGROUND
    stage.panel("quarter", profile(QUARTER, -600), s, main=True, step=1.4, thick=0.9)
    wheel(stage, -420, 60, 40, 310)
    box((0, 330, 260), (2600, 30, 620), plain("dark", (20, 19, 18), (36, 31, 27), 0.95, 0, 40), bevel=0)
    box((0, 430, -70), (2600, 90, 90), plain("rail", (44, 40, 36), (80, 56, 42), 0.9, 0, 9, 0.8, 0.4), bevel=5)
    floor(stage, -270)
    shop(stage, -270)
    _by_day(stage, (0, -620, 130), (-40, 0, 120), 2)


def boot_floor(stage: Stage) -> None:
    """The boot's floor: a hole where water stood beside the spare wheel's well."""
    s = stage.skin(1500, 1160, 2.0, 2)
    well = np.hypot(s.u - 1010, s.v - 560) - 260
    s.form -= 90 * ramp(well, 14, -30)
    for v in (230, 340, 820, 930):
        s.form += 7 * ramp(lines.box(s, (430, v), (420, 34), 17), 5, -6)
    rust = Rust(hole=0.93, runs=0, spots=0.6)
    wet = ramp(lines.oval(s, (560, 600), (420, 300), 20), 1.35, 0.3)
    paint(s, INSIDE, 0.9)
    sealer(s, [(80, 0), (90, 600), (84, 1160)], 20, (120, 116, 104))
    eat(s, through(s, 0.15 + 0.36 * wet, rust, (570, 610), (130, 86), 25), rust)
    grime.scratches(s, 60)
    grime.dust(s, 0.4, (140, 128, 108))
    strewn(stage, s, (570, 600), 150, 120)
    stage.panel("boot floor", flat((-750, 580, 0), (1, 0, 0), (0, -1, 0)), s, main=True, step=1.6, thick=0.9)
    box((0, 0, -330), (3000, 3000, 10), plain("ground", (74, 70, 64), (50, 46, 42), 0.95, 0, 40, 1), bevel=0)
    rod((262, 20, -70), (0, 0, 1), 6, 60, plain("stud", (130, 126, 118), (108, 74, 52), 0.5, 0.5, 3))
    mat = plain("mat", (40, 40, 42), (54, 52, 50), 0.95, 0, 3, 1.0)
    line([(-1300, 300, 22), (-820, 340, 20), (-400, 380, 18), (0, 350, 24), (400, 400, 20), (800, 370, 26)], 26, mat)
    stage.lamp("AREA", (-300, -900, 1500), 60, (0, 0, 0), (1500, 900), (0.92, 0.96, 1.0))
    stage.sky((0.82, 0.89, 1.0), 0.2)
    stage.camera((-140, -300, 560), (-130, -20, 0), 27, roll=-3)


def battery_tray(stage: Stage) -> None:
    """Under the battery: acid and water have made scale of the tray."""
    s = stage.skin(900, 700, 2.4, 3)
    edge = lines.box(s, (450, 350), (330, 230), 26)
    s.form -= 14 * ramp(edge, 8, -8)
    for u in (370, 530):
        s.form += 5 * ramp(lines.box(s, (u, 350), (26, 150), 13), 4, -5)
    wet = ramp(edge, 40, -60)
    rust = Rust(hole=0.95, scale=0.66, runs=0, dry=0.6)
    paint(s, INSIDE)
    eat(s, through(s, 0.17 + 0.46 * wet, rust, (505, 400), (46, 30)), rust)
    grime.oil(s, 0.42 * ramp(s.u, 700, 900))
    grime.dust(s, 0.4, (132, 122, 106))
    s.lay(0.5 * wet * ramp(s.clouds("acid", 30, 6, 0.7), 0.9, 1.5), (196, 196, 186), 0.95)
    stage.panel("tray", flat((-450, 350, 0), (1, 0, 0), (0, -1, 0)), s, main=True, step=1.4, thick=0.9)
    box((0, 0, -260), (3000, 3000, 10), plain("below", (36, 34, 32), (60, 50, 42), 0.95, 0, 40, 1), bevel=0)
    black = plain("cable", (28, 28, 28), (46, 44, 42), 0.6, 0, 8)
    red = plain("red cable", (120, 34, 28), (92, 34, 28), 0.55, 0, 12)
    line([(-460, 300, 40), (-300, 270, 26), (-230, 215, 16), (-215, 160, 12)], 7, black)
    line([(470, 290, 40), (330, 285, 24), (250, 220, 14), (240, 165, 12)], 7, red)
    lead = plain("lug", (122, 112, 96), (96, 84, 70), 0.5, 0.6, 4, 0.1, 0.4)
    lug((-215, 158, 12), (0.15, -1, -0.1), lead)
    lug((240, 163, 12), (-0.1, -1, -0.1), lead)
    for x, y in ((-140, 96), (140, -92)):
        bolt((x, y, -10), (0, 0, 1), 13, plain("bolt", (112, 106, 98), (110, 72, 48), 0.5, 0.5, 3))
    box((0, 372, 90), (1800, 20, 240), plain("firewall", *tints(stage.car, INSIDE), 0.5, 0, 50), bevel=4)
    stage.lamp("AREA", (-500, -700, 1300), 34, (0, 0, 0), (900, 900), (0.92, 0.96, 1.0))
    stage.sky((0.82, 0.89, 1.0), 0.16)
    stage.camera((60, -330, 430), (10, -5, 0), 27, roll=3)


def strut_tower(stage: Stage) -> None:
    """The top of a front strut's tower: surface rust round the mounting, sealer cracked."""
    s = stage.skin(1300, 900, 2.2, 4)
    d = np.hypot(s.u - 650, s.v - 420)
    s.form += 60 * ramp(d, 210, 150)
    patch = ramp(np.abs(d - 150), 50, 10) * ramp(s.v, 340, 470)
    paint(s, INSIDE)
    sealer(s, _round(650, 420, 215), 14, (126, 124, 116))
    eat(s, 0.17 + 0.38 * patch, Rust(hole=None, scale=0.9, runs=0.2))
    grime.dust(s, 0.45, (132, 122, 106))
    stage.panel("tower", flat((-650, 420, 0), (1, 0, 0), (0, -1, 0)), s, main=True, step=1.4)
    steel = plain("plate", (96, 92, 86), (108, 74, 52), 0.5, 0.4, 6, 0.2, 0.3)
    rod((0, 0, 64), (0, 0, 1), 64, 7, steel, 64, 2)
    rod((0, 0, 76), (0, 0, 1), 15, 22, steel, bevel=2)
    for a in (0.4, 2.5, 4.6):
        bolt((48 * np.cos(a), 48 * np.sin(a), 67), (0, 0, 1), 13, steel)
    wall = plain("firewall", *tints(stage.car, INSIDE), 0.5, 0, 50)
    box((0, 445, 120), (2400, 20, 420), wall, bevel=6)
    rod((-180, 425, 70), (0, 1, 0), 24, 30, plain("grommet", (26, 26, 26), None, 0.7, 0, 8), bevel=5)
    hose = plain("hose", (30, 30, 30), (50, 48, 46), 0.65, 0, 9)
    line([(-800, 250, 40), (-200, 290, 90), (150, 270, 80), (800, 330, 50)], 13, hose)
    stage.lamp("AREA", (500, -600, 1300), 34, (0, 0, 0), (900, 900), (0.92, 0.96, 1.0))
    stage.sky((0.82, 0.89, 1.0), 0.16)
    stage.camera((-50, -360, 470), (0, -20, 20), 27, roll=-2)


def _round(u: float, v: float, radius: float) -> list[tuple[float, float]]:
    """A closed path round a place."""
    a = np.linspace(0, 2 * np.pi, 37)
    return [(float(u + radius * np.cos(t)), float(v + radius * np.sin(t))) for t in a]


def rear_window_channel(stage: Stage) -> None:
    """Below the rear window's rubber: blisters, and scale that has broken through the paint."""
    s = stage.skin(1200, 520, 2.2, 5)
    edge = ramp(s.v, 190, 60) * ramp(np.abs(s.u - 610), 330, 120)
    body(s, 0.13 + 0.48 * edge, Rust(hole=None, scale=0.68, blisters=1.8, runs=0.5), 0.25)
    stage.panel("tail", flat((-600, 250, 30), (1, 0, 0), (0, -0.98, -0.17)), s, main=True, step=1.3)
    rubber = plain("seal", (24, 24, 24), (44, 42, 38), 0.75, 0, 10)
    line([(-640, 245, 42), (-300, 232, 44), (0, 228, 45), (300, 232, 44), (640, 245, 42)], 13, rubber)
    box((0, 420, 190), (1700, 6, 480), plain("glass", (30, 36, 38), (40, 46, 48), 0.08, 0, 300, 0), (-48, 0, 0), 0)
    stage.lamp("AREA", (500, -500, 1800), 50, (0, 0, 0), (1600, 1200), (0.92, 0.96, 1.0))
    stage.sky((0.82, 0.89, 1.0), 0.3)
    stage.camera((30, -330, 330), (10, 60, 10), 27, roll=-3)

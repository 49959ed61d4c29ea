"""The cab inside and in front: toe board, kick panel, firewall, cowl, drip rail, core support."""

from __future__ import annotations

import numpy as np

from .. import grime, lines
from ..coats import CHASSIS, INSIDE, PRIMER, paint, sealer, tints
from ..nodes import plain
from ..noise import ramp
from ..props import bolt, box, crumbs, hand_lamp, line, rod
from ..rooms import COOL, NEUTRAL, WARM, floor, shop
from ..rust import Rust, eat, through
from ..shapes import bend, flat, length, profile
from ..skin import BACKGROUND, SOUND, Skin
from ..stage import Stage
from .side import body


def _flash(
    stage: Stage,
    eye: tuple[float, float, float],
    target: tuple[float, float, float],
    roll: float,
    watt: float = 1.0,
    tall: bool = False,
) -> None:
    """A dim cab lit by the telephone's own lamp and what falls in by the door."""
    stage.lamp("AREA", tuple(e + d for e, d in zip(eye, (30, 10, 20), strict=True)), watt, target, (14, 14), NEUTRAL)
    stage.lamp("AREA", (-1300, -300, 700), 18, target, (500, 600), COOL)
    stage.lamp("AREA", (900, -700, 1000), 6, target, (500, 300), WARM)
    stage.sky((0.75, 0.85, 1.0), 0.07)
    stage.camera(eye, target, 27, roll=roll, tall=tall)


def toe_board_left(stage: Stage) -> None:
    """F7: pinholes in a row along the seam to the floor pan."""
    outline = bend([(260, 420), (40, 60), (0, 0), (-420, -6)], 22)
    s = stage.skin(1100, length(outline), 2.2, 81)
    seam = 425.0
    for u in (260, 540, 820):
        s.form += 7 * ramp(lines.box(s, (u, 210), (60, 250), 28), 6, -8)
    s.form += 1.3 * ramp(s.v, seam, seam + 1.5)
    paint(s, INSIDE, 0.9)
    sealer(s, [(0, seam - 6), (450, seam - 9), (700, seam - 7), (1100, seam - 6)], 15)
    wide = ramp(lines.oval(s, (545, seam - 10), (330, 130)), 1.3, 0.3)
    rust = Rust(hole=0.93, runs=0.3, grain=0.6)
    worst = 0.16 + 0.40 * wide
    for u, v, long in (
        (446, -14, 20),
        (482, -10, 15),
        (514, -17, 26),
        (557, -12, 30),
        (600, -15, 17),
        (634, -10, 13),
    ):
        worst = through(s, worst, rust, (u, seam + v), (long, 0.62 * long), 10)
    eat(s, worst, rust)
    glue = ramp(s.clouds("glue", (120, 60), 5, 0.6), 0.9, 1.5)
    s.lay(0.4 * glue, (104, 86, 56), 0.7, 0.1)
    grime.mud(s, 0.35 * ramp(s.v, 430, 560), (120, 102, 80))
    grime.scratches(s, 24)
    grime.dust(s, 0.25 + 0.25 * ramp(s.v, 400, 470))
    grime.chalk(s, grime.ring((545, seam - 8), (230, 120)))
    stage.panel("toe board", profile(outline, -550), s, main=True, step=1.4, thick=0.9)
    box((0, 60, -170), (2000, 900, 10), plain("ground", (40, 36, 33), None, 0.95, 0, 40, 1), bevel=0)
    arm = plain("pedal arm", (58, 56, 52), (92, 66, 48), 0.6, 0.2, 8, 0.1, 0.3)
    rubber = plain("pedal", (26, 26, 26), (58, 52, 46), 0.8, 0, 8, 0.3)
    for x in (-150, 70):
        line([(x, 190, 420), (x, 60, 300), (x - 4, -20, 215)], 8, arm)
        box((x - 4, -30, 200), (62, 14, 52), rubber, (30, 0, 0), 5)
    _flash(stage, (20, -400, 290), (-5, -6, 22), 2, 2.4)


def _along_foot() -> np.ndarray:
    """Where flakes lie that fell from the seam: on the floor before it."""
    rng = np.random.default_rng(7)
    return np.stack([rng.normal(20, 90, 60), -12 - rng.exponential(34, 60), np.full(60, -183.0)], -1)


def kick_panel_right(stage: Stage) -> None:
    """F23: surface rust along the seam at its foot."""
    s = stage.skin(900, 560, 2.4, 91)
    s.form += 6 * ramp(lines.box(s, (450, 210), (420, 220), 50), 6, -8)
    s.form += 1.3 * ramp(s.v, 438, 440)
    paint(s, INSIDE)
    sealer(s, [(0, 434), (430, 436), (560, 434), (900, 436)], 12)
    for k in range(5):
        slot = lines.box(s, (330, 150 + 30 * k), (150, 9), 4.5)
        s.form += 3 * ramp(slot, 9, 0)
        s.eaten, s.label[slot < 0] = np.maximum(s.eaten, -slot), BACKGROUND
    for u, v in ((250, 110), (250, 312), (620, 120), (700, 330)):
        hole = np.hypot(s.u - u, s.v - v) - 4
        s.eaten, s.label[hole < 0] = np.maximum(s.eaten, -hole), BACKGROUND
    glue = ramp(s.clouds("glue", (60, 130), 5, 0.6), 0.8, 1.4)
    s.lay(0.45 * glue, (108, 88, 56), 0.7, 0.1)
    foot = ramp(np.abs(s.v - 425), 46, 6) * ramp(np.abs(s.u - 480), 130, 50)
    eat(s, 0.17 + 0.42 * foot, Rust(hole=None, scale=0.95, runs=0.3, spots=0.3))
    grime.scratches(s, 16)
    grime.dust(s, 0.25 + 0.3 * ramp(s.v, 380, 520))
    stage.panel("kick panel", flat((-450, 0, 330)), s, main=True, step=1.4)
    t = stage.skin(1200, 500, 1.4, 92)
    paint(t, INSIDE, 0.9)
    eat(t, 0.30 + 0.1 * t.clouds("w", 80, 3), Rust(hole=None, runs=0))
    grime.dust(t, 0.6)
    stage.panel("floor", flat((-600, -500, -185), (1, 0, 0), (0, 1, 0)), t, step=3)
    line(
        [(330, -10, 340), (320, -14, 60), (345, -12, -170)], 6, plain("loom", (30, 30, 31), (50, 46, 42), 0.55, 0, 5)
    )
    bolt((120, -6, 250), (0, -1, 0), 10, plain("screw", (120, 116, 108), (104, 72, 50), 0.4, 0.6, 3))
    box((0, 60, 60), (1200, 10, 620), plain("hollow", (20, 19, 18), None, 0.95, 0, 40), bevel=0)
    felt = plain("felt", (66, 58, 50), (44, 40, 36), 0.98, 0, 2.2, 2.5)
    line([(-600, -150, -172), (-300, -120, -166), (-60, -160, -170), (200, -112, -165), (600, -150, -172)], 17, felt)
    crumbs(stage, _along_foot(), np.random.default_rng(8).uniform(2, 9, 60), 8)
    _flash(stage, (70, -370, 60), (30, 0, -45), -3, 2.0)


def _let_in(s: Skin) -> None:
    """A piece 150 x 110 mm let in edge to edge, its seam dressed, primed round about by brush."""
    edge = lines.box(s, (470, 370), (150, 110), 14) + 1.2 * s.clouds("cut", 60, 2)
    s.form += 1.6 * ramp(np.abs(edge), 60, 0) * s.clouds("drawn", 70, 2) + 0.9 * ramp(edge, 0, -60)
    p = Skin(s.width_mm, s.height_mm, s.fine, 5, s.car)
    paint(p, PRIMER, 0.8)
    strokes = p.clouds("strokes", (60, 3.2), 3)
    p.colour *= (1 + 0.06 * strokes)[..., None]
    p.height += 0.03 * strokes
    grime.water(p, 0.5)
    grime.dust(p, 0.4)
    reach = edge + 7 * s.clouds("brush", (44, 20), 4) + 1.1 * s.clouds("bristles", (40, 6), 3)
    over = ramp(reach, 34, 30) * ramp(s.clouds("thin coat", (30, 6), 5), 2.6, 2.0)
    for mine, new in ((s.colour, p.colour), (s.rough, p.rough)):
        mine += (over[..., None] if mine.ndim == 3 else over) * (new - mine)
    s.gloss *= 1 - over
    s.height *= 1 - 0.7 * over
    s.height += over * (p.height + 0.08)
    s.label[over > 0.5] = SOUND
    rng = s.chance("hand")
    corners = ((531, 329, -90), (531, 411, 0), (409, 411, 90), (409, 329, 180))
    around = [
        (
            x + 14 * np.cos(np.radians(turn + a)) + rng.normal(0, 0.5),
            y + 14 * np.sin(np.radians(turn + a)) + rng.normal(0, 0.5),
        )
        for x, y, turn in corners
        for a in (0, 22, 45, 67, 90)
    ]
    before = s.colour.copy()
    grime.bead(s, [*around, around[0]], 6.0, 0.66)
    s.colour[:] = before * 0.72 + 0.28 * s.colour


def firewall(stage: Stage) -> None:
    """F17: an earlier repair that is sound: let in edge to edge, dressed, primed."""
    s = stage.skin(1000, 760, 2.4, 95)
    for v in (110, 640):
        s.form += 6 * ramp(lines.box(s, (500, v), (820, 44), 20), 5, -6)
    body(s, 0.14 + 0.05 * s.clouds("w", 90, 2), Rust(hole=None, spots=0.4, runs=0.2), 0.45, coat=INSIDE)
    grime.oil(s, 0.5 * ramp(s.v, 560, 760))
    _let_in(s)
    stage.panel("firewall", flat((-500, 0, 380)), s, main=True, step=1.4)
    black = plain("grommet", (24, 24, 24), (44, 42, 40), 0.7, 0, 8)
    rod((170, -8, -20), (0, -1, 0), 44, 18, black, bevel=6)
    rod((170, -150, -20), (0.05, -1, -0.05), 19, 320, plain("column", (70, 70, 66), (98, 74, 54), 0.5, 0.3, 10))
    rod((-330, -4, 90), (0, -1, 0), 22, 12, black, bevel=5)
    line([(-330, -6, 90), (-320, -60, 110), (-200, -40, 190), (100, -26, 232), (520, -30, 226)], 8, black)
    line(
        [(-520, -14, -212), (-200, -18, -200), (60, -16, -216), (520, -16, -205)],
        3.2,
        plain("pipe", (128, 116, 92), (98, 72, 50), 0.45, 0.6, 5),
    )
    _flash(stage, (-40, -520, 60), (-25, 0, 10), 2, 2.0)


def cowl_top(stage: Stage) -> None:
    """F19: scale round the air slots."""
    s = stage.skin(1200, 520, 2.0, 101)
    f = body(
        s, 0.15 + 0.48 * ramp(lines.oval(s, (590, 335), (250, 120), 3), 1.4, 0.3), Rust(hole=None, scale=0.63), 0.4
    )
    for k in range(-6, 7):
        slot = lines.box(s, (600 + 46 * k, 335), (13, 110), 6.5)
        s.form += 2.2 * ramp(slot, 9, 1)
        s.eaten = np.maximum(s.eaten, -slot)
        s.label[slot < 0] = BACKGROUND
    grime.mud(s, 0.25 + 0.2 * ramp(f, 0.3, 0.6), (104, 92, 66))
    stage.panel("cowl", flat((-600, 310, 6), (1, 0, 0), (0, -1, -0.06)), s, main=True, step=1.4, thick=0.9)
    rubber = plain("seal", (24, 24, 24), (46, 43, 38), 0.8, 0, 10)
    rod((0, 222, 8), (1, 0, 0), 11, 1600, rubber)
    box((0, 380, 130), (1600, 6, 320), plain("glass", (52, 60, 58), (70, 78, 74), 0.12, 0, 200, 0.0), (-52, 0, 0), 0)
    box((0, 0, -70), (1400, 500, 10), plain("well", (36, 32, 27), (62, 50, 38), 0.95, 0, 25, 1), bevel=0)
    box((0, -330, -6), (1600, 230, 12), plain("hood", *tints(stage.car), 0.4, 0, 80), (4, 0, 0), 8)
    arm = plain("wiper", (40, 40, 40), (80, 74, 66), 0.4, 0.3, 10)
    rod((330, 120, 12), (0, 0, 1), 15, 24, arm, bevel=4)
    line([(330, 120, 24), (150, 190, 34), (-190, 236, 40)], 4.5, arm)
    rng = np.random.default_rng(5)
    spots = np.stack([rng.normal(-110, 200, 26), rng.normal(196, 16, 26), np.full(26, 7.0)], -1)
    leaves = [
        plain(f"leaf{k}", c, None, 0.8, 0, 5) for k, c in enumerate(((104, 78, 42), (78, 56, 34), (126, 104, 58)))
    ]
    crumbs(stage, spots, rng.uniform(9, 34, 26), 5, leaves)
    stage.lamp("AREA", (-1400, -300, 1700), 70, (0, 0, 0), (1500, 1500), COOL)
    stage.lamp("AREA", (1200, -900, 1600), 20, (0, 0, 0), (1200, 120), NEUTRAL)
    stage.sky((0.75, 0.86, 1.0), 0.22)
    stage.camera((20, -430, 430), (0, 10, 0), 27, roll=2)


def drip_rail_left(stage: Stage) -> None:
    """F18: the gutter above the door: its seam is pitted."""
    outline = bend(
        [
            (160, 130),
            (20, 66),
            (4, 40),
            (2, 16),
            (-10, 8),
            (-22, 12),
            (-24, 24),
            (-26, 8),
            (-16, -6),
            (2, -10),
            (2, -190),
        ],
        4,
    )
    s = stage.skin(1000, length(outline), 2.4, 111)
    at = length(outline[:-1])
    shop(stage, -1500)
    gutter = ramp(np.abs(s.v - (at - 66)), 34, 8)
    worst = 0.15 + 0.46 * gutter * ramp(np.abs(s.u - 490), 190, 80) + 0.12 * gutter
    body(s, worst, Rust(hole=0.97, scale=0.70, pits=1.8, runs=0.8, spots=0.4, grain=0.6), 0.28)
    stage.panel("drip rail", profile(outline, -500), s, main=True, step=0.9)
    rubber = plain("seal", (26, 26, 26), (52, 48, 42), 0.8, 0, 10)
    rod((0, -6, -150), (1, 0, 0), 9, 1600, rubber)
    box((0, 40, -330), (1600, 8, 330), plain("glass", (34, 40, 40), (48, 54, 52), 0.1, 0, 300, 0), bevel=0)
    stage.lamp("AREA", (-1200, -900, 1500), 60, (0, 0, 0), (1300, 900), COOL)
    stage.lamp("AREA", (1200, -700, 900), 20, (0, 0, 0), (1200, 120), NEUTRAL)
    stage.sky((0.75, 0.86, 1.0), 0.16)
    stage.camera((40, -360, 150), (10, 0, 10), 27, roll=-2)


def core_support(stage: Stage) -> None:
    """F25: surface rust on the lower bar before the radiator."""
    outline = bend([(60, 45), (0, 42), (0, -42), (60, -46)], 10)
    s = stage.skin(1100, length(outline), 2.2, 121)
    patch = ramp(lines.oval(s, (540, 112), (230, 80)), 1.4, 0.4)
    for u in (250, 820):
        hole = np.hypot(s.u - u, s.v - 102) - 9
        s.eaten = np.maximum(s.eaten, -hole)
        s.label[hole < 0] = BACKGROUND
    paint(s, CHASSIS, 0.9)
    eat(s, 0.22 + 0.36 * patch, Rust(hole=None, scale=0.95, runs=0.4, dry=0.5))
    grime.mud(s, 0.35 * ramp(s.v, 60, 150))
    grime.dust(s, 0.5)
    stage.panel("core support", profile(outline, -550), s, main=True, step=1.3)
    _radiator(stage)
    box((0, 130, 260), (2400, 20, 560), plain("behind", (26, 25, 24), None, 0.95, 0, 40), bevel=0)
    box((0, 420, -90), (2600, 90, 110), plain("member", (46, 43, 40), (82, 58, 44), 0.9, 0, 9, 0.8, 0.4), bevel=5)
    dark = plain("stay", (46, 45, 43), (88, 62, 46), 0.7, 0.1, 10, 0.2, 0.35)
    for x in (-430, 420):
        box((x, 30, 240), (70, 40, 420), dark, bevel=5)
        bolt((x, -2, 14), (0, -1, 0), 15, plain("bolt", (110, 104, 96), (106, 72, 50), 0.5, 0.5, 3))
    hand_lamp((372, 22, 62), 183)
    floor(stage, -460)
    shop(stage, -460)
    stage.lamp("AREA", (-900, -900, 1200), 30, (0, 0, 0), (900, 400), COOL)
    stage.lamp("AREA", (60, -500, 110), 0.9, (0, 0, 20), (14, 14), NEUTRAL)
    stage.lamp("AREA", (-1300, 1500, 1900), 60, (-600, 900, -460), (2000, 140), COOL)
    stage.sky((0.75, 0.86, 1.0), 0.08)
    stage.camera((30, -480, 110), (0, 0, 25), 27, roll=2)


def _radiator(stage: Stage) -> None:
    """Fins and tubes, some bent, dusty; with what has flown into it."""
    s = stage.skin(860, 420, 2.2, 125)
    fold = 0.5 + 0.5 * np.sin(
        s.v * 2 * np.pi / 2.6 + 1.2 * ramp(s.clouds("bent", 22, 3), 0.9, 1.6) * s.clouds("b2", 6, 2)
    )
    tube = ramp(np.abs((s.u % 11.0) - 5.5), 1.6, 1.0)
    tone = (0.016 + 0.10 * fold * (1 - tube) + 0.07 * tube)[..., None] * np.array([1.0, 0.97, 0.92], np.float32)
    s.lay(np.ones(s.shape, np.float32), tone, 0.6, 0, 0.3)
    s.form += 1.0 * tube + 0.5 * fold
    grime.mud(s, 0.30 + 0 * s.u, (120, 108, 84))
    grime.dust(s, 0.3)
    stage.panel("radiator", flat((-430, 70, 430)), s, step=2, sag=0)

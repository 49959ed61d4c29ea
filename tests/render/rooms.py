"""Where the car stands: what is behind it and what lights it. Needs `bpy`."""

from __future__ import annotations

import numpy as np

from . import grime
from .coats import INSIDE, paint
from .nodes import plain
from .noise import ramp
from .props import box, line, rod
from .rust import Rust, eat
from .shapes import disc, flat
from .skin import BACKGROUND, Skin
from .stage import Stage
from .tone import linear

COOL, WARM, NEUTRAL = (0.86, 0.94, 1.0), (1.0, 0.84, 0.64), (1.0, 0.97, 0.93)


def concrete(s: Skin) -> Skin:
    """A workshop's floor: trowelled, cracked, with oil and tyre marks."""
    n = 0.6 * s.clouds("con1", 420, 5) + 0.35 * s.clouds("con2", 60, 5, 0.6) + 0.25 * s.clouds("con3", 6, 4, 0.7)
    tone = linear((132, 128, 120)) * (1 + 0.13 * n)[..., None].clip(0.3, 2)
    s.lay(np.ones(s.shape, np.float32), tone, 0.8)
    near, second, _ = s.cells("crack", 900)
    crack = ramp(second - near + 0.01 * s.clouds("crack2", 40, 4), 0.006, 0.001)
    s.colour *= (1 - 0.75 * crack)[..., None]
    spill = ramp(s.clouds("spill", 300, 5, 0.6), 1.1, 1.9)
    s.lay(0.7 * spill, (44, 40, 36), 0.4, 0.1)
    for name, mm, rare in (("drops", 120, 0.72), ("splats", 340, 0.62)):
        drops, _, own = s.cells(name, mm)
        drops = drops + 0.07 * s.clouds(name + " edge", (0.25 * mm, 0.3 * mm), 4)
        size = 0.05 + 0.16 * (own - rare) / (1 - rare)
        s.lay(0.55 * ramp(drops, size + 0.02, 0.4 * size) * (own > rare), (44, 40, 36), 0.5)
    s.lay(0.5 * ramp(s.clouds("con5", 5, 3), 1.9, 2.6), (58, 52, 46), 0.9)
    s.height += 0.25 * s.clouds("con4", 8, 4) - 0.8 * crack
    grime.dust(s, 0.25)
    return s


def floor(stage: Stage, z: float, near: float = -1500, deep: float = 4500, wide: float = 5000) -> None:
    """The concrete below; `z` its height."""
    s = concrete(stage.skin(wide, deep, 0.3, 901))
    stage.panel("floor", flat((-wide / 2, near + deep, z), (1, 0, 0), (0, -1, 0)), s, step=60, sag=0)


def shop(stage: Stage, z: float) -> None:
    """A wall far behind with shelves, bins and a door, so that what is out of focus is something."""
    rng = np.random.default_rng([stage.seed, stage.along])
    wall = plain("wall", (168, 164, 150), (140, 136, 124), 0.9, 0, 300, 0.5)
    box((0, 4300, z + 1500), (12000, 60, 3200), wall, bevel=0)
    box((0, 4262, z + 420), (12000, 20, 850), plain("dado", (82, 96, 96), (70, 80, 78), 0.6, 0, 300), bevel=0)
    tones = [(74, 60, 56), (58, 63, 70), (104, 98, 84), (66, 64, 60), (98, 96, 92), (56, 61, 57)]
    paints = [plain(f"bin{k}", c, None, 0.55, 0, 60) for k, c in enumerate(tones)]
    wood = plain("bench", (104, 78, 52), (84, 62, 42), 0.7, 0, 80)
    for x in (k - stage.along for k in (-4900, -2900, -900, 1100, 2600, 4600)):
        box((x, 3900, z + 860), (1700, 600, 50), wood)
        for leg in (-780, 780):
            box((x + leg, 3900, z + 420), (70, 500, 840), paints[3])
        for _ in range(9):
            w, d, h = rng.uniform(60, 320), rng.uniform(60, 260), rng.uniform(60, 360)
            spot = (x + rng.uniform(-700, 700), 3900 + rng.uniform(-160, 160), z + 885 + h / 2)
            box(spot, (w, d, h), paints[int(rng.integers(6))], (0, 0, rng.uniform(-30, 30)), 6)
    for _ in range(7):
        spot = (rng.uniform(-3800, 3800), 3500 + rng.uniform(-200, 200), z + 300)
        rod(spot, (0, 0, 1), rng.uniform(140, 290), 600, paints[int(rng.integers(6))])


def beyond(stage: Stage, watt: float = 70) -> None:
    """Tubes that light the far half of the shop, as it is seen below a car on a lift."""
    for x in (-1700, 1500):
        stage.lamp("AREA", (x, 3000, 1900), watt, (x, 3000, -900), (2400, 140), COOL)


def wheel(stage: Stage, x: float, y: float, z: float, radius: float = 350) -> None:
    """A tyre with its ribbed wall and a painted steel wheel in it; no name on either."""
    s = stage.skin(2 * np.pi * radius, 150, 0.9, 921)
    s.lay(np.ones(s.shape, np.float32), (40, 39, 37), 0.8)
    for v in (12, 22, 34, 96, 106, 128):
        s.form += 1.6 * ramp(np.abs(s.v - v), 3.5, 1.5)
    s.form += 5 * ramp(s.v, 16, 2) * (np.abs((s.u % 36) - 18) > 6)
    grime.mud(s, 0.4 * ramp(s.v, 60, 0), (84, 75, 62))
    s.lay(np.full(s.shape, 0.22 * grime.DUSTY[s.car], np.float32), grime.DUST, 0.9)
    grime.dust(s, 0.16)
    stage.panel("tyre", disc((x, y, z), radius, 26), s, step=2.5, sag=0)
    w = stage.skin(2 * np.pi * 202, 200, 0.9, 922)
    paint(w, INSIDE)
    eat(w, 0.24 + 0.2 * ramp(w.v, 30, 5), Rust(hole=None, runs=0, spots=0.8))
    w.form += 12 * ramp(w.v, 26, 8) - 22 * ramp(np.abs(w.v - 60), 40, 10) + 16 * ramp(w.v, 100, 140)
    slot = np.hypot(((w.u % 317) - 158) * 0.6, w.v - 66) - 17
    w.eaten, w.label[slot < 0] = np.maximum(w.eaten, -slot), BACKGROUND
    grime.dust(w, 0.7, (110, 98, 82))
    stage.panel("wheel", disc((x, y + 12, z), 202), w, step=2.5, sag=0)
    dark = plain("drum", (46, 42, 38), (86, 60, 46), 0.9, 0.1, 10, 0.4, 0.5)
    rod((x, y + 90, z), (0, 1, 0), 192, 40, dark, 72, 2)
    rod((x, y + 116, z), (0, 1, 0), radius - 8, 120, plain("tread", (18, 17, 16), (30, 27, 24), 0.9, 0, 6), 96, 20)
    rod((x, y - 6, z), (0, 1, 0), 42, 40, plain("cap", (120, 118, 112), (96, 78, 62), 0.4, 0.7, 14), 48, 8)


def under(stage: Stage, top: float, deep: float = 900) -> None:
    """What is seen above and behind a frame rail: the bed's floor, sills, a propeller shaft, a pipe, a hose."""
    s = stage.skin(2200, deep + 500, 0.6, 911)
    paint(s, INSIDE)
    grime.dust(s, 0.9, (96, 84, 70))
    eat(s, 0.42 + 0.12 * s.clouds("w", 200, 3), Rust(hole=None, runs=0, dry=0.5))
    grime.dust(s, 0.8, (84, 74, 62))
    s.form += 9 * np.clip(np.sin(s.v / 70 * np.pi) * 2, -1, 1)
    stage.panel("bed", flat((-1100, -150, top), (1, 0, 0), (0, 1, 0)), s, step=6)
    dark = plain("sill", (58, 52, 46), (84, 58, 42), 0.9, 0, 9, 0.6, 0.5)
    for x in (-760, -140, 620):
        box((x, 420, top - 42), (70, 1200, 70), dark, (0, 0, 1), 6)
    grey = plain("shaft", (70, 62, 54), (96, 64, 44), 0.8, 0.1, 12, 0.3, 0.45)
    rod((0, deep * 0.62, top - 330), (1, 0, 0.05), 42, 2600, grey)
    rod(
        (0, deep * 0.42, top - 250),
        (1, 0, -0.02),
        26,
        2600,
        plain("pipe", (104, 78, 60), (72, 52, 42), 0.85, 0.2, 14, 0.4),
    )
    box(
        (0, deep, top - 150),
        (3200, 60, 190),
        plain("far rail", (44, 40, 36), (84, 58, 44), 0.9, 0, 9, 0.6, 0.4),
        bevel=6,
    )
    box(
        (-330, deep - 160, top - 190),
        (560, 300, 190),
        plain("tank", (60, 58, 54), (88, 68, 54), 0.7, 0.1, 30, 0.3),
        bevel=30,
    )
    box((0, deep + 330, top - 40), (3200, 30, 300), plain("bedside", (60, 66, 58), (78, 62, 48), 0.9, 0, 40), bevel=0)
    beyond(stage)
    hose = plain("hose", (30, 30, 30), (58, 52, 46), 0.7, 0, 12)
    line([(-1000, 180, top - 60), (-300, 190, top - 75), (200, 175, top - 58), (1000, 185, top - 70)], 7, hose)


__all__ = ["COOL", "NEUTRAL", "WARM", "concrete", "floor", "shop", "under", "wheel"]

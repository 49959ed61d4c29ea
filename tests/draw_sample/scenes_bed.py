"""Scenes at the bed: bedside, tailgate, bed floor; and the bench picture that belongs nowhere."""

from __future__ import annotations

import numpy as np

from . import shapes, things
from .camera import View
from .canvas import Canvas, Lamp, Part
from .coats import GREEN_INSIDE, bare_steel, concrete, dirt, paint, primer, runs, undercoat
from .noise import smooth
from .rust import SCALE, SURFACE, rust
from .scene import scene


@scene("bedside_left_rear", 520, centre=(330, 370))
def bedside_left_rear(c: Canvas) -> View:
    c.lay(concrete(c))
    c.dim(0.2 + 0.8 * smooth(c.y, 400, 560))
    c.soften(6)
    tyre = undercoat(c, shapes.circle(c.x, c.y, -160, 520, 330), (0.014, 0.014, 0.014))
    tread = 3 * smooth(np.abs((np.arctan2(c.y - 520, c.x + 160) * 40) % 2 - 1), 0.4, 0.6)
    wheel = shapes.circle(c.x, c.y, -160, 520, 330)
    blocks = tread * smooth(wheel, -34, -28) - 4 * smooth(np.abs(wheel + 70), 5, 2) - 9 * smooth(wheel, -120, -180)
    c.lay(things.edge(tyre.raised(blocks.astype("float32")), c, 9), 30)
    arch = shapes.circle(c.x, c.y, -160, 500, 400)
    part = paint(c, np.maximum(c.y - 440, -arch))
    lip = 9 * smooth(arch, 26, 8) - 22 * smooth(c.y, 412, 442) + 8 * smooth(c.y, 170, 196)
    part = dirt(c, part.raised(lip.astype("float32")), 0.5)
    place = np.minimum(shapes.ellipse(c.x, c.y, (345, 412), (86, 50)), 436 - c.y)
    place = np.minimum(place, np.maximum(arch - 6, 330 - c.y))
    part = rust(c, part, place, 20, SCALE)
    c.lay(part, 26)
    things.rule(c, (262, 275), -2.0)
    c.mark("rust", (258, 356), (432, 356), (432, 442), (258, 442))
    c.mark("wheel opening lip", (228, 300))
    return View(-1.5, (0.07, 0.0), 1.03)


@scene("tailgate", 640, centre=(460, 390), lamp=Lamp(centre=(0.35, 0.3), reach=0.7))
def tailgate(c: Canvas) -> View:
    c.lay(concrete(c))
    c.dim(0.3 + 0.7 * smooth(c.y, 480, 640))
    c.soften(6)
    part = paint(c, shapes.box(c.x, c.y, (40, -200, 1200, 500), 14))
    panel = things.dome(shapes.box(c.x, c.y, (130, -200, 1100, 360), 26), -6, 10)
    part = dirt(c, part.raised((panel - 9 * smooth(c.y, 480, 502)).astype("float32")), 0.42)
    part = things.seam(c, part, [(40, 452), (1100, 452)], 3.0, 1.5)
    place = np.minimum(
        np.maximum(np.abs(c.y - 460) - 9, np.abs(c.x - 470) - 190), shapes.ellipse(c.x, c.y, (520, 464), (100, 12))
    )
    part = rust(c, runs(c, part, smooth(c.y, 455, 470) * smooth(c.y, 510, 480)), place, 14, SURFACE)
    c.lay(part, 20)
    side = paint(c, np.maximum(c.x - 26, c.y - 520))
    c.lay(side.raised((-10 * smooth(c.x, 8, 28)).astype("float32")), 8)
    c.mark("rust", (278, 446), (662, 446), (662, 478), (278, 478))
    return View(1.2, (0.05, -0.03), 1.03)


@scene("bed_floor_front", 980)
def bed_floor_front(c: Canvas) -> View:
    part = primer(c, c.full(-1), GREEN_INSIDE)
    ribs = c.full(0)
    for x in range(-60, 1120, 120):
        ribs += things.dome(np.abs(c.x - x) - 22, 12, 10)
    part = dirt(c, part.raised(ribs), 0.85, low_first=0.1)
    place = np.minimum(c.y - 52, shapes.ellipse(c.x, c.y, (420, 190), (250, 150)))
    part = rust(c, part, place, 48, SURFACE)
    part = things.spot_welds(c, part, [(-80, 60), (1060, 60)], 60, 4)
    c.lay(part)
    wall = primer(c, c.y - 34, GREEN_INSIDE)
    c.lay(rust(c, wall.raised((18 * smooth(c.y, 40, 0)).astype("float32")), 20 - c.y, 18, SURFACE), 10)
    for at in ((240, 480), (720, 250)):
        things.bolt(c, at, 20)
    things.rule(c, (500, 560), -2.0)
    c.mark("rust", (150, 40), (680, 40), (680, 335), (150, 335))
    c.mark("bed bolts", (240, 480), (720, 250))
    c.mark("seam to the front wall", (0, 36), (980, 36))
    return View(-1.5, (0.03, 0.10), 1.03)


@scene("bench", 620, lamp=Lamp(centre=(0.6, 0.3), reach=0.6))
def bench(c: Canvas) -> View:
    """A bench top with tools: a picture that belongs to no zone."""
    grain = c.noise(300, 0.7, (1.0, 0.035))
    tone = (0.10 + 0.07 * (grain - 0.5))[..., None] * np.array((1.2, 0.9, 0.62), "float32")
    plank = np.abs((c.y + 40) % 150 - 75)
    tone = tone * (0.25 + 0.75 * smooth(plank, 74.5, 72))[..., None]
    c.lay(Part(c.full(1), tone.astype("float32"), (grain * 0.8).astype("float32"), c.full(0.05)))
    for x, y, r in ((120, 330, 16), (170, 362, 11), (112, 392, 9)):
        things.bolt(c, (x, y), r * 1.3, rusty=r > 10)
    shaft = things.tube(c, [(250, 330), (540, 270)], 8, (0.16, 0.16, 0.165))
    c.lay(shaft, 8)
    handle = things.tube(c, [(150, 205), (300, 180)], 17, (0.17, 0.025, 0.02))
    c.lay(things.tube(c, [(290, 181), (470, 152)], 5, (0.2, 0.2, 0.21)), 10)
    c.lay(handle, 16)
    jaw = np.abs(shapes.circle(c.x, c.y, 556, 266, 19)) - 8
    c.lay(things.edge(bare_steel(c, np.maximum(jaw, -shapes.box(c.x, c.y, (562, 250, 600, 268)))), c, 2), 8)
    things.rule(c, (60, 66), 3.0, 300)
    c.lay(things.edge(bare_steel(c, shapes.box(c.x, c.y, (380, 340, 520, 430), 4)), c, 0.8), 2)
    return View(-3.0, (0.0, 0.10), 1.04, soft_top=0.4)

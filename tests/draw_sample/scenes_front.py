"""Scenes forward and at the roof's edge: firewall, cowl, kick panel, drip rail, core support."""

from __future__ import annotations

import numpy as np

from . import shapes, things
from .camera import View
from .canvas import Canvas, Lamp, Part
from .coats import GREEN_INSIDE, PRIMER_GREY, dark_void, dirt, paint, primer, rubber, undercoat
from .noise import blur, mix, smooth
from .rust import PITTED, SCALE, SURFACE, pierced, pinholes, rust
from .scene import scene


@scene(
    "kick_panel_right",
    300,
    centre=(200, 250),
    lamp=Lamp(toward=(0.4, -0.55, 0.73), room=0.24, centre=(0.45, 0.45), reach=0.55),
)
def kick_panel_right(c: Canvas) -> View:
    part = primer(c, c.full(-1), GREEN_INSIDE)
    raised = things.dome(shapes.box(c.x, c.y, (110, -60, 380, 210), 30), 7, 9)
    part = things.seam(c, part.raised(raised), [(-60, 286), (560, 286)], 3.0, 2.0)
    part = things.spot_welds(c, part, [(-60, 268), (560, 268)], 44)
    part = dirt(c, part, 0.70, low_first=0.6)
    place = shapes.ellipse(c.x, c.y, (190, 280), (62, 30))
    c.lay(rust(c, part, place, 15, SURFACE))
    things.drain(c, (285, 178), 17)
    c.lay(things.tube(c, [(285, 178), (305, 130), (380, 60)], 9), 16)
    carpet = rubber(c, 322 + 8 * np.sin(c.x / 60) - c.y)
    c.lay(things.edge(carpet.raised((c.noise(4) * 3).astype("float32")), c, 4), 8)
    c.mark("rust", (128, 250), (252, 250), (252, 311), (128, 311))
    c.mark("seam to the floor", (0, 286), (480, 286))
    return View(1.8, (-0.05, 0.05), 1.03)


@scene("drip_rail_left", 360, centre=(320, 180), lamp=Lamp(centre=(0.4, 0.3), reach=0.7))
def drip_rail_left(c: Canvas) -> View:
    c.lay(dark_void(c))
    glass = rubber(c, 285 - c.y)
    c.lay(Part(glass.mask, mix(glass.albedo, (0.05, 0.06, 0.065), 0.9), c.full(0), c.full(0.9)))
    frame = paint(c, np.maximum(215 - c.y, c.y - 300))
    c.lay(dirt(c, frame.raised((-9 * smooth(c.y, 280, 302)).astype("float32")), 0.35), 6)
    roof = paint(c, c.y - 140)
    roof = roof.raised((-0.18 * c.y).astype("float32") + 0 * c.x)
    place = shapes.ellipse(c.x, c.y, (320, 140), (100, 9))
    c.lay(rust(c, roof, place, 7, SCALE))
    gutter = paint(c, np.maximum(136 - c.y, c.y - 196))
    shape = -10 * smooth(c.y, 136, 152) + 16 * smooth(c.y, 160, 176) - 12 * smooth(c.y, 184, 198)
    gutter = things.seam(c, gutter.raised(shape.astype("float32")), [(-60, 146), (600, 146)], 5, 2)
    place = np.maximum(np.abs(c.y - 150) - 9, np.abs(c.x - 320) - 108)
    gutter = rust(c, gutter, place, 8, PITTED)
    gutter = pierced(c, gutter, pinholes(c, shapes.box(c.x, c.y, (255, 145, 385, 160)), 6, 0.74), deep_mm=6)
    c.lay(gutter, 9)
    things.rule(c, (190, 222), 0.5, 300)
    c.mark("rust", (210, 134), (430, 134), (430, 164), (210, 164))
    c.mark("gutter seam", (0, 148), (520, 148))
    return View(-2.0, (0.05, -0.04), 1.03)


@scene("cowl_top", 420, centre=(330, 280))
def cowl_top(c: Canvas) -> View:
    part = paint(c, c.full(-1))
    slots = c.full(1e3)
    for x in range(110, 560, 44):
        slots = np.minimum(slots, shapes.path(c.x, c.y, [(x, 205), (x + 14, 305)]) - 6.5)
    swell = things.dome(slots - 5, 4.0, 5) + 10 * smooth(c.y, 70, 40)
    part = dirt(c, part.raised(swell.astype("float32")), 0.5)
    place = np.minimum(slots - 2 + 0.12 * np.abs(c.x - 330), shapes.ellipse(c.x, c.y, (330, 306), (78, 30)))
    part = rust(c, part, place, 15, SCALE)
    inside = c.inside(slots)
    part = pierced(c, part, slots, deep_mm=14)
    c.lay(part)
    c.dim(1 - 0.6 * inside)
    gasket = things.edge(rubber(c, 470 - 0.02 * c.x - c.y - 10), c, 5)
    c.lay(gasket, 9)
    c.lay(things.edge(paint(c, c.y - 62), c, 3), 9)
    c.mark("rust", (248, 272), (412, 272), (412, 340), (248, 340))
    c.mark("air slots", (100, 200), (570, 200), (570, 310), (100, 310))
    return View(1.5, (0.02, 0.11), 1.03)


@scene("firewall", 340, centre=(285, 215), lamp=Lamp(room=0.28, centre=(0.45, 0.42), reach=0.6))
def firewall(c: Canvas) -> View:
    """An earlier repair that is sound: a panel let in edge to edge, dressed weld all round, primed grey."""
    part = primer(c, c.full(-1), GREEN_INSIDE)
    part = part.raised(things.dome(shapes.path(c.x, c.y, [(-60, 112), (620, 112)]) - 12, 7, 8))
    part = dirt(c, part, 0.62, low_first=0.2)
    corners = [(212, 168), (338, 165), (342, 251), (210, 254)]
    outline = shapes.polygon(c.x, c.y, corners) - 12
    inset = primer(c, outline, PRIMER_GREY)
    around = primer(c, outline - 26 - 12 * (c.noise(70) - 0.5), PRIMER_GREY)
    c.lay(part)
    c.lay(Part(blur(around.mask, 7 / c.mm) * 0.92, around.albedo * 0.93, part.relief * 0.3, around.gloss))
    ring = [(201, 157), (348, 153), (354, 261), (199, 266), (201, 157)]
    c.lay(things.weld(c, inset, ring, 5.5, 0.9, 0.12))
    bead = things.weld(c, around, ring, 6.5, 1.1, 0.15)
    c.lay(Part(c.inside(np.abs(outline) - 5), bead.albedo, bead.relief, bead.gloss))
    for at in ((150, 232), (424, 130), (420, 318)):
        things.bolt(c, at, 12, rusty=False)
    things.drain(c, (412, 225), 16)
    c.lay(things.tube(c, [(412, 225), (440, 232), (520, 270)], 8), 18)
    c.lay(things.tube(c, [(-60, 322), (200, 312), (420, 330), (640, 322)], 5, (0.12, 0.11, 0.10)), 12)
    c.mark("panel welded in earlier", (199, 155), (350, 152), (355, 263), (198, 267))
    c.mark("butt weld", (275, 155))
    c.mark("grommet", (412, 225))
    return View(-1.0, (0.03, 0.03), 1.03)


@scene("core_support", 440, centre=(340, 330), lamp=Lamp(room=0.24, centre=(0.5, 0.4), reach=0.55))
def core_support(c: Canvas) -> View:
    c.lay(dark_void(c))
    fins = undercoat(c, shapes.box(c.x, c.y, (190, -60, 900, 330)), (0.035, 0.035, 0.036))
    c.lay(
        fins.raised(
            (1.6 * np.abs((c.x / 3.2) % 2 - 1) + 2.5 * smooth(np.abs(c.y % 26 - 13), 9, 12)).astype("float32")
        )
    )
    c.soften(2)
    post = undercoat(c, np.maximum(c.x - 200, 40 - c.x), (0.028, 0.028, 0.028))
    post = post.raised(things.dome(np.abs(c.x - 120) - 46, 10, 12))
    c.lay(rust(c, dirt(c, post, 0.6), 436 - c.y, 14, SURFACE), 16)
    shelf = undercoat(c, np.maximum(325 - c.y, c.y - 440), (0.028, 0.028, 0.028))
    shelf = shelf.raised((14 * smooth(c.y, 322, 345) * smooth(c.y, 442, 420)).astype("float32"))
    place = shapes.ellipse(c.x, c.y, (340, 392), (84, 27))
    c.lay(rust(c, dirt(c, shelf, 0.75), place, 18, SURFACE), 18)
    for at in ((120, 190), (175, 385), (560, 378)):
        things.bolt(c, at, 17)
    c.lay(things.tube(c, [(640, -60), (610, 150), (650, 300), (780, 340)], 19), 30)
    c.mark("rust", (256, 364), (424, 364), (424, 420), (256, 420))
    c.mark("core support bolt", (175, 385))
    return View(1.5, (0.05, 0.04), 1.03)

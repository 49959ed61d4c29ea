"""Things that lie on or in the steel: bolts, welds, spot welds, seams, ribs, drains, rules, chalk, hoses."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from . import shapes
from .canvas import Canvas, Part
from .coats import Colour, rubber, undercoat
from .noise import Field, blur, mix, smooth
from .rust import SURFACE, rust
from .shapes import Points


def dome(distance: Field, height_mm: float, run_mm: float) -> Field:
    """Relief of a pressed bead, rib or dome: full height inside, rounded off over `run_mm`."""
    return (height_mm * smooth(distance, run_mm, -run_mm)).astype("float32")


def tube(c: Canvas, points: Points, radius_mm: float, colour: Colour | None = None) -> Part:
    """A hose, wire, brake line or bar along points."""
    distance = shapes.path(c.x, c.y, points)
    round_ = np.sqrt(np.clip(radius_mm**2 - distance**2, 0, None))
    part = rubber(c, distance - radius_mm)
    if colour is not None:
        part = replace(part, albedo=0 * part.albedo + np.array(colour, "float32"))
    return replace(part, relief=(part.relief + round_).astype("float32"), gloss=c.full(0.35))


def edge(part: Part, c: Canvas, roll_mm: float) -> Part:
    """Round the outline of a part over, so that its edge catches light and shade."""
    inner = blur(part.mask, max(0.8, roll_mm / c.mm))
    return part.raised((2 * roll_mm * smooth(inner, 0.45, 1.0)).astype("float32"))


def bolt(c: Canvas, at: tuple[float, float], across_mm: float = 17.0, rusty: bool = True, turn: float = 0.3) -> None:
    """A hexagon bolt head on a washer."""
    c = c.window(at, across_mm * 2.2)
    x, y = at
    washer_r = across_mm * 0.78
    washer = edge(undercoat(c, shapes.circle(c.x, c.y, x, y, washer_r), (0.10, 0.09, 0.08)), c, 1.0)
    ring = [
        (x + across_mm * 0.577 * np.cos(turn + k * np.pi / 3), y + across_mm * 0.577 * np.sin(turn + k * np.pi / 3))
        for k in range(6)
    ]
    outline = shapes.polygon(c.x, c.y, ring)
    head = edge(undercoat(c, outline, (0.09, 0.085, 0.08)), c, 1.4)
    head = replace(head, gloss=c.full(0.25)).raised(
        -1.2 * smooth(shapes.circle(c.x, c.y, x, y, across_mm * 0.4), -1, 3)
    )
    if rusty:
        place = shapes.circle(c.x, c.y, x, y, across_mm)
        washer, head = rust(c, washer, place, 10, SURFACE), rust(c, head, place, 12, SURFACE)
    c.lay(washer, 2.0)
    c.lay(head, 7.0)


def rivet(c: Canvas, at: tuple[float, float], radius_mm: float = 9.0) -> None:
    """A round rivet head, rusted like the rest."""
    c = c.window(at, radius_mm * 3)
    distance = shapes.circle(c.x, c.y, *at, radius_mm)
    part = undercoat(c, distance, (0.05, 0.045, 0.04))
    ball = np.sqrt(np.clip(radius_mm**2 - (distance + radius_mm) ** 2, 0, None)) * 0.75
    part = rust(c, part.raised(ball.astype("float32")), distance - 6, 9, SURFACE)
    c.lay(part, 4.0)


def spot_welds(c: Canvas, part: Part, points: Points, pitch_mm: float, radius_mm: float = 3.2) -> Part:
    """A row of pressed spot-weld dimples along a flange."""
    walked, away = shapes.along(c.x, c.y, points), shapes.path(c.x, c.y, points)
    to_next = np.abs((walked / pitch_mm) % 1 - 0.5) * pitch_mm
    distance = np.hypot(to_next, away) - radius_mm
    return part.raised(-dome(distance, 0.7, 1.4))


def seam(c: Canvas, part: Part, points: Points, width_mm: float = 2.5, deep_mm: float = 2.0) -> Part:
    """A joint line between two sheets."""
    groove = smooth(shapes.path(c.x, c.y, points), width_mm, 0.0)
    albedo = mix(part.albedo, (0.015, 0.013, 0.011), 0.85 * smooth(groove, 0.35, 0.95))
    return replace(part, albedo=albedo, relief=(part.relief - deep_mm * groove).astype("float32"))


def weld(
    c: Canvas, part: Part, points: Points, width_mm: float = 6.0, high_mm: float = 1.5, bright: float = 0.6
) -> Part:
    """A weld bead with its ripples and the blue-brown heat beside it."""
    away, walked = shapes.path(c.x, c.y, points), shapes.along(c.x, c.y, points)
    wander = (c.noise(22) - 0.5) * width_mm * 0.5
    across = (away + wander) / (width_mm / 2)
    body = np.sqrt(np.clip(1 - across**2, 0, 1))
    ripple = 0.82 + 0.18 * np.cos(2 * np.pi * (walked - 0.35 * width_mm * across**2) / (width_mm * 0.42))
    inside = smooth(across, 1.0, 0.85)
    heat = smooth(away, width_mm * 2.4, width_mm * 0.6) * (1 - inside)
    albedo = mix(part.albedo, (0.085, 0.068, 0.075), 0.55 * heat * bright)
    steel = (0.21 + 0.10 * (c.noise(8) - 0.5))[..., None] * np.array((1.0, 0.97, 0.93), "float32")
    albedo = mix(albedo, bright * steel + (1 - bright) * albedo, inside)
    gloss = part.gloss * (1 - inside) + 0.35 * bright * inside
    return replace(
        part,
        albedo=albedo.astype("float32"),
        gloss=gloss.astype("float32"),
        relief=(part.relief + high_mm * body * ripple).astype("float32"),
    )


def drain(c: Canvas, at: tuple[float, float], radius_mm: float = 14.0, plugged: bool = True) -> None:
    """A drain hole in a floor, with or without its rubber plug."""
    c = c.window(at, radius_mm * 2.5)
    if plugged:
        distance = shapes.circle(c.x, c.y, *at, radius_mm)
        part = edge(rubber(c, distance), c, 1.6)
        part = part.raised(-dome(shapes.circle(c.x, c.y, *at, radius_mm * 0.62), 2.0, 1.2))
        c.lay(part, 2.5)
        return
    hole = rubber(c, shapes.circle(c.x, c.y, *at, radius_mm))
    c.lay(replace(hole, albedo=hole.albedo * 0.25, gloss=c.full(0)), 0)


def _rule_face(length_mm: int, px_per_mm: float, high_mm: float, tape: bool) -> Image.Image:
    size = (round(length_mm * px_per_mm), round(high_mm * px_per_mm))
    face = Image.new("RGB", size, (238, 190, 40) if tape else (186, 188, 190))
    pen, ink = ImageDraw.Draw(face), (22, 22, 24)
    font = ImageFont.load_default(size=max(6, 5.2 * px_per_mm))
    for mm in range(length_mm + 1):
        tall = 0.40 if mm % 10 == 0 else 0.28 if mm % 5 == 0 else 0.17
        if px_per_mm < 1.6 and mm % 5:
            continue
        at = mm * px_per_mm
        pen.line([at, 0, at, tall * high_mm * px_per_mm], fill=ink, width=max(1, round(px_per_mm * 0.22)))
        if mm % 10 == 0 and 0 < mm < length_mm:
            pen.text((at, 0.68 * size[1]), str(mm // 10), font=font, fill=ink, anchor="mm")
    return face


def rule(c: Canvas, at: tuple[float, float], turn_deg: float, length_mm: int = 300, tape: bool = False) -> None:
    """A steel rule (or a piece of yellow tape) with its zero end at a place; centimetres are numbered."""
    high = 19.0 if tape else 25.0
    turn = np.radians(turn_deg)
    u = (c.x - at[0]) * np.cos(turn) + (c.y - at[1]) * np.sin(turn)
    v = -(c.x - at[0]) * np.sin(turn) + (c.y - at[1]) * np.cos(turn)
    mask = c.inside(np.maximum(np.abs(u - length_mm / 2) - length_mm / 2, np.abs(v - high / 2) - high / 2))
    face = np.asarray(_rule_face(length_mm, 1 / c.mm, high, tape), "float32")
    linear = (face / 255) ** 2.2 * 0.62
    rows = np.clip((v / high * face.shape[0]).astype(int), 0, face.shape[0] - 1)
    columns = np.clip((u / length_mm * face.shape[1]).astype(int), 0, face.shape[1] - 1)
    albedo = linear[rows, columns] * (0.9 + 0.2 * c.noise(30, 0.7, (1.0, 0.1)))[..., None]
    curve = (np.abs(v - high / 2) ** 2 * (0.02 if tape else 0.0008)).astype("float32")
    c.lay(Part(mask, albedo.astype("float32"), curve, c.full(0.12 if tape else 0.35)), 1.6)


def chalk(c: Canvas, points: Points, width_mm: float = 6.0, closed: bool = True) -> None:
    """A chalk line by hand, thin where the surface is rough."""
    wander_x, wander_y = (c.noise(60) - 0.5) * 9, (c.noise(60) - 0.5) * 9
    line = [*points, points[0]] if closed else points
    away = shapes.path(c.x + wander_x, c.y + wander_y, line)
    cover = smooth(away, width_mm * 0.55, width_mm * 0.25) * smooth(c.noise(2.4, 0.7), 0.38, 0.6)
    white = np.array((0.62, 0.61, 0.58), "float32") * c.falloff()[..., None]
    c.light += (white - c.light) * (0.8 * cover)[..., None]


def crumbs(c: Canvas, place: Field, size_mm: float = 4.0, share: float = 0.70) -> None:
    """Fallen flakes of scale on what lies below."""
    spots = c.noise(size_mm * 2.2, 0.55)
    mask = (
        smooth(spots, share, share + 0.04) * smooth(place, size_mm * 6, -size_mm * 4) * smooth(c.noise(50), 0.35, 0.7)
    )
    shade = c.noise(5)
    albedo = mix(
        c.light * 0 + np.array((0.05, 0.024, 0.014), "float32"), (0.24, 0.10, 0.04), smooth(shade, 0.35, 0.7)
    )
    relief = ((spots - share) * size_mm * 3).astype("float32")
    c.lay(Part(mask.astype("float32"), albedo, relief, c.full(0)), size_mm * 0.35, dark=0.45)

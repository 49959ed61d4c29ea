"""The steel plan: the car as a plan of its steel, skins folded outward, filled by level, finding numbers beside.

Shapes and lines come from the catalogue, in mm of the car; nothing here knows what a car looks like.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon, box

from soundmetal.car.models import Body, Outline, on_page
from soundmetal.grade.models import SEVERITY, Level
from soundmetal.report.drawings.hatch import fill_level
from soundmetal.report.drawings.svg import Drawing, Point, num
from soundmetal.report.language import Language
from soundmetal.report.palette import FAINT, INK, PAPER, QUIET

#: Room between the two strips, and round the drawing, in mm on paper.
STRIP_GAP_MM = 4.0
ROOM_MM = 2.2
LABEL_MM = 2.7
CAPTION_MM = 2.4
#: Half the height of the pill that a number stands in.
PILL_MM = 1.85
#: A zone smaller than this many pills would vanish under its number, which then stands beside it.
COVERED_BY = 3.0


@dataclass(frozen=True)
class Places:
    """What the plan shows: the level of every zone, and the numbers of its findings."""

    levels: Mapping[str, Level]
    numbers: Mapping[str, tuple[int, ...]]


@dataclass(frozen=True)
class _Frame:
    """From the car's mm to the drawing's mm, for one strip: seen from above, so the car's left is at the bottom."""

    scale: float
    left: float
    top: float
    shift_y: float

    def point(self, at: Point) -> Point:
        x, y = on_page(at)
        return (x - self.left) * self.scale + ROOM_MM, (y - self.top) * self.scale + self.shift_y

    def points(self, many: Sequence[Point]) -> list[Point]:
        return [self.point(p) for p in many]


def steel_plan(body: Body, places: Places, lang: Language, width_mm: float = 170.0) -> Markup:
    """Draw both strips of the plan to one scale, `width_mm` wide on paper."""
    boxes = {strip: box for strip in ("body", "frame") if (box := _bounds(body, strip))}
    left = min(box[0] for box in boxes.values())
    scale = (width_mm - 2 * ROOM_MM) / (max(box[2] for box in boxes.values()) - left)
    frames: dict[str, _Frame] = {}
    y = ROOM_MM
    for strip, box in boxes.items():
        frames[strip] = _Frame(scale, left, on_page((left, box[3]))[1], y)
        y += (box[3] - box[1]) * scale + STRIP_GAP_MM
    drawing = Drawing(width_mm, y - STRIP_GAP_MM + ROOM_MM, alternative(body, places, lang), css="plan")
    for outline in body.outlines:
        _outline(drawing, outline, frames[outline.strip], lang)
    for zone in body.zones:
        _zone(drawing, frames[zone.plan.strip].points(zone.plan.polygon), places.levels[zone.id])
    _numbers(drawing, body, places, frames)
    return drawing.markup


def alternative(body: Body, places: Places, lang: Language) -> str:
    """Say the plan in words: each place that is not sound, worst first."""
    told = sorted(body.zones, key=lambda zone: -SEVERITY[places.levels[zone.id]])
    bad = [zone for zone in told if SEVERITY[places.levels[zone.id]] >= SEVERITY[Level.SURFACE]]
    words = "; ".join(f"{lang.zone(zone.id)}: {lang.word(places.levels[zone.id].value, 'level')}" for zone in bad)
    head = lang.text("Plan of the car's steel seen from above, its sides folded outward.").unescape()
    return f"{head} {words}." if words else head


def _bounds(body: Body, strip: str) -> tuple[float, float, float, float] | None:
    points = [p for zone in body.zones if zone.plan.strip == strip for p in zone.plan.polygon]
    points += [p for outline in body.outlines if outline.strip == strip for p in outline.points]
    if not points:
        return None
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _outline(drawing: Drawing, outline: Outline, frame: _Frame, lang: Language) -> None:
    points = frame.points(outline.points)
    if outline.kind == "caption":
        words = lang.own(outline.text)
        x, y = points[0]
        drawing.text(x, y + CAPTION_MM / 3, words, CAPTION_MM, fill=QUIET, text_anchor="middle", font_style="italic")
        return
    dash = {"fold": "0.3 0.9", "wheel": "1.6 1", "opening": None}[outline.kind]
    style = {"stroke": FAINT, "stroke_width": 0.25, "stroke_dasharray": dash}
    if outline.closed:
        drawing.polygon(points, **style)
    else:
        drawing.polyline(points, **style)


def _zone(drawing: Drawing, points: list[Point], level: Level) -> None:
    if level is Level.NOT_SEEN:
        drawing.polygon(points, fill=PAPER, stroke=QUIET, stroke_width=0.22, stroke_dasharray="1.1 0.7")
        return
    fill_level(drawing, points, level)
    heavy = SEVERITY[level] >= SEVERITY[Level.SPENT]
    marked = SEVERITY[level] >= SEVERITY[Level.SURFACE]
    drawing.polygon(
        points,
        stroke=INK if marked else QUIET,
        stroke_width=0.34 if heavy else 0.2 if marked else 0.14,
        stroke_linejoin="round",
    )


def _numbers(drawing: Drawing, body: Body, places: Places, frames: Mapping[str, _Frame]) -> None:
    shapes = {zone.id: Polygon(frames[zone.plan.strip].points(zone.plan.polygon)) for zone in body.zones}
    taken: list[Polygon] = []
    for zone in body.zones:
        numbers = places.numbers.get(zone.id, ())
        if not numbers:
            continue
        half = _half_width(numbers)
        label = frames[zone.plan.strip].point(zone.plan.label) if zone.plan.label else None
        choices = [at for at in _choices(zone.id, shapes, label, half) if drawing.holds(_pill_bounds(at, half))]
        at = next((at for at in choices if _clear(_pill(at, half), taken)), choices[0])
        taken.append(_pill(at, half + 0.15))
        if not _pill(at, half + 0.8).intersects(shapes[zone.id]):
            foot = _along(shapes[zone.id], label)[0]
            drawing.polyline([foot, at], stroke=INK, stroke_width=0.18)
        _number(drawing, *at, numbers)


def _choices(zone_id: str, shapes: Mapping[str, Polygon], label: Point | None, half: float) -> list[Point]:
    """Where a zone's number may stand, the best first: in it, beside it where it would cover it, or further off."""
    own = shapes[zone_id]
    others = [shape for other, shape in shapes.items() if other != zone_id]
    beside = [at for at in _beside(own, half) if _clear(_pill(at, half), others)]
    inside = _along(own, label)
    near = beside + inside if own.area < COVERED_BY * _pill((0, 0), half).area else inside + beside
    return near + _around(near[0])


def _around(middle: Point) -> list[Point]:
    """Places in widening rings round a place."""
    turns = [math.tau * k / 12 for k in range(12)]
    return [(middle[0] + r * math.cos(t), middle[1] + r * math.sin(t)) for r in (4.5, 7.0, 10.0, 14.0) for t in turns]


def _clear(pill: Polygon, shapes: Iterable[Polygon]) -> bool:
    return not any(pill.intersects(shape) for shape in shapes)


def _pill_bounds(at: Point, half: float) -> tuple[float, float, float, float]:
    return at[0] - half, at[1] - PILL_MM, at[0] + half, at[1] + PILL_MM


def _pill(at: Point, half: float) -> Polygon:
    return box(*_pill_bounds(at, half))


def _along(shape: Polygon, label: Point | None) -> list[Point]:
    """Places for a zone's number inside it: its own label first, then along its longer side."""
    inside = shape.representative_point()
    x0, y0, x1, y1 = shape.bounds
    first = label or (inside.x, inside.y)
    wide = x1 - x0 >= y1 - y0
    steps = (0.5, 0.3, 0.7, 0.15, 0.85)
    along = [(x0 + (x1 - x0) * t, first[1]) if wide else (first[0], y0 + (y1 - y0) * t) for t in steps]
    return [first, *(place for place in along if shape.contains(ShapelyPoint(place)))]


def _beside(shape: Polygon, half: float) -> list[Point]:
    """Places just outside a zone: above, below, right, left."""
    x0, y0, x1, y1 = shape.bounds
    x, y, off = (x0 + x1) / 2, (y0 + y1) / 2, PILL_MM + 0.5
    return [(x, y0 - off), (x, y1 + off), (x1 + half + 0.5, y), (x0 - half - 0.5, y)]


def _half_width(numbers: tuple[int, ...]) -> float:
    return max(PILL_MM, 0.8 * len(_words(numbers)) + 0.7)


def _words(numbers: tuple[int, ...]) -> str:
    return ", ".join(str(number) for number in numbers)


def _number(drawing: Drawing, x: float, y: float, numbers: tuple[int, ...]) -> None:
    """A white pill with the findings' numbers: it reads on every fill."""
    half, tall = _half_width(numbers), PILL_MM
    left, right = num(x - half + tall), num(x + half - tall)
    top, low = num(y - tall), num(y + tall)
    arc = f"A{num(tall)} {num(tall)} 0 0 1"
    drawing.path(
        f"M{left} {top}H{right}{arc} {right} {low}H{left}{arc} {left} {top}Z",
        fill=PAPER,
        stroke=INK,
        stroke_width=0.22,
    )
    drawing.text(x, y + LABEL_MM * 0.34, _words(numbers), LABEL_MM, font_weight="700", text_anchor="middle")

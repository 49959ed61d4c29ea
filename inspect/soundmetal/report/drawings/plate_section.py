"""The plate section: the steel seen edge-on. Dashed: the original thickness. Filled: what is certainly left.

The lighter band above: it may be this much. A gap: a hole. It stands wherever severity is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.grade.models import Level, MetalLeft, Spread
from soundmetal.record.terms import Seen
from soundmetal.report.drawings.hatch import fill_level
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, LEVEL_FILL, QUIET

#: Part of the drawing's length over which sound metal falls to the thinned place, on each side.
SHOULDER = 0.16
#: Part of the drawing's length that is missing when the steel is holed or gone.
GAP = {Seen.HOLED: 0.2, Seen.GONE: 0.62}
#: A rusted face is uneven: this fixed row of heights (parts of the plate) is laid along it. Drawn, not measured.
UNEVEN = (0.0, 0.022, -0.013, 0.016, 0.03, -0.006, 0.012, -0.021, 0.009, 0.026, -0.016, 0.004, 0.018, -0.009, 0.0)
MARGIN_MM = 0.5


@dataclass(frozen=True)
class Plate:
    """What the section shows: shares of the original thickness, how they are known, and whether there is a hole."""

    share: Spread
    by: str
    level: Level
    seen: Seen


def plate_section(plate: Plate, lang: Language, width_mm: float = 46.0, height_mm: float = 11.0) -> Markup:
    """Draw the plate section with its caption as text alternative. The caption itself is set by the page."""
    drawing = Drawing(width_mm, height_mm, alternative(plate, lang), css="plate")
    if plate.level is not Level.NOT_SEEN:
        for left, right in _pieces(plate, width_mm):
            _piece(drawing, plate, left, right)
    frame = {"stroke": INK if plate.level is Level.NOT_SEEN else QUIET, "stroke_width": 0.22}
    drawing.rect(
        MARGIN_MM, MARGIN_MM, width_mm - 2 * MARGIN_MM, height_mm - 2 * MARGIN_MM, stroke_dasharray="1.4 0.9", **frame
    )
    return drawing.markup


def caption(plate: Plate, lang: Language) -> Markup:
    """Say what the section shows: "60 % of the metal left (measured)"."""
    if plate.by == "unknown" or plate.level is Level.NOT_SEEN:
        return lang.text("how much metal is left is not known")
    if plate.seen is Seen.GONE:
        return lang.text("the metal is gone here")
    if plate.by == "measured":
        return lang.text("{left_share} of the metal left (measured)", left_share=plate.share.likely)
    return lang.text("{left_share} of the metal left (judged by eye)", left_share=plate.share.likely)


def alternative(plate: Plate, lang: Language) -> str:
    """Say the whole drawing in words, for those who do not see it."""
    parts = [lang.text("Steel seen edge-on: {caption}.", caption=caption(plate, lang))]
    if plate.share.high - plate.share.low > 0.005:
        parts.append(lang.text("It may be {range}.", range=lang.share_range(plate.share)))
    if plate.seen is Seen.HOLED:
        parts.append(lang.text("There is a hole."))
    return " ".join(part.unescape() for part in parts)


def _pieces(plate: Plate, width_mm: float) -> tuple[tuple[float, float], ...]:
    gap = GAP.get(plate.seen, 0.0) * width_mm
    left, right = MARGIN_MM, width_mm - MARGIN_MM
    if not gap:
        return ((left, right),)
    middle = width_mm * 0.52
    return (left, middle - gap / 2), (middle + gap / 2, right)


def _piece(drawing: Drawing, plate: Plate, left: float, right: float) -> None:
    certain, likely, possible = (_face(plate, drawing, share, left, right) for share in _shares(plate))
    floor = drawing.height_mm - MARGIN_MM
    if plate.share.high - plate.share.low > 0.005:
        band = [*certain, *reversed(possible)]
        drawing.polygon(band, fill=_lighter(LEVEL_FILL[plate.level]))
        drawing.polyline(likely, stroke=QUIET, stroke_width=0.18, stroke_dasharray="0.5 0.5")
    body = [(certain[0][0], floor), *certain, (certain[-1][0], floor)]
    fill_level(drawing, body, plate.level, scale=0.8)
    drawing.polygon(body, stroke=INK, stroke_width=0.28, stroke_linejoin="round")


def _shares(plate: Plate) -> tuple[float, float, float]:
    return plate.share.low, plate.share.likely, plate.share.high


def _face(plate: Plate, drawing: Drawing, share: float, left: float, right: float) -> list[Point]:
    """The upper face of one piece at a share of the thickness: sound at the outer ends, uneven where rusted."""
    floor, tall = drawing.height_mm - MARGIN_MM, drawing.height_mm - 2 * MARGIN_MM
    full = drawing.width_mm - 2 * MARGIN_MM
    rough = 0.0 if share > 0.995 else 1.0
    points: list[Point] = []
    count = 26
    for step in range(count + 1):
        x = left + (right - left) * step / count
        depth = _depth((x - MARGIN_MM) / full, _has_gap(plate))
        level = 1 - (1 - share) * depth + rough * depth * UNEVEN[step % len(UNEVEN)]
        points.append((x, floor - tall * min(1.0, max(0.02, level))))
    return points


def _has_gap(plate: Plate) -> bool:
    return plate.seen in GAP


def _depth(along: float, holed: bool) -> float:
    """How far down the face has come at a place along the plate: 0 at the sound ends, 1 where it is thinned."""
    shoulder = 0.3 if holed else SHOULDER
    start = 0.06
    nearest = min(along, 1 - along)
    ramp = min(1.0, max(0.0, (nearest - start) / shoulder))
    return ramp * ramp * (3 - 2 * ramp)


def _lighter(colour: str, share: float = 0.62) -> str:
    parts = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return "#" + "".join(f"{round(part + (255 - part) * share):02x}" for part in parts)


def plate_of(metal_left: MetalLeft, level: Level, seen: Seen) -> Plate:
    """Take the plate out of a graded finding."""
    return Plate(metal_left.share, metal_left.by, level, seen)


def swatch(level: Level, lang: Language, width_mm: float = 7.0, height_mm: float = 3.6) -> Markup:
    """Draw the small sample of one level that a legend or a table shows."""
    drawing = Drawing(width_mm, height_mm, lang.word(level.value, "level"), css="swatch")
    box: Sequence[Point] = [
        (0.2, 0.2),
        (width_mm - 0.2, 0.2),
        (width_mm - 0.2, height_mm - 0.2),
        (0.2, height_mm - 0.2),
    ]
    fill_level(drawing, box, level)
    dash = "1 0.7" if level is Level.NOT_SEEN else None
    drawing.polygon(box, stroke=INK, stroke_width=0.22, stroke_dasharray=dash)
    return drawing.markup

"""The cut-out as it is marked on the car: rust, margin, cut line, corner radius, and its place on the panel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from markupsafe import Markup
from shapely.geometry import Polygon

from soundmetal.repair.models import Cutout
from soundmetal.report.drawings.blank import field_of
from soundmetal.report.drawings.cutout import Rust
from soundmetal.report.drawings.dimension import ROOM_MM, SMALL_MM, Both, Field, across, scale_for, upright
from soundmetal.report.drawings.hatch import fill_level
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.drawings.view import PLAIN, View, front_arrow, orient
from soundmetal.report.language import Language
from soundmetal.report.palette import FAINT, INK, PAPER, QUIET

_CUT = "2.4 0.9 0.5 0.9"
_ON_EDGE_MM = 0.5


def shop_cutout(
    cut: Cutout, rusts: Sequence[Rust], lang: Language, both: Both, *, name: str, scale: float,
    radius_mm: float = 0.0, width_mm: float = 90.0, view: View = PLAIN,
) -> Markup:  # fmt: skip
    """Draw one opening to scale: rust hatched by its level, the cut line, sizes in both units."""
    field = replace(field_of(cut.outline, scale, width_mm), turned=view.front_right)
    drawing = Drawing(width_mm, field.bottom + ROOM_MM[3], alternative(cut, lang, both, name), css="cut")
    outline = [field.at((x, y)) for x, y, *_ in cut.outline.exterior.coords[:-1]]
    drawing.polygon(outline, fill=PAPER)
    for rust in rusts:
        inside = cut.outline.intersection(rust.polygon)
        if isinstance(inside, Polygon) and not inside.is_empty:
            fill_level(drawing, [field.at((x, y)) for x, y, *_ in inside.exterior.coords[:-1]], rust.level)
    drawing.polygon(outline, stroke=INK, stroke_width=0.5, stroke_dasharray=_CUT, stroke_linejoin="round")
    for side in cut.ends:
        drawing.polyline(_side(field, cut.outline.bounds, side), stroke_width=1.0)
    across(drawing, (field.left, field.right), field.top - 4.2, field.top, both(field.x1 - field.x0))
    upright(drawing, (field.top, field.bottom), field.left - 5.6, field.left, both(field.y1 - field.y0))
    _margins(drawing, field, rusts, both)
    if radius_mm > 0 and len(cut.ends) < 3:
        _radius(drawing, field, cut, f"R {both(radius_mm)[0]}")
    orient(drawing, field, lang, view, field.bottom + ROOM_MM[3] - 0.8)
    return drawing.markup


def locator(
    size_mm: Point, cuts: Sequence[tuple[str, Cutout]], lang: Language, both: Both, *, width_mm: float = 60.0,
    tallest_mm: float = 15.0, view: View = PLAIN,
) -> Markup:  # fmt: skip
    """Draw the whole panel as in `view` with its openings, each dimensioned from the panel's front and lower side.

    `size_mm` is the panel's typical size from the catalogue, so the openings are to scale and the panel nearly is.
    An opening whose place nobody wrote down is drawn without dimensions: its place must be measured on the car.
    """
    long, tall = size_mm
    scale = scale_for(long, tall, (width_mm - 22.0, tallest_mm))
    lanes = [cut.outline.bounds for _, cut in cuts if cut.placed]
    field = Field(0.0, 0.0, long, tall, scale, 1.0, 5.0, view.front_right)
    drawing = Drawing(width_mm, field.bottom + 8.0 * len(lanes) + 2.0, _where(cuts, lang, both, view), css="locator")
    drawing.rect(field.left, field.top, long / scale, tall / scale, fill="#f1f2f2", stroke=QUIET, stroke_width=0.25)
    for name, cut in cuts:
        points = [field.at((x, y)) for x, y, *_ in cut.outline.exterior.coords[:-1]]
        drawing.polygon(points, fill=PAPER, stroke=INK, stroke_width=0.45, stroke_dasharray=_CUT)
        x, y = field.at((cut.outline.centroid.x, cut.outline.centroid.y))
        if len(cuts) > 1:
            drawing.text(x, y + 1.3, name, 3.6, font_weight="700", text_anchor="middle")
    for lane, (x0, y0, *_) in enumerate(lanes):
        _from_corner(drawing, field, (x0, y0), field.bottom + 5.2 + 8.0 * lane, both)
    front_arrow(drawing, lang, view, field.top - 1.4, field.right)
    return drawing.markup


def _from_corner(drawing: Drawing, field: Field, corner: Point, y: float, both: Both) -> None:
    """Dimension an opening's lower front corner from the panel's front and from its lower side."""
    x, low = field.at(corner)
    ends = (x, field.right) if field.turned else (field.left, x)
    if ends[1] - ends[0] > _ON_EDGE_MM:
        across(drawing, ends, y, field.bottom, both(corner[0]))
    if field.bottom - low > _ON_EDGE_MM:
        side = field.right + 5.0
        drawing.polyline([(x, low), (field.right, low)], stroke=FAINT, stroke_width=0.2, stroke_dasharray="0.8 0.8")
        upright(drawing, (low, field.bottom), side, field.right, both(corner[1]))


def _side(field: Field, bounds: tuple[float, ...], side: str) -> list[Point]:
    x0, y0, x1, y1 = bounds
    lines = {
        "front": ((x0, y0), (x0, y1)), "rear": ((x1, y0), (x1, y1)),
        "lower": ((x0, y0), (x1, y0)), "upper": ((x0, y1), (x1, y1)),
    }  # fmt: skip
    return [field.at(point) for point in lines[side]]


def _margins(drawing: Drawing, field: Field, rusts: Sequence[Rust], both: Both) -> None:
    """Write the margin that stands between rust and cut, where there is room to see it."""
    if not rusts:
        return
    nearest = max(rust.box[2] for rust in rusts)
    margin = field.x1 - nearest
    x0, x1 = sorted((field.at((nearest, 0))[0], field.at((field.x1, 0))[0]))
    if x1 - x0 < _ON_EDGE_MM:
        return
    y = field.bottom + 2.0
    drawing.segments([((x0, y), (x1, y)), ((x0, y - 1.2), (x0, y + 1.2)), ((x1, y - 1.2), (x1, y + 1.2))], stroke=INK,
                     stroke_width=0.2)  # fmt: skip
    drawing.text(x1 + 1.4, y + 1.0, both(margin)[0], SMALL_MM)


def _radius(drawing: Drawing, field: Field, cut: Cutout, words: str) -> None:
    """Point at the rounded corner at the right of the drawing, unless that side ends at an edge."""
    rear = ("front" if field.turned else "rear") not in cut.ends
    up = "upper" not in cut.ends
    corner = (field.right if rear else field.left, field.top if up else field.bottom)
    reach = 1.0 if rear else -1.0
    start = (corner[0] - 0.7 * reach, corner[1] + (0.7 if up else -0.7))
    if not rear:
        return
    end = (corner[0] + 2.4, corner[1] + (2.0 if up else -2.0))
    drawing.polyline([start, end], stroke_width=0.2)
    drawing.text(end[0] + 0.6, end[1] + 1.4, words, SMALL_MM)


def alternative(cut: Cutout, lang: Language, both: Both, name: str) -> str:
    """Say the drawing in words."""
    wide, tall = cut.size_mm
    words = lang.text(
        "Opening {name}: cut {long} by {wide}, round the rust to sound steel.",
        name=name, long=both(wide)[0], wide=both(tall)[0],
    )  # fmt: skip
    if cut.ends:
        sides = ", ".join(lang.word(side, "side") for side in cut.ends)
        words += " " + lang.text("It runs out at these sides of the panel: {sides}.", sides=sides)
    return words.unescape()


def _where(cuts: Sequence[tuple[str, Cutout]], lang: Language, both: Both, view: View) -> str:
    parts = [lang.text("The panel with its openings.")]
    for name, cut in cuts:
        x0, y0, *_ = cut.outline.bounds
        if cut.placed:
            parts.append(lang.text(view.begins, name=name, along=both(x0)[0], up=both(y0)[0]))
        else:
            parts.append(lang.text("{name}: measure its place on the car.", name=name))
    return " ".join(part.unescape() for part in parts)

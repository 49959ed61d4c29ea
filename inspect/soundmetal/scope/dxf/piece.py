"""One flat piece in a drawing: openings first and the outline last, so that it does not move before they are cut."""

from __future__ import annotations

import math

from soundmetal.scope.dxf.sketch import MM_PER_UNIT, Sketch
from soundmetal.scope.models import BendLine, Blank
from soundmetal.scope.sheets.contour import Point
from soundmetal.scope.sheets.pattern import Pattern
from soundmetal.scope.sheets.settings import Unit

#: From the piece's box to its words, in mm, and between lines as a share of their height (own choice).
_INDENT_MM, _LEADING = 25.0, 1.7
#: Which way the panel's front lies on the drawing, in signs that every line font has.
_ARROWS = {(-1, 0): "<", (1, 0): ">", (0, -1): "v", (0, 1): "^"}


def draw_piece(sketch: Sketch, blank: Blank, pattern: Pattern) -> None:
    """Add a piece where its pattern lies."""
    layers, cutting = sketch.cutting.layers, sketch.cutting
    paths = pattern.paths(cutting)
    for opening in paths.inside:
        sketch.contour(opening, layers.inside)
    sketch.contour(paths.outside, layers.cut)
    for number, (start, end) in enumerate(pattern.bends):
        sketch.line(start, end, layers.bend)
        if blank.bend_lines:
            _bend_words(sketch, blank.bend_lines[number], start, end)
    for start, end in pattern.beads:
        sketch.line(start, end, layers.bead)
    for mark in pattern.marks:
        sketch.cross((mark.x, mark.y), layers.mark)
        beside = cutting.mark_mm / 2
        drill = _number(mark.diameter_mm, cutting.drawing_unit)
        sketch.words(f"{drill} {cutting.drawing_unit}", (mark.x + beside, mark.y + beside), 5 * cutting.mark_mm)
    _words(sketch, blank, pattern)


def label(blank: Blank, unit: Unit) -> tuple[str, ...]:
    """Give the words on a piece: its id, whose findings, size, steel.

    >>> label(Blank("floor/1", "floor", ("F2",), 254.0, 127.0, 20, 0.912, 20, "flat", 0, 0, 1), "inch")
    ('floor/1', 'F2', '10 x 5 inch', '20 ga 0.912 mm')
    """
    size = " x ".join(_number(mm, unit) for mm in (blank.width_mm, blank.height_mm))
    gauge = f"{blank.gauge} ga " if blank.gauge is not None else ""
    return blank.id, " ".join(blank.findings), f"{size} {unit}", f"{gauge}{blank.thickness_mm:g} mm"


def _bend_words(sketch: Sketch, bend: BendLine, start: Point, end: Point) -> None:
    """Write beside a bend line which way it goes, the angle bent through and the inside radius."""
    unit = sketch.cutting.drawing_unit
    words = f"{'UP' if bend.up else 'DOWN'} {bend.bent_deg:g} R {round(bend.radius_mm / MM_PER_UNIT[unit], 3):g}"
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    sketch.words(words, (x + 1.0, y + 1.0), math.dist(start, end) / 4)


def _number(mm: float, unit: Unit) -> str:
    return f"{round(mm / MM_PER_UNIT[unit], 2 if unit == 'inch' else 1):g}"


def _words(sketch: Sketch, blank: Blank, pattern: Pattern) -> None:
    x0, y0, x1, y1 = pattern.outside.bounds
    more = ("TEMPLATE FIRST",) if blank.template_first else ()
    front = _ARROWS[round(pattern.front[0]), round(pattern.front[1])]
    lines = (*label(blank, sketch.cutting.drawing_unit), f"{'LEFT' if blank.across else 'FRONT'} {front}", *more)
    indent = min(_INDENT_MM, (x1 - x0) / 8)
    across = (x1 - x0) - 2 * indent
    up = (y1 - y0) * 0.8 / (len(lines) * _LEADING)
    y = (y0 + y1) / 2 + min(up, sketch.cutting.text_mm) * _LEADING * (len(lines) / 2 - 1)
    for line in lines:
        height = sketch.words(line, (x0 + indent, y), min(across, up * len(line) * 0.9))
        y -= height * _LEADING

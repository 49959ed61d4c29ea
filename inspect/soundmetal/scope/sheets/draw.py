"""A nested sheet as SVG for the wall and the screen: pieces where they lie, bends, marks, what is left over.

The words on it are ids and sizes only, so it needs no language. One unit of the picture is one mm of the sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from xml.sax.saxutils import escape

from soundmetal.scope.sheets.contour import Contour, Vertex
from soundmetal.scope.sheets.nest import NestedSheet, Piece, Rect
from soundmetal.scope.sheets.settings import Cutting, Unit

#: Width of the picture on paper, and room round the sheet, both in mm of their own.
_PAPER_MM, _ROOM = 260.0, 60.0
_INK, _PALE, _QUIET = "#231e1a", "#e9eef0", "#655c54"
_PER: dict[Unit, tuple[float, int]] = {"mm": (1.0, 1), "inch": (25.4, 2)}


def sheet_svg(
    sheet: NestedSheet, cutting: Cutting, paper_mm: float = _PAPER_MM, *, bare: bool = False,
    sizes: Callable[[float, float], str] | None = None,
) -> str:  # fmt: skip
    """Give the drawing of one sheet that stands alone, `paper_mm` wide on paper; `bare` without its heading.

    `sizes` writes a width and a height as the reader likes them; without it they go by the cutting table's unit.
    """
    wide, tall = sheet.length_mm + 2 * _ROOM, sheet.width_mm + 3 * _ROOM
    top = 1.7 * _ROOM if bare else 0.0
    size = sizes or _sizes(cutting.drawing_unit)
    title = f"{sheet.number}: {sheet.sheet}, {size(sheet.length_mm, sheet.width_mm)}"
    ids = ", ".join(piece.blank.id for piece in sheet.pieces)
    heading = "" if bare else _heading(sheet, title)
    parts = heading + "".join(_parts(sheet, cutting, size))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_num(paper_mm)}mm" '
        f'height="{_num(paper_mm * (tall - top) / wide)}mm" viewBox="0 {_num(top)} {_num(wide)} {_num(tall - top)}" '
        f'font-family="Alegreya Sans, sans-serif"><title>{escape(title)}</title><desc>{escape(ids)}</desc>'
        f"{parts}</svg>\n"
    )


def _letters(sheet: NestedSheet) -> float:
    return max(12.0, min(40.0, sheet.length_mm / 60))


def _heading(sheet: NestedSheet, title: str) -> str:
    used = f"{sheet.used_share * 100:.0f} %, {sheet.pieces_mass_kg:.1f} / {sheet.mass_kg:.1f} kg"
    return _text(_ROOM, _ROOM * 1.2, _letters(sheet) * 1.3, f"{title}   {used}", weight=700)


def _parts(sheet: NestedSheet, cutting: Cutting, size: Callable[[float, float], str]) -> Iterator[str]:
    base, letters = sheet.width_mm + 2 * _ROOM, _letters(sheet)
    yield _rect(Rect(0, 0, sheet.length_mm, sheet.width_mm), base, f'fill="none" stroke="{_INK}" stroke-width="3"')
    if sheet.rest is not None:
        style = f'fill="none" stroke="{_QUIET}" stroke-width="2" stroke-dasharray="24 12"'
        yield _rect(sheet.rest, base, style)
        rest = sheet.rest
        yield _text(
            _ROOM + rest.x_mm + rest.width_mm / 2, base - rest.y_mm - rest.height_mm / 2, letters,
            size(rest.width_mm, rest.height_mm), anchor="middle", fill=_QUIET,
        )  # fmt: skip
    for piece in sheet.pieces:
        yield from _piece(piece, base, letters, cutting, size)


def _piece(
    piece: Piece, base: float, letters: float, cutting: Cutting, size: Callable[[float, float], str]
) -> Iterator[str]:
    pattern = piece.pattern
    holes = "".join(_path(one, base) for one in pattern.inside)
    yield (
        f'<path d="{_path(pattern.outside, base)}{holes}" fill="{_PALE}" fill-rule="evenodd" stroke="{_INK}" '
        f'stroke-width="2"/>'
    )
    for lines, dash in ((pattern.bends, "20 6 4 6"), (pattern.beads, "6 6")):
        for (a, b), (c, d) in lines:
            yield _stroke(_ROOM + a, base - b, _ROOM + c, base - d, f' stroke-dasharray="{dash}"')
    arm = cutting.mark_mm / 2
    for mark in pattern.marks:
        x, y = _ROOM + mark.x, base - mark.y
        yield _stroke(x - arm, y, x + arm, y) + _stroke(x, y - arm, x, y + arm)
    yield from _words(piece, base, letters, size)


def _words(piece: Piece, base: float, letters: float, size: Callable[[float, float], str]) -> Iterator[str]:
    """Write id and size in the middle of a piece, up the piece where it is tall and narrow."""
    x0, y0, x1, y1 = piece.pattern.outside.bounds
    lines = (piece.blank.id, f"{' '.join(piece.blank.findings)}  {size(piece.blank.width_mm, piece.blank.height_mm)}")
    upright = y1 - y0 > x1 - x0
    room, deep = (y1 - y0, x1 - x0) if upright else (x1 - x0, y1 - y0)
    high = min(letters, room * 0.92 / (0.6 * max(map(len, lines))), deep / 2.8)
    alone = min(letters, room * 0.92 / (0.6 * len(lines[0])), deep / 1.4)
    x, y = _ROOM + (x0 + x1) / 2, base - (y0 + y1) / 2
    turn = f' transform="rotate(-90 {_num(x)} {_num(y)})"' if upright else ""
    if alone > 1.5 * high:
        # Too small for both lines: the id alone can be read.
        yield _text(x, y + alone * 0.35, alone, lines[0], anchor="middle", weight=700, more=turn)
        return
    yield _text(x, y - high * 0.15, high, lines[0], anchor="middle", weight=700, more=turn)
    yield _text(x, y + high * 1.05, high * 0.9, lines[1], anchor="middle", more=turn)


def _sizes(unit: Unit) -> Callable[[float, float], str]:
    per, digits = _PER[unit]
    return lambda one, other: f"{round(one / per, digits):g} x {round(other / per, digits):g} {unit}"


def _path(contour: Contour, base: float) -> str:
    """Write an outline as the `d` of a path; up is up, so arcs turn the other way than in the file's own sense."""
    start, ways = contour.vertices[0], list(contour.ways)
    return f"M{_num(_ROOM + start.x)} {_num(base - start.y)}" + "".join(_way(a, b, base) for a, b in ways) + "Z"


def _way(a: Vertex, b: Vertex, base: float) -> str:
    end = f"{_num(_ROOM + b.x)} {_num(base - b.y)}"
    if not a.bulge:
        return f"L{end}"
    chord = ((b.x - a.x) ** 2 + (b.y - a.y) ** 2) ** 0.5
    radius = chord * (1 + a.bulge**2) / (4 * abs(a.bulge))
    return f"A{_num(radius)} {_num(radius)} 0 {int(abs(a.bulge) > 1)} {int(a.bulge < 0)} {end}"


def _rect(rect: Rect, base: float, style: str) -> str:
    x, y = _num(_ROOM + rect.x_mm), _num(base - rect.y_mm - rect.height_mm)
    return f'<rect x="{x}" y="{y}" width="{_num(rect.width_mm)}" height="{_num(rect.height_mm)}" {style}/>'


def _stroke(x0: float, y0: float, x1: float, y1: float, more: str = "") -> str:
    ends = f'x1="{_num(x0)}" y1="{_num(y0)}" x2="{_num(x1)}" y2="{_num(y1)}"'
    return f'<line {ends} stroke="{_INK}" stroke-width="1.5"{more}/>'


def _text(
    x: float, y: float, size: float, words: str, *, anchor: str = "start", weight: int = 400, fill: str = _INK,
    more: str = "",
) -> str:  # fmt: skip
    look = f'font-size="{_num(size)}" font-weight="{weight}" text-anchor="{anchor}" fill="{fill}"'
    return f'<text x="{_num(x)}" y="{_num(y)}" {look}{more}>{escape(words)}</text>'


def _num(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text

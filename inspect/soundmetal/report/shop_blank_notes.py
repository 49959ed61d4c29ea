"""What is read beside a blank: where to scribe each bend, bead and opening, and what the scope says of the piece."""

from __future__ import annotations

import math
from collections.abc import Iterator

from markupsafe import Markup

from soundmetal.report.drawings.blank import Piece, letter
from soundmetal.report.shop_telling import ShopTelling
from soundmetal.scope.sheets.contour import Contour, Point

_UP = {
    True: "Bend {letter}, up {angle}°: line {length} from the edge of its flange.",
    False: "Bend {letter}, down {angle}°: line {length} from the edge of its flange.",
}
_UP_SECTION = {
    True: "Bend {letter}, up {angle}°: line {length} from the lower edge.",
    False: "Bend {letter}, down {angle}°: line {length} from the lower edge.",
}


def blank_lines(shop: ShopTelling, piece: Piece) -> tuple[Markup, ...]:
    """Give the sentences of one blank: lines to scribe first, then its own notes."""
    own = (shop.lang.sentence(note) for note in piece.made.notes)
    return (*_bends(shop, piece), *_beads(shop, piece), *_openings(shop, piece), *own)


def scribed(shop: ShopTelling, mm: float) -> str:
    """Give a length to scribe: the reader's unit, and mm to a tenth, as a bend line asks for."""
    look = shop.lang.look
    tenth = look.with_unit(look.number(mm, 1), "mm")
    return f"{shop.sizes.main(mm)} ({tenth})" if shop.sizes.us else tenth


def _bends(shop: ShopTelling, piece: Piece) -> Iterator[Markup]:
    section = piece.made.family == "section"
    texts = _UP_SECTION if section else _UP
    for number, (bend, line) in enumerate(zip(piece.made.bend_lines, piece.pattern.bends, strict=True)):
        away = line[0][1] if section else _from_edge(piece, line)
        angle = shop.lang.look.number(bend.bent_deg, 0 if bend.bent_deg == int(bend.bent_deg) else 1)
        yield shop.lang.text(texts[bend.up], letter=letter(number), angle=angle, length=scribed(shop, away))


def _from_edge(piece: Piece, line: tuple[Point, Point]) -> float:
    """From a flange's bend line to the edge it is nearest to."""
    (a, b), (c, d) = line
    x0, y0, x1, y1 = piece.pattern.outside.bounds
    return min(abs(b - y0), abs(y1 - b)) if math.isclose(b, d, abs_tol=1e-6) else min(abs(a - x0), abs(x1 - c))


def _beads(shop: ShopTelling, piece: Piece) -> Iterator[Markup]:
    lines = piece.pattern.beads
    if not lines:
        return
    level = math.isclose(lines[0][0][1], lines[0][1][1], abs_tol=1e-6)
    places = ", ".join(scribed(shop, start[1] if level else start[0]) for start, _ in lines)
    lengths = sorted({scribed(shop, math.dist(*line)) for line in lines})
    text = (
        "Bead lines, from the lower edge: {places}. Each {length} long."
        if level
        else "Bead lines, from the front edge: {places}. Each {length} long."
    )
    yield shop.lang.text(text, places=places, length=" / ".join(lengths))


def _openings(shop: ShopTelling, piece: Piece) -> Iterator[Markup]:
    shapes = [*map(_box, piece.pattern.inside)]
    shapes += [(mark.x, mark.y, mark.diameter_mm, mark.diameter_mm) for mark in piece.pattern.marks]
    for x, y, wide, tall in shapes:
        yield shop.lang.text(
            "Opening to keep, {size}: its middle {along} from the front edge and {up} from the lower edge.",
            size=shop.sizes.box(wide, tall)[0], along=scribed(shop, x), up=scribed(shop, y),
        )  # fmt: skip


def _box(contour: Contour) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = contour.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2, x1 - x0, y1 - y0

"""What is read beside a blank: where to scribe each bend, bead and opening, and what the scope says of the piece.

Places count from the edges of the flat piece as it is drawn: from the left and from the bottom, a bend line from the
edge that it is nearest to. Every one is told in mm to a tenth, so that the piece can be laid out from the page alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from markupsafe import Markup

from soundmetal.report.drawings.blank import Piece, corner_arcs, letter
from soundmetal.report.drawings.dimension import Both
from soundmetal.report.shop_telling import ShopTelling
from soundmetal.scope.sheets.contour import Contour, Point, Vertex

_BEND = {
    True: "Bend {letter}, up {angle}°, inside radius {radius}: line {length} {where}.",
    False: "Bend {letter}, down {angle}°, inside radius {radius}: line {length} {where}.",
}
_ACROSS = "Bead lines {places} from the bottom edge, {start} to {end} from the left edge."
_UPRIGHT = "Bead lines {places} from the left edge, {start} to {end} from the bottom edge."
#: An outline with more corners is taken from the drawing for the cutting table, or from a template.
MOST_CORNERS = 16
_NEAR = 1e-3


def blank_lines(shop: ShopTelling, piece: Piece) -> tuple[Markup, ...]:
    """Give the sentences of one blank: lines to scribe first, then its own notes."""
    own = (shop.lang.sentence(note) for note in piece.made.notes)
    return (
        *_outline(shop, piece), *_bends(shop, piece), *_beads(shop, piece),
        *_openings(shop, piece), *own,
    )  # fmt: skip


def scribed(shop: ShopTelling, mm: float) -> str:
    """Give a length to scribe: the reader's unit, and mm to a tenth, as a bend line asks for."""
    return f"{shop.sizes.main(mm)} ({_tenth(shop, mm)})" if shop.sizes.us else _tenth(shop, mm)


def to_a_tenth(shop: ShopTelling) -> Both:
    """Give the writer of a blank's own sizes: as everywhere, but mm to a tenth where they are not whole."""

    def both(mm: float) -> tuple[str, str]:
        tenth = _tenth(shop, mm)
        return (shop.sizes.main(mm), tenth) if shop.sizes.us else (tenth, shop.sizes.other(mm))

    return both


def _tenth(shop: ShopTelling, mm: float) -> str:
    look = shop.lang.look
    return look.with_unit(look.number(mm, 0 if abs(mm - round(mm)) < 0.05 else 1), "mm")


def _outline(shop: ShopTelling, piece: Piece) -> Iterator[Markup]:
    """Radii of round corners where they are not all the one that is drawn; every corner of what is no plain box."""
    outside = piece.pattern.outside
    if _is_box(outside):
        radii = sorted({round(radius, 1) for _, radius in corner_arcs(piece.pattern)})
        if len(radii) > 1:
            said = " / ".join(scribed(shop, radius) for radius in radii)
            yield shop.lang.text("Corners that are drawn round: radius {radius}.", radius=said)
    elif len(outside.vertices) <= MOST_CORNERS:
        text = "Corners of the outline in mm, from the left edge × from the bottom edge: {corners}."
        yield shop.lang.text(
            text, corners="; ".join(_corner(shop, a, b) for a, b in outside.running(clockwise=False).ways)
        )
    else:
        yield shop.lang.text("The outline follows the rust: cut it from the DXF drawing, or draw it on the template.")


def _is_box(outside: Contour) -> bool:
    """Tell whether an outline is a rectangle, its corners square or rounded by a quarter turn."""
    x0, y0, x1, y1 = outside.bounds
    quarter = math.tan(math.pi / 8)
    for a, b in outside.ways:
        level_or_upright = min(abs(a.x - b.x), abs(a.y - b.y)) < _NEAR
        on_the_box = min(abs(a.x - x0), abs(a.x - x1), abs(a.y - y0), abs(a.y - y1)) < _NEAR
        if not on_the_box or not (level_or_upright if not a.bulge else abs(abs(a.bulge) - quarter) < _NEAR):
            return False
    return len(outside.vertices) <= 8


def _corner(shop: ShopTelling, a: Vertex, b: Vertex) -> str:
    """One corner, and the radius of the arc that follows it."""
    number = shop.lang.look.number
    at = f"{number(a.x, 1)} × {number(a.y, 1)}"
    if not a.bulge:
        return at
    radius = math.dist(a[:2], b[:2]) * (1 + a.bulge**2) / (4 * abs(a.bulge))
    turned = shop.lang.text("hollow").unescape() if a.bulge < 0 else ""
    return f"{at} (R {number(radius, 1)}{' ' + turned if turned else ''} →)"


def _bends(shop: ShopTelling, piece: Piece) -> Iterator[Markup]:
    for number, (bend, line) in enumerate(zip(piece.made.bend_lines, piece.pattern.bends, strict=True)):
        away, edge = _from_edge(piece, line)
        angle = shop.lang.look.number(bend.bent_deg, 0 if bend.bent_deg == int(bend.bent_deg) else 1)
        yield shop.lang.text(
            _BEND[bend.up], letter=letter(number), angle=angle, radius=shop.sizes.thickness(bend.radius_mm),
            length=scribed(shop, away), where=_where(shop)[edge],
        )  # fmt: skip


def _where(shop: ShopTelling) -> dict[str, str]:
    lang = shop.lang
    return {
        "bottom": lang.translated("from the bottom edge"), "top": lang.translated("from the top edge"),
        "left": lang.translated("from the left edge"), "right": lang.translated("from the right edge"),
    }  # fmt: skip


def _from_edge(piece: Piece, line: tuple[Point, Point]) -> tuple[float, str]:
    """From a bend line to the edge it is nearest to; the bends of a section all from the bottom edge."""
    (a, b), (c, d) = line
    x0, y0, x1, y1 = piece.pattern.outside.bounds
    if math.isclose(b, d, abs_tol=1e-6):
        if piece.made.family == "section":
            return b - y0, "bottom"
        return min((b - y0, "bottom"), (y1 - b, "top"))
    return min((a - x0, "left"), (x1 - c, "right"))


def _beads(shop: ShopTelling, piece: Piece) -> Iterator[Markup]:
    lines = _in_order(piece.pattern.beads)
    if not lines:
        return
    level = math.isclose(lines[0][0][1], lines[0][1][1], abs_tol=1e-6)
    told = [_bead(line, level=level) for line in lines]
    runs = {(round(low, 1), round(high, 1)) for _, low, high in told}
    for low, high in sorted(runs):
        places = ", ".join(
            scribed(shop, at) for at, *run in told if (round(run[0], 1), round(run[1], 1)) == (low, high)
        )
        yield shop.lang.text(
            _ACROSS if level else _UPRIGHT, places=places, start=scribed(shop, low), end=scribed(shop, high)
        )
    if piece.made.bead_size_mm:
        wide, deep = piece.made.bead_size_mm
        yield shop.lang.text(
            "Each {width} wide, {depth} deep, to match the old ones.",
            width=scribed(shop, wide), depth=scribed(shop, deep),
        )  # fmt: skip


def _bead(line: tuple[Point, Point], *, level: bool) -> tuple[float, float, float]:
    """Where a bead lies across its run, and its two ends."""
    (a, b), (c, d) = line
    return (b, min(a, c), max(a, c)) if level else (a, min(b, d), max(b, d))


def _in_order(beads: Sequence[tuple[Point, Point]]) -> list[tuple[Point, Point]]:
    """Beads from the bottom up, or from the left."""
    return sorted(beads, key=lambda line: (round(min(line[0][1], line[1][1]), 3), min(line[0][0], line[1][0])))


def _openings(shop: ShopTelling, piece: Piece) -> Iterator[Markup]:
    for one in piece.pattern.inside:
        x, y, wide, tall = _box(one)
        spot = {"along": scribed(shop, x), "up": scribed(shop, y)}
        if all(v.bulge for v in one.vertices):
            yield shop.lang.text(
                "Round opening to keep, {across} across: its middle {along} from the left edge and {up} from the "
                "bottom edge.",
                across=scribed(shop, wide), **spot,
            )  # fmt: skip
        else:
            text = "Opening to keep, {size}: its middle {along} from the left edge and {up} from the bottom edge."
            yield shop.lang.text(text, size=shop.sizes.box(wide, tall)[0], **spot)
    for mark in piece.pattern.marks:
        yield shop.lang.text(
            "Hole to drill, {across} across, too small for the cutter, which marks its middle: {along} from the left "
            "edge and {up} from the bottom edge.",
            across=scribed(shop, mark.diameter_mm), along=scribed(shop, mark.x), up=scribed(shop, mark.y),
        )  # fmt: skip


def _box(contour: Contour) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = contour.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2, x1 - x0, y1 - y0

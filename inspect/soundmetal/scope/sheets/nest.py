"""Blanks of one steel laid on the shop's sheets: what goes where, how much is used, what stays as an offcut."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from soundmetal.calc.sheet import mass_kg
from soundmetal.errors import SettingsError
from soundmetal.record.shopbook import Sheet, ShopBook
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.pattern import Pattern, pattern_of
from soundmetal.scope.sheets.search import Effort
from soundmetal.scope.sheets.settings import Cutting, cutting_of
from soundmetal.scope.sheets.settle import settle
from soundmetal.scope.sheets.skyline import Part, Placed
from soundmetal.scope.sheets.stock import Laid, Slab, plan

#: Whole units in a mm: a thousandth is finer than any table cuts.
_PER_MM = 1000
_TINY = 1e-6


@dataclass(frozen=True)
class Piece:
    """A blank in its place: lower left corner of its box on the sheet, and whether it lies turned by 90 degrees."""

    blank: Blank
    pattern: Pattern
    x_mm: float
    y_mm: float
    turned: bool


@dataclass(frozen=True)
class Rect:
    """A rectangle on a sheet."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class NestedSheet:
    """One sheet or offcut with its pieces; x runs along its length, 0,0 is the lower left corner.

    `rest` is the largest rectangle that can be kept; None where it is too small to be worth it.
    """

    number: int
    sheet: str
    from_offcut: bool
    length_mm: float
    width_mm: float
    thickness_mm: float
    gauge: int | None
    price: Decimal
    pieces: tuple[Piece, ...]
    rest: Rect | None

    @property
    def used_share(self) -> float:
        """Area of the pieces as a share (0 to 1) of the sheet."""
        return sum(piece.pattern.area_mm2 for piece in self.pieces) / (self.length_mm * self.width_mm)

    @property
    def mass_kg(self) -> float:
        """Mass of the whole sheet, to be carried to the table."""
        return mass_kg(self.length_mm * self.width_mm, self.thickness_mm)

    @property
    def pieces_mass_kg(self) -> float:
        """Mass of its pieces."""
        return self.used_share * self.mass_kg


@dataclass(frozen=True)
class Nesting:
    """All sheets to cut, and blanks of a steel that the shop has no sheet of: each with its pattern."""

    sheets: tuple[NestedSheet, ...]
    without_sheet: tuple[tuple[Blank, Pattern], ...]

    @property
    def price(self) -> Decimal:
        """What the new sheets cost, before mark-up and tax."""
        return sum((sheet.price for sheet in self.sheets), Decimal(0))


def nest(blanks: Sequence[Blank], shop: ShopBook) -> Nesting:
    """Lay blanks on the shop's sheets, thinnest steel first.

    SettingsError names every blank, with its findings, that is larger than any sheet of its steel; RecordError one
    whose outline cannot be cut.
    """
    cutting = cutting_of(shop)
    flat = [(blank, pattern_of(blank, cutting)) for blank in blanks]
    groups: dict[tuple[float, str], list[tuple[Blank, Pattern]]] = {}
    sheets = {sheet.id: sheet for sheet in shop.sheets}
    for one in flat:
        if one[0].sheet in sheets:
            steel = sheets[one[0].sheet]
            groups.setdefault((steel.thickness, steel.coating), []).append(one)
    _refuse_too_large(groups, shop, cutting)
    nested: list[NestedSheet] = []
    for steel_key in sorted(groups):
        nested += _nest_steel(groups[steel_key], _of_steel(shop, steel_key), shop, cutting, len(nested))
    return Nesting(tuple(nested), tuple(one for one in flat if one[0].sheet not in sheets))


def _of_steel(shop: ShopBook, key: tuple[float, str]) -> list[Sheet]:
    """The sheets of one thickness and coating, in the shop book's order."""
    return [sheet for sheet in shop.sheets if (sheet.thickness, sheet.coating) == key]


def _refuse_too_large(
    groups: dict[tuple[float, str], list[tuple[Blank, Pattern]]], shop: ShopBook, cutting: Cutting
) -> None:
    """Raise SettingsError that names every blank which is larger than any sheet of its steel."""
    large = [
        f"{', '.join(blank.findings)}: {blank.id}, {blank.width_mm:.0f} x {blank.height_mm:.0f} mm"
        for key in sorted(groups)
        for blank, part in zip((b for b, _ in groups[key]), _parts(groups[key], cutting), strict=True)
        if not any(_slab(s.id, s.size, s.price, cutting).takes(part) for s in _of_steel(shop, key))
    ]
    if large:
        raise SettingsError(
            f"larger than any sheet of its steel in the shop book: {'; '.join(large)}",
            todo="Add a larger sheet to the shop book (sheets), buy the panel, or make it of two pieces.",
        )


def _nest_steel(
    pieces: Sequence[tuple[Blank, Pattern]], sheets: Sequence[Sheet], shop: ShopBook, cutting: Cutting, before: int
) -> list[NestedSheet]:
    slabs = [_slab(sheet.id, sheet.size, sheet.price, cutting) for sheet in sheets]
    names = {sheet.id for sheet in sheets}
    offcuts = [
        _slab(one.sheet, one.size, Decimal(0), cutting, offcut=True)
        for one in shop.offcuts
        if one.sheet in names
        for _ in range(one.count)
    ]
    usable = [slab for slab in offcuts if slab.length > 0 and slab.width > 0]
    laid = plan(_parts(pieces, cutting), slabs, usable, Effort(cutting.effort, cutting.starts))
    by_name = {sheet.id: sheet for sheet in sheets}
    return [_sheet(before + n, by_name[one[0].sheet], one, pieces, cutting) for n, one in enumerate(laid, start=1)]


def _parts(pieces: Iterable[tuple[Blank, Pattern]], cutting: Cutting) -> list[Part]:
    """Boxes of the pieces with the gap to the next one added, in whole units."""
    gap = cutting.gap_mm
    return [
        Part(n, _up(pattern.size_mm[0] + gap), _up(pattern.size_mm[1] + gap), blank.form not in cutting.keep_grain)
        for n, (blank, pattern) in enumerate(pieces)
    ]


def _slab(
    sheet: str, size_mm: tuple[float, float], price: Decimal, cutting: Cutting, *, offcut: bool = False
) -> Slab:
    """The room inside a sheet's border, longer side first: border off on all sides, one gap added."""
    off = cutting.gap_mm - 2 * cutting.border_mm
    length, width = (math.floor((side + off) * _PER_MM + _TINY) for side in sorted(size_mm, reverse=True))
    return Slab(sheet, length, width, price, offcut)


def _up(mm: float) -> int:
    return math.ceil(mm * _PER_MM - _TINY)


def _sheet(
    number: int, sheet: Sheet, laid: Laid, pieces: Sequence[tuple[Blank, Pattern]], cutting: Cutting
) -> NestedSheet:
    slab = laid[0]
    layout = settle(laid[1], slab.length, slab.width)
    off = cutting.gap_mm - 2 * cutting.border_mm
    size = (slab.length / _PER_MM - off, slab.width / _PER_MM - off)
    if not slab.offcut:
        size = (max(sheet.size), min(sheet.size))
    found = [_piece(one, pieces[one.number], cutting) for one in layout.placed]
    return NestedSheet(
        number=number,
        sheet=sheet.id,
        from_offcut=slab.offcut,
        length_mm=round(size[0], 3),
        width_mm=round(size[1], 3),
        thickness_mm=sheet.thickness,
        gauge=sheet.gauge,
        price=slab.price,
        pieces=tuple(sorted(found, key=lambda piece: (piece.x_mm, piece.y_mm))),
        rest=_rest(layout.offcut, slab, size, cutting),
    )


def _piece(placed: Placed, of: tuple[Blank, Pattern], cutting: Cutting) -> Piece:
    blank, pattern = of
    turned = placed.width != _up(pattern.size_mm[0] + cutting.gap_mm)
    x, y = (placed.x / _PER_MM + cutting.border_mm, placed.y / _PER_MM + cutting.border_mm)
    lying = pattern.turned() if turned else pattern
    return Piece(blank, lying.moved(x, y), x, y, turned)


def _rest(free: Placed | None, slab: Slab, size: tuple[float, float], cutting: Cutting) -> Rect | None:
    """The rectangle to keep: from half a gap beside the last piece to the sheet's own edge, where it reaches that."""
    if free is None:
        return None
    corner = cutting.border_mm - cutting.gap_mm / 2
    ends = (free.x, free.y, free.x + free.width, free.y + free.height)
    room = (0, 0, slab.length, slab.width)
    edges = (0.0, 0.0, *size)
    x0, y0, x1, y1 = (
        edge if at == wall else at / _PER_MM + corner for at, wall, edge in zip(ends, room, edges, strict=True)
    )
    sides = sorted((x1 - x0, y1 - y0))
    enough = all(side >= least for side, least in zip(sides, sorted(cutting.offcut_mm), strict=True))
    return Rect(*(round(mm, 3) for mm in (x0, y0, x1 - x0, y1 - y0))) if enough else None

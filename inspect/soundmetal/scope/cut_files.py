"""All that goes to the cutting table: drawings of blanks and sheets, the cut list, the offcuts that stay."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from soundmetal.record.shopbook import ShopBook
from soundmetal.scope.cut_names import COLUMNS, CUT_LIST, OFFCUTS, picture_name
from soundmetal.scope.dxf.blank import blank_dxf
from soundmetal.scope.dxf.sheet import sheet_dxf
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.draw import sheet_svg
from soundmetal.scope.sheets.nest import NestedSheet, Nesting, Piece, nest
from soundmetal.scope.sheets.pattern import pattern_of
from soundmetal.scope.sheets.settings import cutting_of


@dataclass(frozen=True)
class CutFiles:
    """The files by name, in the order they are written, and how the blanks lie."""

    nesting: Nesting
    files: Mapping[str, bytes]


def cut_files(
    blanks: Sequence[Blank], shop: ShopBook, notes: Mapping[str, str] | None = None,
    pictures: Mapping[str, bytes] | None = None,
) -> CutFiles:  # fmt: skip
    """Work out every file for the cutting table. Errors as of `nest`. The cut list names all others.

    `notes` tell by blank, in the reader's language, what is to be minded; without them the list has only what needs
    no figures: templates, allowances, laps. `pictures` are the dimensioned drawings (SVG) by blank.
    """
    cutting = cutting_of(shop)
    flat = [(blank, pattern_of(blank, cutting)) for blank in blanks]
    nesting = nest(blanks, shop)
    names = _names([blank.id for blank in blanks])
    files: dict[str, bytes] = {}
    for blank, pattern in flat:
        files[names[blank.id]] = blank_dxf(blank, pattern, cutting)
        if blank.id in (pictures or {}):
            files[picture_name(names[blank.id])] = (pictures or {})[blank.id]
    for sheet in nesting.sheets:
        stem = _stem(sheet)
        files[f"{stem}.dxf"] = sheet_dxf(sheet, cutting)
        files[f"{stem}.svg"] = sheet_svg(sheet, cutting).encode()
    files[OFFCUTS] = offcuts_yaml(nesting, shop).encode()
    files[CUT_LIST] = cut_list(blanks, nesting, names, notes or {}).encode()
    return CutFiles(nesting, files)


def cut_list(
    blanks: Sequence[Blank], nesting: Nesting, names: Mapping[str, str], notes: Mapping[str, str]
) -> str:  # fmt: skip
    """Give the cut list as CSV (UTF-8, comma, point), one line a blank; `names` are the drawings by blank.

    The position is that of the finished piece's lower left corner; without a sheet those columns are empty.
    """
    where = {piece.blank.id: (sheet, piece) for sheet in nesting.sheets for piece in sheet.pieces}
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    for blank in blanks:
        rest = (_drawing(where, blank), _plain(notes.get(blank.id, blank.grain_note)))
        writer.writerow([*_of_blank(blank), *_of_sheet(where.get(blank.id)), names[blank.id], *rest])
    return stream.getvalue()


def offcuts_yaml(nesting: Nesting, shop: ShopBook) -> str:
    """Give the shop book's list of offcuts as it stands once these sheets are cut, ready to be put into shop.yaml.

    Offcuts that were used are gone, what is left of every sheet is added, sizes rounded down to a tenth of a mm.
    """
    lying: Counter[tuple[str, tuple[float, float]]] = Counter()
    for one in shop.offcuts:
        lying[one.sheet, _size(one.size)] += one.count
    for sheet in nesting.sheets:
        if sheet.from_offcut:
            lying[sheet.sheet, _size((sheet.length_mm, sheet.width_mm))] -= 1
        if sheet.rest is not None:
            lying[sheet.sheet, _size((sheet.rest.width_mm, sheet.rest.height_mm))] += 1
    lines = [
        f"  - {{sheet: {json.dumps(name, ensure_ascii=False)}, size: {size[0]:g} x {size[1]:g} mm, count: {count}}}"
        for (name, size), count in sorted(lying.items())
        if count > 0
    ]
    return "# Offcuts once these sheets are cut. Put this in place of offcuts in shop.yaml.\n" + (
        "offcuts:\n" + "\n".join(lines) + "\n" if lines else "offcuts: []\n"
    )


def no_sheet(nesting: Nesting) -> tuple[str, ...]:
    """Name every blank whose steel the shop has no sheet of, one line each."""
    return tuple(
        f"{', '.join(blank.findings)}: {blank.id}, {blank.thickness_mm:.2f} mm. "
        "Add a sheet of this thickness to the shop book; its own drawing was made."
        for blank, _ in nesting.without_sheet
    )


def _of_blank(blank: Blank) -> Iterator[object]:
    yield from (_plain(blank.id), _plain(" ".join(blank.findings)), _plain(blank.panel))
    yield from (f"{blank.width_mm:.2f}", f"{blank.height_mm:.2f}", "" if blank.gauge is None else blank.gauge)
    yield from (f"{blank.thickness_mm:.3f}", f"{blank.mass_kg:.3f}", blank.form, blank.bends)


def _of_sheet(placed: tuple[NestedSheet, Piece] | None) -> tuple[object, ...]:
    if placed is None:
        return ("",) * 6
    sheet, piece = placed
    at = (f"{piece.x_mm:.2f}", f"{piece.y_mm:.2f}")
    return sheet.number, _plain(sheet.sheet), _yes(sheet.from_offcut), *at, _yes(piece.turned)


def _drawing(where: Mapping[str, tuple[NestedSheet, Piece]], blank: Blank) -> str:
    placed = where.get(blank.id)
    return f"{_stem(placed[0])}.dxf" if placed else ""


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _plain(text: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t") else text


def _size(size_mm: tuple[float, float]) -> tuple[float, float]:
    """Longer side first, rounded down to a tenth of a mm so that nothing is promised that is not there."""
    longer, shorter = (int(mm * 10 + 1e-3) / 10 for mm in sorted(size_mm, reverse=True))
    return longer, shorter


def _stem(sheet: NestedSheet) -> str:
    return f"sheet_{sheet.number}_{_slug(sheet.sheet)}"


def _names(ids: Sequence[str]) -> dict[str, str]:
    """Give each blank the name of its drawing; names that differ only in case or signs get a number."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for one in ids:
        stem, number = f"blank_{_slug(one)}", 2
        name = stem
        while name.casefold() in taken:
            name, number = f"{stem}_{number}", number + 1
        taken.add(name.casefold())
        names[one] = f"{name}.dxf"
    return names


def _slug(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9.-]+", "_", text).strip("._")[:80] or "x"

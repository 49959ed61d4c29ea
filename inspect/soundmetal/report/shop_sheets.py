"""The packet's pages of stock sheets: every sheet or offcut with its blanks, numbered as the jobs.

Blanks that are on no sheet are named with what is to be done; they never keep the packet from being made.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from markupsafe import Markup

from soundmetal.errors import SoundmetalError
from soundmetal.report.shop_plan_contexts import Sheets, SheetView
from soundmetal.report.shop_telling import ShopTelling
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.draw import sheet_svg
from soundmetal.scope.sheets.nest import NestedSheet, Nesting, Rect, nest
from soundmetal.scope.sheets.settings import cutting_of

#: Width of a sheet's drawing: that of the page between its margins, on the narrower of the two papers.
WIDTH_MM = 186.0


def sheets(shop: ShopTelling) -> Sheets:
    """Make the pages of the sheets; nothing where nothing is cut."""
    numbers = {made.id: name for job in shop.jobs for name, _, made in job.pieces if made is not None}
    blanks = [blank for blank in shop.job.scope.blanks if blank.id in numbers]
    laid, large = _laid(blanks, shop)
    lacking = [blank for blank, _ in laid.without_sheet]
    lang = shop.lang
    notes = []
    if large:
        text = "Larger than any sheet in the shop book: {pieces}. Make it of two pieces, or buy a larger sheet."
        notes.append(lang.text(text, pieces=_listed(large, numbers)))
    if lacking:
        text = "No sheet of this thickness in the shop book: {pieces}. Buy it before you begin."
        notes.append(lang.text(text, pieces=_listed(lacking, numbers)))
    return Sheets(tuple(_view(shop, sheet, numbers) for sheet in laid.sheets), tuple(notes))


def _laid(blanks: Sequence[Blank], shop: ShopTelling) -> tuple[Nesting, list[Blank]]:
    """Lay the blanks on sheets; those that no sheet can take come back apart."""
    try:
        return nest(blanks, shop.job.shop), []
    except SoundmetalError:
        large = [blank for blank in blanks if not _fits(blank, shop)]
        return nest([blank for blank in blanks if blank not in large], shop.job.shop), large


def _fits(blank: Blank, shop: ShopTelling) -> bool:
    try:
        nest([blank], shop.job.shop)
    except SoundmetalError:
        return False
    return True


def _listed(blanks: Sequence[Blank], numbers: Mapping[str, str]) -> str:
    return ", ".join(f"{numbers[blank.id]} ({', '.join(blank.findings)})" for blank in blanks)


def _view(shop: ShopTelling, sheet: NestedSheet, numbers: Mapping[str, str]) -> SheetView:
    look, lang = shop.lang.look, shop.lang
    pieces = tuple(replace(p, blank=replace(p.blank, id=numbers[p.blank.id])) for p in sheet.pieces)
    drawn = sheet_svg(
        replace(sheet, pieces=pieces), cutting_of(shop.job.shop), WIDTH_MM, bare=True,
        sizes=lambda wide, tall: shop.sizes.box(wide, tall)[0],
    )  # fmt: skip
    size, other = shop.sizes.box(sheet.length_mm, sheet.width_mm)
    kept = () if sheet.rest is None else (_kept(shop, sheet.rest),)
    used = lang.text(
        "{used} of it is used; {mass} to carry.",
        used=look.percent(100 * sheet.used_share), mass=shop.sizes.mass(sheet.mass_kg),
    )  # fmt: skip
    return SheetView(
        number=str(sheet.number),
        steel=shop.steel(sheet.thickness_mm, sheet.gauge),
        size=size,
        size_other=other,
        offcut=sheet.from_offcut,
        words=(used, *kept),
        # Our own drawing: ids and sizes are escaped where it is written.
        drawing=Markup(drawn.replace("<svg ", '<svg role="img" class="sheet" ', 1)),  # noqa: S704
    )


def _kept(shop: ShopTelling, rest: Rect) -> Markup:
    size, _ = shop.sizes.box(rest.width_mm, rest.height_mm)
    return shop.lang.text("Keep as an offcut: {size}.", size=size)

"""Blanks to cut and the sheet they come from: size, gauge, mass; how it is formed is the zone's shape."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from soundmetal.car.models import Role, Zone
from soundmetal.grade.models import Graded
from soundmetal.handbook.gauge import nearest_msg
from soundmetal.record.models import Finding
from soundmetal.record.shopbook import Policies, Sheet, ShopBook
from soundmetal.repair.models import Method, Option
from soundmetal.repair.practice import practice
from soundmetal.scope.making import FLANGE as FLANGE
from soundmetal.scope.making import LAP as LAP
from soundmetal.scope.making import NO_SHEET as NO_SHEET
from soundmetal.scope.making import TEMPLATE as TEMPLATE
from soundmetal.scope.making import Making, made
from soundmetal.scope.making import Stock as Stock
from soundmetal.scope.models import Blank


def original_mm(zone: Zone, graded: Sequence[Graded]) -> float:
    """Thickness to match: the reference reading of the worst finding that has one, else the zone's nominal."""
    measured = [g.metal_left.original_mm for g in graded if g.metal_left.original_from == "reference reading"]
    return next((mm for mm in measured if mm), zone.thickness.mm)


def stock_for(thickness_mm: float, zone: Zone, shop: ShopBook) -> Stock:
    """Choose the shop's sheet nearest in thickness within the tolerance of a butt seam (10 %, from memory).

    Bare sheet for skins, which are metal-finished; zinc-coated for floors and inner metal where the shop has it.
    Without a sheet near enough the nearest gauge is named for buying.
    """
    limit = thickness_mm * practice().gauge_tolerance + 1e-9
    near = [s for s in shop.sheets if abs(s.thickness - thickness_mm) <= limit]
    bare = zone.role is Role.SKIN

    def rank(sheet: Sheet) -> tuple[bool, float, str]:
        return (sheet.coating != "none") is bare, round(abs(sheet.thickness - thickness_mm), 6), sheet.id

    if near:
        best = min(near, key=rank)
        return Stock(best.thickness, best.gauge, best)
    try:
        gauge = nearest_msg(thickness_mm)
    except ValueError:
        return Stock(thickness_mm, None, None)
    fits = abs(gauge.mm - thickness_mm) <= limit
    return Stock(gauge.mm if fits else thickness_mm, gauge.number if fits else None, None)


def blanks_of(
    option: Option, zone: Zone, stock: Stock, policies: Policies, findings: Sequence[Finding] = (), *,
    lap: bool = False,
) -> tuple[Blank, ...]:  # fmt: skip
    """Give one blank for each cut-out of an option; none for a bought panel.

    Sizes are those of the flat piece for the cut-out as seen now: flanges on the sides that end at a factory flange,
    bends and beads worked in, and more on every side where the piece laps over the old metal. RecordError with the
    findings' ids for a section that cannot be bent.
    """
    if option.bought or not option.geometry.blanks:
        return ()
    cutting = Making(option, zone, stock, policies, tuple(findings), lap and option.method is not Method.FULL_PANEL)
    return tuple(made(n, cut, cutting) for n, cut in enumerate(option.geometry.cutouts, start=1))


def sheet_price(area_mm2: float, stock: Stock, shop: ShopBook) -> Decimal:
    """Price before mark-up of the steel for an area of blanks, waste included, as a share of the sheet.

    Where the shop has no sheet near enough, its nearest one's price by mass stands in.
    """
    sheet = stock.sheet or min(shop.sheets, key=lambda s: (abs(s.thickness - stock.thickness_mm), s.id))
    share = area_mm2 * (1 + shop.policies.sheet_waste) / (sheet.size[0] * sheet.size[1])
    share *= stock.thickness_mm / sheet.thickness
    return Decimal(repr(share)) * sheet.price

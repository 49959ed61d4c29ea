"""Blanks to cut and the sheet they come from: size, gauge, mass; how it is formed is the zone's shape."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from soundmetal.calc.sheet import mass_kg
from soundmetal.car.models import Role, Zone
from soundmetal.grade.models import Graded
from soundmetal.handbook.gauge import nearest_msg
from soundmetal.record.shopbook import Policies, Sheet, ShopBook
from soundmetal.repair.flat import SIDE_ORDER
from soundmetal.repair.models import Cutout, Method, Option
from soundmetal.repair.practice import practice
from soundmetal.scope.models import Blank

#: What is written beside a blank; each is a sentence that can be translated.
TEMPLATE = "Take a template on the car before you cut; the opening may grow."
FLANGE = "An allowance for the factory flange is in the size; bend it to the old one."
LAP = "The piece lies over the old metal all round; prime and seal between the two."
NO_SHEET = "No sheet in the shop book is near enough; buy this thickness."


@dataclass(frozen=True)
class Stock:
    """The steel to take: thickness and gauge, and the shop's sheet, None where it has none near enough."""

    thickness_mm: float
    gauge: int | None
    sheet: Sheet | None


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
    option: Option, zone: Zone, stock: Stock, policies: Policies, *, lap: bool = False
) -> tuple[Blank, ...]:
    """Give one blank for each cut-out of an option; none for a bought panel.

    Sizes are the cut-out as seen now, with a flange allowance on every side that ends at a factory flange, and on
    every side where the piece laps over the old metal.
    """
    if option.bought or not option.geometry.blanks:
        return ()
    cutouts = option.geometry.cutouts
    area = sum(_area(c, policies) for c in cutouts)
    bead = option.geometry.bead_mm / area if area else 0.0
    cutting = _Cutting(option, zone, stock, policies, bead, lap and option.method is not Method.FULL_PANEL)
    return tuple(_blank(n, cut, cutting) for n, cut in enumerate(cutouts, start=1))


def sheet_price(area_mm2: float, stock: Stock, shop: ShopBook) -> Decimal:
    """Price before mark-up of the steel for an area of blanks, waste included, as a share of the sheet.

    Where the shop has no sheet near enough, its nearest one's price by mass stands in.
    """
    sheet = stock.sheet or min(shop.sheets, key=lambda s: (abs(s.thickness - stock.thickness_mm), s.id))
    share = area_mm2 * (1 + shop.policies.sheet_waste) / (sheet.size[0] * sheet.size[1])
    share *= stock.thickness_mm / sheet.thickness
    return Decimal(repr(share)) * sheet.price


@dataclass(frozen=True)
class _Cutting:
    """What the blanks of one option share; `bead` is the length of bead for an area, in mm for one mm2."""

    option: Option
    zone: Zone
    stock: Stock
    policies: Policies
    bead: float
    lap: bool

    @property
    def whole(self) -> bool:
        """Whether the blank is a whole panel."""
        return self.option.method is Method.FULL_PANEL


def _blank(number: int, cut: Cutout, cutting: _Cutting) -> Blank:
    policies, stock = cutting.policies, cutting.stock
    beyond = SIDE_ORDER if cutting.lap else cut.ends
    width, height = cut.size_mm
    area = _area(cut, policies)
    return Blank(
        id=f"{cutting.option.panel}/{number}",
        panel=cutting.option.panel,
        findings=cut.findings,
        width_mm=width + policies.flange * sum(side in beyond for side in ("front", "rear")),
        height_mm=height + policies.flange * sum(side in beyond for side in ("lower", "upper")),
        corner_radius_mm=0.0 if cutting.whole else policies.corner_radius,
        thickness_mm=stock.thickness_mm,
        gauge=stock.gauge,
        form=cutting.zone.shape.value,
        bends=len(cut.ends),
        bead_mm=cutting.bead * area,
        mass_kg=mass_kg(area, stock.thickness_mm),
        grain_note=" ".join(_notes(cut, cutting)),
        outline_mm=tuple((float(x), float(y)) for x, y in cut.outline.exterior.coords),
        sheet=stock.sheet.id if stock.sheet else "",
        grown=tuple(beyond),
        bent=cut.ends,
        allowance_mm=policies.flange,
    )


def _notes(cut: Cutout, cutting: _Cutting) -> Iterator[str]:
    if not cutting.whole:
        yield TEMPLATE
    if cut.ends:
        yield FLANGE
    if cutting.lap:
        yield LAP
    if cutting.stock.sheet is None:
        yield NO_SHEET


def _area(cut: Cutout, policies: Policies) -> float:
    return cut.area_mm2 + cut.edge_length_mm * policies.flange

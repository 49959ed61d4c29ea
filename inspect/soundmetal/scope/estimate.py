"""One option in numbers: its operations, materials and what may be hidden; and its expected price, for the choice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from soundmetal.car.models import Zone
from soundmetal.grade.models import Graded, Spread, Step
from soundmetal.record.shopbook import BoughtPanel, OutsideWork, ShopBook
from soundmetal.record.terms import Aim, Basis
from soundmetal.repair.models import Geometry, Method, Option
from soundmetal.scope import outside
from soundmetal.scope.blanks import Stock, blanks_of, original_mm, sheet_price, stock_for
from soundmetal.scope.buying import can_buy, weighed
from soundmetal.scope.consumables import consumables_of
from soundmetal.scope.growth import hidden
from soundmetal.scope.items import AREA, FIXED, LENGTH, Estimate, Material, WorkItem
from soundmetal.scope.models import Blank, Consumable
from soundmetal.scope.money import cents, with_percent
from soundmetal.scope.operations import access_of, inner_work_of, work_of

SHEET, CONSUMABLE, BOUGHT, OUTSIDE = "sheet", "consumable", "bought panel", "outside work"


@dataclass(frozen=True)
class Setting:
    """All that stays the same while a car is worked out for one aim."""

    shop: ShopBook
    aim: Aim
    basis: Basis

    @property
    def rates(self) -> dict[str, Decimal]:
        """Hourly rate by kind of work."""
        return {name: getattr(self.shop.rates, name) for name in ("metal", "strip", "trim")}

    def bought(self, zone: str) -> BoughtPanel | None:
        """The panel that can be bought for a zone."""
        return next((panel for panel in self.shop.bought if panel.zone == zone), None)


@dataclass(frozen=True)
class Place:
    """One panel's surroundings: its zone, its findings, the inner cut-outs, whether the layer behind was seen.

    `lap` tells that an overlap is allowed here, `why` the reason for or against it.
    """

    zone: Zone
    graded: Sequence[Graded]
    inner: Geometry
    inner_known: bool
    lap: bool = False
    why: Step | None = None


def estimate(option: Option, place: Place, setting: Setting, *, access: bool = True, draw: bool = True) -> Estimate:
    """Work out one option. `access` False leaves the access out, where another panel of the group carries it.

    `draw` False leaves the blanks undrawn: their price does not need them, and most options are not taken.
    """
    zone, shop, aim = place.zone, setting.shop, setting.aim
    stock = stock_for(original_mm(zone, place.graded), zone, shop)
    still = hidden(zone, option.method, option.geometry, setting.basis, inner_known=place.inner_known)
    panel = setting.bought(zone.id) if option.bought else None
    work = work_of(option, zone, shop, aim, trim_h=panel.trim_h if panel else 0.0)
    way_in = (
        access_of(option.panel, option.findings, zone, shop) if access and option.method is not Method.LEAVE else None
    )
    inner = inner_work_of(place.inner, option, zone, shop, aim) if still.inner_chance else ()
    away = tuple(outside.of_panel(option, shop, aim))
    used = consumables_of(option.geometry, stock, shop)
    return Estimate(
        panel=option.panel,
        findings=option.findings,
        hidden=still,
        work=(way_in, *work) if way_in else work,
        materials=(*_materials(option, stock, panel, shop), *_used(used, shop), *_away(away)),
        blanks=_blanks(option, place, stock, shop) if draw else (),
        consumables=used,
        inner_work=inner,
        inner_materials=_sheet(place.inner.blank_mm2, stock, shop) if inner else (),
        days_away=sum(work.days for _, work in away),
        rates=setting.rates,
    )


def _blanks(option: Option, place: Place, stock: Stock, shop: ShopBook) -> tuple[Blank, ...]:
    findings = [graded.finding for graded in place.graded]
    return blanks_of(option, place.zone, stock, shop.policies, findings, lap=place.lap)


def priced(option: Option, place: Place, setting: Setting) -> Option:
    """Put expected hours and price into an option, and weigh make or buy for every section and whole panel.

    A piece comes from a bought panel where that is cheaper than making it.
    """
    if not option.feasible:
        return option
    made = estimate(option, place, setting, draw=False)
    if not can_buy(option):
        return _with_price(option, made)
    panel = setting.bought(option.panel)
    best, bought = _with_price(option, made), None
    if panel is not None:
        other = replace(option, bought=True)
        bought = estimate(other, place, setting, draw=False)
        other = _with_price(other, bought)
        best = other if (other.price or Decimal(0)) < (best.price or Decimal(0)) else best
    return replace(best, buying=weighed(best, made, bought, panel, setting.shop))


def hours_of(work: Sequence[WorkItem]) -> Spread:
    """Sum the low, likely and high hours of operations: a rough frame, wider than the simulated range."""
    hours = [item.operation.hours for item in work]
    return Spread(sum(h.low for h in hours), sum(h.likely for h in hours), sum(h.high for h in hours))


def _with_price(option: Option, found: Estimate) -> Option:
    return replace(option, hours=hours_of(found.work), price=cents(found.mean_money))


def _materials(option: Option, stock: Stock, panel: BoughtPanel | None, shop: ShopBook) -> tuple[Material, ...]:
    if panel is not None:
        price = cents(with_percent(panel.price, shop.markup) + panel.freight)
        return (Material(BOUGHT, price, FIXED, name=panel.zone, source="shop book"),)
    return _sheet(option.geometry.blank_mm2, stock, shop)


def _sheet(area_mm2: float, stock: Stock, shop: ShopBook) -> tuple[Material, ...]:
    if not area_mm2:
        return ()
    price = cents(with_percent(sheet_price(area_mm2, stock, shop), shop.markup))
    return (Material(SHEET, price, AREA, name=stock.sheet.id if stock.sheet else "", source="shop book"),)


def _used(used: Sequence[Consumable], shop: ShopBook) -> tuple[Material, ...]:
    total = sum((one.price for one in used), Decimal(0))
    if not total:
        return ()
    return (Material(CONSUMABLE, cents(with_percent(total, shop.markup)), LENGTH, source="shop book"),)


def _away(away: Sequence[tuple[str, OutsideWork]]) -> tuple[Material, ...]:
    return tuple(
        Material(OUTSIDE, w.price, FIXED, w.low_factor, w.high_factor, name, "shop book") for name, w in away
    )

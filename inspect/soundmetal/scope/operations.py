"""Operations of one option: which lines of the shop book, on what driver, how many hours low, likely and high."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from soundmetal.car.models import Shape, Zone
from soundmetal.errors import SettingsError
from soundmetal.grade.models import Spread
from soundmetal.record.shopbook import OperationTime, ShopBook
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Geometry, Option
from soundmetal.repair.practice import practice
from soundmetal.scope.items import AREA, FIXED, LENGTH, WorkItem
from soundmetal.scope.models import Operation

_FORM = {Shape.FLAT: "form_flat", Shape.SINGLE_CURVE: "form_single_curve", Shape.COMPOUND: "form_compound"}
_PER = {"mm": 1.0, "m": 1e3, "mm2": 1.0, "m2": 1e6}


@dataclass(frozen=True)
class Driven:
    """An operation of the shop book with its driver in mm, mm2 or pieces, and how the driver grows."""

    kind: str
    driver: str
    amount: float
    power: float
    curved: bool = False
    compound: bool = False


def work_of(option: Option, zone: Zone, shop: ShopBook, aim: Aim, *, trim_h: float = 0.0) -> tuple[WorkItem, ...]:
    """Give the operations of an option, without access, which several panels may share.

    `trim_h` are the hours that a bought panel needs; nothing is templated or formed then. SettingsError where the
    shop book lacks an operation.
    """
    driven = bought_panel(option.geometry, trim_h) if option.bought else made(option.geometry, zone)
    asked = [*driven, *joined(option.geometry, shop, aim), *protected(option.geometry)]
    return tuple(_item(d, option.panel, option.findings, zone, shop) for d in asked if d.amount > 0)


def inner_work_of(plan: Geometry, option: Option, zone: Zone, shop: ShopBook, aim: Aim) -> tuple[WorkItem, ...]:
    """Give what a spent inner layer behind the cut-outs would add: a flat piece, welded in, dressed out of sight."""
    dress = practice().aims[aim].dress_hidden
    asked = [
        Driven("cut", "cut length", plan.cut_mm, LENGTH),
        Driven("template", "blanks", plan.blanks, FIXED),
        Driven("form_flat", "blanks", plan.blanks, FIXED),
        Driven("fit_tack", "seam and flange", plan.seam_mm + plan.factory_flange_mm, LENGTH),
        Driven(_butt(shop), "butt seam", plan.seam_mm, LENGTH),
        Driven("plug", "plug welds", plan.plug_welds, LENGTH),
        Driven(dress, "butt seam", plan.seam_mm, LENGTH),
    ]
    return tuple(_item(d, option.panel, option.findings, zone, shop) for d in asked if d.amount > 0)


def access_of(panel: str, findings: tuple[str, ...], zone: Zone, shop: ShopBook) -> WorkItem | None:
    """Give the access to a zone: the catalogue's hours by the shop book's factor; None without any."""
    low, likely, high = zone.access_hours
    if likely <= 0:
        return None
    book = _book("access", shop)
    hours = book.fixed_h + book.per_h * likely
    factors = Spread(low / likely, 1.0, high / likely)
    driver = Driven("access", zone.access, likely, FIXED)
    return _built(driver, "h", hours, 0.0, factors, panel, findings, book)


def made(plan: Geometry, zone: Zone) -> Iterator[Driven]:
    """Cutting out, making the blank and shaping it."""
    compound = zone.shape is Shape.COMPOUND
    form = _FORM[zone.shape]
    yield from _opened(plan)
    yield Driven("template", "blanks", plan.blanks, FIXED)
    if form == "form_flat":
        yield Driven(form, "blanks", plan.blanks, FIXED)
    else:
        yield Driven(form, "blank area", plan.blank_mm2, AREA, compound=compound)
    yield Driven("bend", "flanges", plan.bends, FIXED)
    yield Driven("bead", "bead length", plan.bead_mm, AREA)


def bought_panel(plan: Geometry, trim_h: float) -> Iterator[Driven]:
    """Cutting out, and trimming a bought panel to fit."""
    yield from _opened(plan)
    yield Driven("trim_panel", "hours by the shop book", trim_h, FIXED)


def joined(plan: Geometry, shop: ShopBook, aim: Aim) -> Iterator[Driven]:
    """Fitting, welding and dressing."""
    asks = practice().aims[aim]
    yield Driven("fit_tack", "seam and flange", plan.seam_mm + plan.factory_flange_mm, LENGTH)
    yield Driven(_butt(shop), "butt seam", plan.seam_mm, LENGTH)
    yield Driven("plug", "plug welds", plan.plug_welds, LENGTH)
    yield Driven(asks.dress_visible if plan.visible else asks.dress_hidden, "butt seam", plan.seam_mm, LENGTH)


def protected(plan: Geometry) -> Iterator[Driven]:
    """Primer, sealer and wax."""
    yield Driven("protect_area", "bare area", plan.strip_mm2, AREA)
    yield Driven("protect_seam", "seam and flange", plan.seam_mm + plan.factory_flange_mm, LENGTH)
    yield Driven("protect_cavity", "cavities", plan.cavities, FIXED)


def _opened(plan: Geometry) -> Iterator[Driven]:
    yield Driven("strip", "area", plan.strip_mm2, AREA)
    yield Driven("brace", "openings", plan.braces, FIXED)
    yield Driven("cut", "cut length", plan.cut_mm, LENGTH, curved=plan.curved)
    yield Driven("drill_spots", "spot welds", plan.drilled_spots, LENGTH)


def _butt(shop: ShopBook) -> str:
    return "butt_tig" if shop.policies.process == "TIG" else "butt_mig"


def _book(kind: str, shop: ShopBook) -> OperationTime:
    if kind not in shop.operations:
        raise SettingsError(
            f'the shop book has no operation "{kind}"', todo="Add it, or leave the defaults in place."
        )
    return shop.operations[kind]


def _item(driven: Driven, panel: str, findings: tuple[str, ...], zone: Zone, shop: ShopBook) -> WorkItem:
    book = _book(driven.kind, shop)
    amount = driven.amount / _PER.get(book.driver, 1.0)
    curved = book.curved_factor if driven.curved else 1.0
    wider = shop.widening
    high = book.high_factor
    high *= wider.compound_high if driven.compound else 1.0
    high *= wider.poor_access_high if zone.access_hours[1] >= wider.poor_access_from_h else 1.0
    factors = Spread(book.low_factor, 1.0, high)
    shown = Driven(driven.kind, driven.driver, amount, driven.power)
    fixed, variable = book.fixed_h * curved, book.per_h * amount * curved
    return _built(shown, _unit(book), fixed, variable, factors, panel, findings, book)


def _built(
    driven: Driven, unit: str, fixed_h: float, variable_h: float, factors: Spread,
    panel: str, findings: tuple[str, ...], book: OperationTime,
) -> WorkItem:  # fmt: skip
    likely = fixed_h + variable_h
    hours = Spread(likely * factors.low, likely, likely * factors.high)
    operation = Operation(
        f"{panel}/{driven.kind}", driven.kind, panel, findings, driven.driver, driven.amount, unit, hours, book.source
    )
    return WorkItem(operation, book.rate, fixed_h, variable_h, driven.power, factors.low, factors.high)


def _unit(book: OperationTime) -> str:
    return book.driver if book.driver in _PER else "each"

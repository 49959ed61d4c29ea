"""Make or buy, for every section and whole panel: what making takes, what buying takes, and the break-even."""

from __future__ import annotations

from decimal import Decimal

from soundmetal.calc.buying import break_even_hours
from soundmetal.grade.models import Step
from soundmetal.record.shopbook import BoughtPanel, ShopBook
from soundmetal.repair.models import Buying, Method, Option
from soundmetal.scope.items import Estimate, WorkItem
from soundmetal.scope.money import cents, with_percent

#: Methods for which a piece is either made or taken from a bought panel; what is referred is not the shop's to buy.
WEIGHED = (Method.PATCH, Method.BUTT_WELD, Method.FULL_PANEL)
#: Operations that only a made piece needs, and those that only a bought one needs.
MAKING = ("template", "form_flat", "form_single_curve", "form_compound", "bend", "bead")
FITTING = ("trim_panel",)
_SHEET = "sheet"
_MADE = (
    "Made here: making the piece takes about {make_h}. The bought panel, {panel_money} with freight and {fit_h} to "
    "trim and fit it, would be the better one from {even_h} on."
)
_BOUGHT = (
    "Bought: the panel is {panel_money} with freight and takes {fit_h} to trim and fit. Making the piece would take "
    "about {make_h}, and would be the better one under {even_h}."
)
_NEVER = (
    "Bought: the panel is {panel_money} with freight and takes {fit_h} to trim and fit, less than the sheet alone to "
    "make the piece from."
)
_UNKNOWN = (
    "Made here: making the piece takes about {make_h}. The shop book knows no panel to buy; one that is ready to fit "
    "would be the better one under {most_money}, freight included."
)
SOURCE = "shop book"


def can_buy(option: Option) -> bool:
    """Tell whether a piece of this option is either made or taken from a bought panel."""
    return option.method in WEIGHED and option.geometry.blanks > 0


def weighed(
    option: Option, made: Estimate, bought: Estimate | None, panel: BoughtPanel | None, shop: ShopBook
) -> Buying:
    """Weigh making against buying for one option; `bought` and `panel` are None where the shop book has no panel.

    Hours and prices are expected ones (growth and the lean of the estimates included), before tax, with mark-up.
    """
    make_h = _hours(made, MAKING)
    sheet = cents(sum((m.mean(made.hidden.growth) for m in made.materials if m.kind == _SHEET), 0.0))
    if bought is None or panel is None:
        most = cents(_money(made, MAKING)) + sheet
        text = Step(_UNKNOWN, {"make_h": make_h, "most_money": most}, SOURCE)
        return Buying(make_h, sheet, None, 0.0, None, most, text)
    paid = cents(with_percent(panel.price, shop.markup) + panel.freight)
    fit_h = _hours(bought, FITTING)
    even = break_even_hours(float(paid), 0.0, fit_h, float(sheet), float(shop.rates.metal))
    most = cents(_money(made, MAKING) - _money(bought, FITTING)) + sheet
    values: dict[str, object] = {"make_h": make_h, "panel_money": paid, "fit_h": fit_h, "even_h": even}
    text = Step((_BOUGHT if even > 0 else _NEVER) if option.bought else _MADE, values, SOURCE)
    return Buying(make_h, sheet, paid, fit_h, even, max(most, Decimal(0)), text)


def _items(found: Estimate, kinds: tuple[str, ...]) -> list[WorkItem]:
    return [item for item in found.work if item.operation.kind in kinds]


def _hours(found: Estimate, kinds: tuple[str, ...]) -> float:
    return sum(item.mean_h(found.hidden.growth) for item in _items(found, kinds))


def _money(found: Estimate, kinds: tuple[str, ...]) -> float:
    growth = found.hidden.growth
    return sum(item.mean_h(growth) * float(found.rates[item.rate]) for item in _items(found, kinds))

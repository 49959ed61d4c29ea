"""Lines of the price, their total to the cent, and the simulated range round it.

Lines tell the work that can be seen now; one allowance line a panel tells what is still hidden and what runs long, so
that the lines add up to the *expected* price, the mean that the simulation is checked against. Nothing is rounded for
show here: the shop's `round_to` is for the page.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from soundmetal.calc.beta import Floats
from soundmetal.calc.spread import quantiles
from soundmetal.grade.models import Spread, Step
from soundmetal.record.shopbook import ShopBook
from soundmetal.repair.models import Method
from soundmetal.scope.items import Estimate
from soundmetal.scope.models import Line, MoneyRange, Total
from soundmetal.scope.moments import Moments
from soundmetal.scope.money import cents, hours_price
from soundmetal.scope.simulate import Draws
from soundmetal.scope.tornado import drivers

#: Kinds of line, in the order in which a panel's lines stand.
LABOUR, ALLOWANCE, TAX = "labour", "allowance", "tax"
#: Bars of the density strip.
BINS = 40
_LABOUR_TEXT = {
    "trim": "Getting at it and putting back: {panel_zone}",
    "strip": "Stripping and protecting: {panel_zone}",
    "metal": "Metal work, {method_word}: {panel_zone}",
}
_MATERIAL_TEXT = {
    "sheet": "Sheet steel: {panel_zone}",
    "consumable": "Wire, gas, discs, primer, sealer: {panel_zone}",
    "bought panel": "Panel bought: {panel_zone}",
    "outside work": "{work_word}: {panel_zone}",
}
_CAR_TEXT = "{work_word}"
_ALLOWANCE_TEXT = "Allowance for what is still hidden: {panel_zone}"
_TAX_TEXT = "{tax_word}, {tax_pct}"


def panel_lines(found: Estimate, method: Method, shop: ShopBook) -> tuple[Line, ...]:
    """Give the lines of one panel; they add up to its expected price before tax, to the cent."""
    seen = (*_labour(found, method), *_bought(found, shop))
    rest = cents(found.mean_money) - sum((line.amount for line in seen), Decimal(0))
    if not rest:
        return seen
    hours = found.mean_h - found.likely_h
    text = Step(_ALLOWANCE_TEXT, {"panel_zone": found.panel}, "growth.yaml")
    return (*seen, Line(ALLOWANCE, found.panel, found.findings, text, hours, rest))


def tax_line(net: Decimal, shop: ShopBook) -> tuple[Line, ...]:
    """Give the tax on a net price; no line where there is none."""
    if not shop.tax:
        return ()
    values = {"tax_word": shop.tax_name or "Tax", "tax_pct": shop.tax}
    return (Line(TAX, "", (), Step(_TAX_TEXT, values, "shop book"), 0.0, cents(net * shop.tax / 100)),)


def total(lines: Sequence[Line], draws: Draws, expected_hours: float, moments: Moments, shop: ShopBook) -> Total:
    """Add the lines up and put the simulated range round the sum, tax included."""
    net = sum((line.amount for line in lines), Decimal("0.00"))
    tax = tax_line(net, shop)
    taxed = sum((line.amount for line in tax), Decimal("0.00"))
    hours, money = draws.hours.sum(axis=0), draws.money.sum(axis=0) * (1 + float(shop.tax) / 100)
    return Total(
        lines=(*lines, *tax),
        net=net,
        tax=taxed,
        likely=net + taxed,
        hours=hours_range(hours, expected_hours),
        price=money_range(money, net + taxed),
        histogram=_histogram(money),
        mean_hours=float(np.mean(hours)),
        sd_hours=float(np.std(hours)),
        analytic_mean_hours=moments.mean,
        analytic_sd_hours=moments.sd,
        drivers=drivers(draws, shop),
        deposit=cents((net + taxed) * shop.deposit / 100),
    )


def hours_range(hours: Floats, expected: float) -> Spread:
    """P10, expected and P90 of simulated hours. The ends move out where they would not hold the expected value."""
    low, high = quantiles(hours, (0.1, 0.9))
    return Spread(min(low, expected), expected, max(high, expected))


def money_range(money: Floats, expected: Decimal) -> MoneyRange:
    """P10, expected and P90 of a simulated price, likewise."""
    low, high = quantiles(money, (0.1, 0.9))
    return MoneyRange(min(cents(low), expected), expected, max(cents(high), expected))


def _labour(found: Estimate, method: Method) -> tuple[Line, ...]:
    hours: dict[str, float] = {}
    for item in found.work:
        hours[item.rate] = hours.get(item.rate, 0.0) + item.likely_h
    values: dict[str, object] = {"panel_zone": found.panel, "method_word": method}
    return tuple(
        Line(
            LABOUR,
            found.panel,
            found.findings,
            Step(_LABOUR_TEXT[rate], values, "shop book"),
            hours[rate],
            hours_price(hours[rate], found.rates[rate]),
        )
        for rate in _LABOUR_TEXT
        if rate in hours
    )


def _bought(found: Estimate, shop: ShopBook) -> tuple[Line, ...]:
    lines = []
    for material in found.materials:
        text = _MATERIAL_TEXT[material.kind] if found.panel else _CAR_TEXT
        values: dict[str, object] = {"panel_zone": found.panel}
        if material.name in shop.outside:
            values["work_word"] = shop.outside[material.name].name["en"]
        step = Step(text, values, material.source)
        lines.append(Line(material.kind, found.panel, found.findings, step, 0.0, material.price))
    return tuple(lines)


def _histogram(money: Floats) -> tuple[tuple[float, float], ...]:
    """Middle of each bar and the share of the draws in it; one bar where nothing varies."""
    if float(money.min()) == float(money.max()):
        return ((float(money[0]), 1.0),)
    counts, edges = np.histogram(money, bins=BINS)
    middles = (edges[:-1] + edges[1:]) / 2
    return tuple((float(m), float(c) / money.size) for m, c in zip(middles, counts, strict=True))

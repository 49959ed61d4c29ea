"""The page for the office: the price to the cent, what drives its spread, make or buy, outside work.

It is the only one with money on it, so that the rest of the packet can go to the bench.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from markupsafe import Markup

from soundmetal.grade.models import Step
from soundmetal.repair.models import Buying
from soundmetal.report.drawings.range_strip import range_strip
from soundmetal.report.drawings.tornado import alternative, swing, widest
from soundmetal.report.shop_fit import office_setting
from soundmetal.report.shop_office_contexts import AwayRow, BuyRow, DriverRow, Office, PriceRow
from soundmetal.report.shop_order import when
from soundmetal.report.shop_telling import Numbered, ShopTelling
from soundmetal.scope.estimate import BOUGHT, CONSUMABLE, OUTSIDE, SHEET
from soundmetal.scope.models import Driver, Line, Task, Total
from soundmetal.scope.money import cents, with_percent
from soundmetal.scope.price import TAX

#: From more panels than these a line of the price tells their number, not their names.
NAMED = 2
STRIP_MM, BAR_MM = 74.0, 40.0
#: Lines that the shop's mark-up is in.
MARKED_UP = frozenset({SHEET, CONSUMABLE, BOUGHT})


def office(shop: ShopTelling) -> Office:
    """Make the page for the office."""
    total, lang = shop.job.scope.total, shop.lang
    priced = [line for line in total.lines if line.kind != TAX]
    page = Office(
        prices=tuple(_rows(shop, priced)),
        net=lang.look.exact_money(total.net),
        taxes=tuple(_taxes(shop, total)),
        likely=lang.look.exact_money(total.likely),
        strip=range_strip(total.price, lang, histogram=total.histogram, width_mm=STRIP_MM) if priced else Markup(),
        said=tuple(_said(shop, total)) if priced else (),
        aloud=alternative(total.drivers, lang),
        drivers=tuple(_driver(shop, one, widest(total.drivers)) for one in total.drivers),
        drivers_note=_drivers_note(shop, total.drivers),
        buying=tuple(_buy(shop, job, weighed) for job in shop.jobs if (weighed := job.work.choice.taken.buying)),
        buying_note=_buying_note(shop),
        away=tuple(_away(shop, line) for line in priced if line.kind == OUTSIDE),
        learning=lang.text(
            "Write hours spent into the record by finding, under the word that stands before the hours of each line, "
            "for instance {example}. Then {command} shows the shop book's hours before and after.",
            example="spent: {F1: {butt_mig: 3.5}}", command=_command("explain learning"),
        ),
    )  # fmt: skip
    return replace(page, setting=office_setting(page, shop.job.inspection.paper))


def _command(words: str) -> Markup:
    return Markup("<b>soundmetal {}</b>").format(words)


def _rows(shop: ShopTelling, lines: Sequence[Line]) -> Iterable[PriceRow]:
    """Give one row for each kind of line, its panels named or counted, in the order in which the kinds come up."""
    kinds: dict[tuple[str, str], list[tuple[Step, Line]]] = {}
    for line in lines:
        step = _shown(line.text)
        kinds.setdefault(_kind(step), []).append((step, line))
    for same in kinds.values():
        words = shop.lang.grouped((step for step, _ in same), NAMED)[0]
        hours = sum(line.hours for _, line in same)
        yield PriceRow(
            words=_capital(words),
            hours=shop.lang.look.number(hours, 1) if hours else "",
            amount=shop.lang.look.exact_money(sum((line.amount for _, line in same), Decimal(0))),
        )


def _shown(step: Step) -> Step:
    """Give a sentence with nothing but the values that it shows: others must not part it from its like."""
    return replace(step, values={key: value for key, value in step.values.items() if f"{{{key}}}" in step.text})


def _kind(step: Step) -> tuple[str, str]:
    """What sentences have in common that are told in one row: all but the panel."""
    return step.text, repr(sorted(item for item in step.values.items() if not item[0].endswith("_zone")))


def _capital(words: Markup) -> Markup:
    """Begin with a capital: outside work is named in the shop book's own words."""
    return words[:1].upper() + words[1:]


def _taxes(shop: ShopTelling, total: Total) -> Iterable[PriceRow]:
    """Give the tax with its rate as the shop book has it; a half per cent is not rounded away."""
    for line in total.lines:
        if line.kind == TAX:
            yield PriceRow(shop.lang.sentence(line.text), "", shop.lang.look.exact_money(line.amount))


def _said(shop: ShopTelling, total: Total) -> Iterable[Markup]:
    book, lang, money = shop.job.shop, shop.lang, shop.lang.look.exact_money
    text = "In one case in ten it may come to less than {low}, in one in ten to more than {high}."
    yield lang.text(text, low=money(total.price.low), high=money(total.price.high))
    if book.markup:
        text = "Mark-up of {rate} on sheet, small material and bought panels is in these lines: {amount}."
        yield lang.text(text, rate=lang.look.percent(book.markup), amount=money(marked_up(shop, total.lines)))
    if total.deposit:
        text = "Deposit before work begins: {amount}, {rate} of the likely price."
        yield lang.text(text, amount=money(total.deposit), rate=lang.look.percent(book.deposit))


def marked_up(shop: ShopTelling, lines: Sequence[Line]) -> Decimal:
    """Give the mark-up that the lines hold, to the cent: what they tell less what the shop pays; freight has none."""
    book = shop.job.shop
    freight = {panel.zone: panel.freight for panel in book.bought}
    held = Decimal(0)
    for line in lines:
        if line.kind in MARKED_UP:
            amount = line.amount - (freight.get(line.panel, Decimal(0)) if line.kind == BOUGHT else Decimal(0))
            held += amount * book.markup / (100 + book.markup)
    return cents(held)


def _driver(shop: ShopTelling, one: Driver, reach: float) -> DriverRow:
    lang, money = shop.lang, shop.lang.look.money
    return DriverRow(
        words=lang.sentence(one.text),
        share=lang.look.percent(100 * max(0.0, one.share)),
        less=f"−{money(abs(one.low))}",
        more=f"+{money(abs(one.high))}",
        bar=swing(one, lang, reach, BAR_MM),
    )


def _drivers_note(shop: ShopTelling, drivers: Sequence[Driver]) -> Markup:
    rest = max(0.0, 1.0 - sum(one.share for one in drivers))
    text = (
        "Each bar: by how much this alone moves the price, from a good case (one in ten) to a bad one. Share: of the "
        "whole spread. Many smaller causes make up the other {rest_share}."
    )
    return shop.lang.text(text, rest_share=rest)


def _buying_note(shop: ShopTelling) -> Markup:
    text = (
        "Before tax, at {rate} an hour, likely growth in it. If making takes longer than the break-even, buy. No "
        "bought panel is worth more than the last amount, freight in it."
    )
    return shop.lang.text(text, rate=shop.lang.look.exact_money(shop.job.shop.rates.metal))


def _buy(shop: ShopTelling, job: Numbered, weighed: Buying) -> BuyRow:
    lang, look, money = shop.lang, shop.lang.look, shop.lang.look.exact_money
    taken, book = job.work.choice.taken, shop.job.shop
    panel = next((one for one in book.bought if one.zone == taken.panel), None) if weighed.paid is not None else None
    known = panel is not None and weighed.paid is not None
    return BuyRow(
        number=job.number,
        anchor=job.anchor,
        panel=shop.panel_name(job.work.panel),
        findings=job.finding_list,
        make=look.number(weighed.make_h, 1),
        sheet=money(weighed.sheet),
        price=money(cents(with_percent(panel.price, book.markup))) if panel else "",
        freight=money(panel.freight) if panel else "",
        fit=look.number(weighed.fit_h, 1) if known else "",
        paid=money(weighed.paid) if weighed.paid is not None else "",
        even=look.number(max(0.0, weighed.even_h), 1) if weighed.even_h is not None else "",
        most=money(weighed.most),
        none=Markup() if known else lang.text("no panel in the shop book"),
        taken=lang.translated("bought" if taken.bought else "made here"),
    )


def _away(shop: ShopTelling, line: Line) -> AwayRow:
    task = _task(shop, line)
    days = shop.job.shop.outside
    found = next((one.days for one in days.values() if one.name["en"] == line.text.values.get("work_word")), None)
    return AwayRow(
        words=_capital(shop.lang.sentence(line.text)),
        away="" if found is None else shop.lang.look.whole(found),
        when=Markup() if task is None else when(shop, task),
        amount=shop.lang.look.exact_money(line.amount),
    )


def _task(shop: ShopTelling, line: Line) -> Task | None:
    """The step of the order in which this work is away: the same panel, and the same words of the shop book."""
    word = line.text.values.get("work_word")
    return next(
        (t for t in shop.job.scope.order
         if t.away and t.panel == line.panel and word in t.text.values.values()),
        None,
    )  # fmt: skip

"""What lies between two offers, in a reader's words: money, hours and days then, now, and the difference."""

from __future__ import annotations

from decimal import Decimal

from markupsafe import Markup

from soundmetal.grade.models import Spread
from soundmetal.record.changes import Changes
from soundmetal.record.offer import Ends, MoneyEnds, Offer, OfferedAim, OfferedPanel
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method
from soundmetal.report.after import after
from soundmetal.report.changed_contexts import SumRow
from soundmetal.report.drawings.range_strip import range_strip
from soundmetal.report.language import Language
from soundmetal.scope.models import MoneyRange

STRIP_MM = 47.0


def spread(ends: Ends) -> Spread:
    """Give a range of hours or days as the report shows ranges."""
    return Spread(ends.low, ends.likely, ends.high)


def money(ends: MoneyEnds) -> MoneyRange:
    """Give a range of money as the report shows ranges."""
    return MoneyRange(ends.low, ends.likely, ends.high)


def taken(lang: Language, panel: OfferedPanel) -> Markup:
    """Say what a job takes: price and hours as ranges; no work where the place is left as it is."""
    if panel.method == Method.LEAVE:
        return lang.text("no work")
    return _both(lang.money_range(money(panel.price)), lang.hours_range(spread(panel.hours)))


def _both(one: Markup, other: Markup) -> Markup:
    return Markup(", ").join((one, other))


def between(lang: Language, was: OfferedPanel, now: OfferedPanel) -> Markup:
    """Say what a job takes more, or less, than it did; by the likely figures."""
    price = more_money(lang, now.price.likely - was.price.likely)
    return _both(price, more_hours(lang, now.hours.likely - was.hours.likely))


def more_money(lang: Language, more: Decimal) -> Markup:
    """Say a difference of money, rounded as the shop rounds."""
    if lang.look.money(abs(more)) == lang.look.money(Decimal(0)):
        return lang.text("as much as before")
    return lang.text("about {more_money} more" if more > 0 else "about {more_money} less", more_money=abs(more))


def more_hours(lang: Language, more: float) -> Markup:
    """Say a difference of hours, as finely as hours are told."""
    if lang.look.hours(abs(more)) == lang.look.hours(0.0):
        return lang.text("as many hours as before")
    return lang.text("about {more_h} more" if more > 0 else "about {more_h} less", more_h=abs(more))


def more_days(lang: Language, more: float) -> Markup:
    """Say a difference of working days in whole days."""
    days = round(abs(more))
    if not days:
        return lang.text("as many days as before")
    if more > 0:
        return lang.plural("about {count} day more", "about {count} days more", days)
    return lang.plural("about {count} day less", "about {count} days less", days)


def sum_rows(lang: Language, before: Offer, now: Offer, aim: Aim) -> tuple[SumRow, ...]:
    """Give price, hours and days of all the work for an aim, then and now."""
    was, today = before.aims[aim], now.aims[aim]
    price = [lang.money_range(money(one.price)) for one in (was, today)]
    hours = [lang.hours_range(spread(one.hours)) for one in (was, today)]
    days = [_days(lang, one) for one in (was, today)]
    money_more = more_money(lang, today.price.likely - was.price.likely)
    return (
        SumRow(lang.text("price"), price[0], price[1], money_more),
        SumRow(lang.text("hours"), hours[0], hours[1], more_hours(lang, today.hours.likely - was.hours.likely)),
        SumRow(lang.text("time"), days[0], days[1], more_days(lang, today.days.likely - was.days.likely)),
    )


def rest(lang: Language, before: Offer, now: Offer, found: Changes, aim: Aim | None = None) -> tuple[Markup, ...]:
    """Say what the places that did not change take more or less, so that the parts make the whole.

    They take less, say, where a closer look leaves less to hide. Nothing where it is too little to tell.
    """
    told = {*found.ask, *found.gone}
    was, today = (_untold(offer.aims[aim or now.aim], told) for offer in (before, now))
    more = _both(more_money(lang, today[0] - was[0]), more_hours(lang, today[1] - was[1]))
    little = _both(more_money(lang, Decimal(0)), more_hours(lang, 0.0))
    return () if more == little else (lang.text(after().rest, more=more),)


def _untold(aim: OfferedAim, told: set[str]) -> tuple[Decimal, float]:
    panels = [panel for panel in aim.panels.values() if not told & set(panel.findings)]
    return sum((p.price.likely for p in panels), Decimal(0)), sum(p.hours.likely for p in panels)


def _days(lang: Language, aim: OfferedAim) -> Markup:
    low, high = lang.look.whole(aim.days.low), lang.look.whole(aim.days.high)
    if round(aim.days.high) == 0:
        return lang.text("less than a working day" if aim.days.high else "no work")
    return lang.text("{low} to {high} working days", low=low, high=high)


def two_strips(lang: Language, before: Offer, now: Offer, aim: Aim) -> tuple[Markup, ...]:
    """Draw the price then and now on one scale; nothing where there is no work at all."""
    ranges = [money(offer.aims[aim].price) for offer in (before, now)]
    edges = [float(end) for one in ranges for end in (one.low, one.high)]
    if max(edges) <= 0:
        return ()
    scale = (0.0, max(edges) * 1.02)
    return tuple(range_strip(one, lang, scale_to=scale, width_mm=STRIP_MM) for one in ranges)

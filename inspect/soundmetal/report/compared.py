"""Two states of one inspection side by side on paper: what was asked then, what is so in the other, what it adds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.grade.models import Level
from soundmetal.record.changes import Changes, Why
from soundmetal.record.offer import Offer, OfferedPanel
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method
from soundmetal.report.changed_contexts import ComparedPage, CompareRow, CompareSide
from soundmetal.report.drawings.plate_section import swatch
from soundmetal.report.html import SCREENS_AFTER, STYLES_AFTER, Pages, page_css, styles
from soundmetal.report.job import Job
from soundmetal.report.language import lower_first
from soundmetal.report.pages.differences import between, more_hours, more_money, rest, sum_rows, taken, two_strips
from soundmetal.report.pages.findings import capital
from soundmetal.report.pages.practice import shop_lines
from soundmetal.report.telling import Telling, car_name, telling

#: Why a row is not what it was, in words of its own.
WHY = {Why.NEW: "new", Why.FOUND: "found more", Why.METHOD: "other method", Why.PRICE: "dearer than was said"}


@dataclass(frozen=True)
class PairSide:
    """One of the two: what was asked, and as which number on which day; None where it was not sent."""

    offer: Offer
    number: int | None = None
    sent: dt.date | None = None


@dataclass(frozen=True)
class Pair:
    """Two offers of one inspection, and what changed from the first to the second under an aim."""

    before: PairSide
    after: PairSide
    changes: Changes
    aim: Aim


def compared_html(job: Job, pair: Pair) -> str:
    """Set the page in the language of the job's record. RenderError where it cannot be set."""
    told = telling(job)
    lang, offers = told.lang, (pair.before.offer, pair.after.offer)
    car = car_name(job.inspection.vehicle, lang)
    aim = lang.translated(told.words.aims[pair.aim].name)
    page = ComparedPage(
        lang=lang.code,
        paper=job.inspection.paper.value,
        title=lang.text("Two states side by side, {car}", car=car).unescape(),
        author=job.shop.shop.name,
        subject=lang.text("What changed from one report to the next").unescape(),
        created=pair.after.offer.date.isoformat(),
        css=styles(STYLES_AFTER),
        screen_css=styles(SCREENS_AFTER),
        page_css=page_css(told, job.inspection.paper),
        shop=job.shop.shop.name,
        shop_lines=shop_lines(told),
        car=car,
        lead=_lead(told, pair),
        aim=lang.text("All figures are for one aim: {aim}.", aim=aim[:1].lower() + aim[1:]),
        heads=(_head(told, pair.before), _head(told, pair.after)),
        sums=sum_rows(lang, *offers, pair.aim),
        strips=two_strips(lang, *offers, pair.aim),
        rows=tuple(_rows(told, pair)),
        same=_same(told, pair),
        prints=tuple(_print(told, side) for side in (pair.before, pair.after)),
    )
    return str(Pages(lang).set("customer/compared.html", page))


def _lead(told: Telling, pair: Pair) -> Markup:
    lang, many = told.lang, len(pair.changes.changed) + len(pair.changes.gone)
    if not many:
        return lang.text("Nothing changed from one to the other.")
    return lang.plural("{count} place is not the same.", "{count} places are not the same.", many)


def _head(told: Telling, side: PairSide) -> Markup:
    if side.number is None or side.sent is None:
        return told.lang.text("today, not sent yet")
    return told.lang.text("report {number}, sent on {day_date}", number=side.number, day_date=side.sent)


def _print(told: Telling, side: PairSide) -> Markup:
    """Say what each side is known by: the fingerprint of what it asked."""
    return told.lang.text("{name}: {digest}", name=_head(told, side), digest=side.offer.digest)


def _rows(told: Telling, pair: Pair) -> Iterator[CompareRow]:
    for one in pair.changes.changed:
        yield _row(told, pair, one.finding, ", ".join(told.lang.word(WHY[why]) for why in one.why))
    for name in pair.changes.gone:
        yield _row(told, pair, name, str(told.lang.text("off the list")))


def _row(told: Telling, pair: Pair, name: str, why: str) -> CompareRow:
    lang = told.lang
    was, now = (_panel(side.offer, name, pair.aim) for side in (pair.before, pair.after))
    zone = (pair.after if name in pair.after.offer.findings else pair.before).offer.findings[name].zone
    place = told.zone_name(zone) if zone in told.job.body.by_id else zone
    sides = tuple(_side(told, side.offer, name, pair.aim) for side in (pair.before, pair.after))
    if was and now:
        more = between(lang, was, now)
    elif now:
        more = Markup(", ").join((more_money(lang, now.price.likely), more_hours(lang, now.hours.likely)))
    elif was:
        more = Markup(", ").join((more_money(lang, -was.price.likely), more_hours(lang, -was.hours.likely)))
    else:
        more = Markup()
    return CompareRow(name, place, sides, why, more)


def _side(told: Telling, offer: Offer, name: str, aim: Aim) -> CompareSide:
    lang, found = told.lang, offer.findings.get(name)
    if found is None:
        return CompareSide(Markup(), lang.text("not on the list"), Markup())
    level = Level(found.level)
    panel = _panel(offer, name, aim)
    sample, word = swatch(level, lang), Markup.escape(lang.word(level.value, "level"))
    if panel is None:
        return CompareSide(sample, word, lang.text("no work planned"))
    method = capital(lang.translated(told.words.methods[Method(panel.method)]))
    if panel.method == Method.LEAVE:
        return CompareSide(sample, word, lang.text("no work"))
    return CompareSide(sample, word, lang.text("{method}: {taken}.", method=method, taken=taken(lang, panel)))


def _panel(offer: Offer, name: str, aim: Aim) -> OfferedPanel | None:
    return offer.aims[aim].panels.get(offer.panel_of(name, aim))


def _same(told: Telling, pair: Pair) -> Markup:
    """Name the places that are as they were, and what they take more or less."""
    zones = [pair.after.offer.findings[name].zone for name in pair.changes.same]
    names = [lower_first(told.zone_name(zone)) if zone in told.job.body.by_id else zone for zone in zones]
    if not names:
        return Markup()
    other = rest(told.lang, pair.before.offer, pair.after.offer, pair.changes, pair.aim)
    return Markup(" ").join((told.lang.text("As they were: {names}.", names="; ".join(names)), *other))

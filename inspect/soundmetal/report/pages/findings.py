"""Pages 2 and on: every finding, worst first, told in the same order with the owner's answer at its end."""

from __future__ import annotations

import re
from decimal import Decimal

from markupsafe import Markup

from soundmetal.car.models import Zone
from soundmetal.grade.models import SEVERITY, Graded, Level
from soundmetal.record.shapes import ring
from soundmetal.record.terms import Basis, Reply
from soundmetal.repair.models import Choice, Loser, Method
from soundmetal.report.contexts import FindingPage, Money, OtherWay
from soundmetal.report.drawings.cutout import Rust, cutout
from soundmetal.report.drawings.plate_section import caption, plate_of, plate_section, swatch
from soundmetal.report.drawings.range_strip import range_strip
from soundmetal.report.formats import NBSP
from soundmetal.report.pages import facts
from soundmetal.report.pages.photographs import photographs
from soundmetal.report.telling import Telling, anchor, ended
from soundmetal.scope.models import PanelWork

MONEY_STRIP_MM = 62.0
PLATE_MM, COMPACT_PLATE_MM = 11.0, 8.5
#: Methods that need no word where they are not possible: rust is not left, and sheet metal needs no referral.
PLAIN = (Method.LEAVE, Method.REFER)
SAID = {
    Reply.YES: "You have said yes.",
    Reply.NO: "You have said no.",
    Reply.TALK: "You asked to talk about this one.",
}
SAID_ON = {
    Reply.YES: "You said yes on {day_date}.",
    Reply.NO: "You said no on {day_date}.",
    Reply.TALK: "You asked on {day_date} to talk about this one.",
}
BRACKETS = re.compile(r"\([^)]*\)")


def finding_pages(telling: Telling) -> tuple[FindingPage, ...]:
    """Make the pages of all findings that are told in full."""
    works = works_of(telling)
    return tuple(_page(telling, graded, works.get(graded.finding.id)) for graded in telling.full)


def works_of(telling: Telling) -> dict[str, PanelWork]:
    """Give the work on a finding's panel by the finding, for the aim that the owner chose."""
    return {finding: work for work in telling.job.scope.panels for finding in work.choice.taken.findings}


def introduction(telling: Telling) -> tuple[Markup, ...]:
    """Say how the findings are told, at how many a gauge was used, and what the figures of the whole work hold."""
    lang, words, told = telling.lang, telling.words, telling.full
    measured = sum(graded.metal_left.by == "measured" for graded in told)
    if not measured:
        known = lang.text(words.by_gauge_none)
    elif measured == len(told):
        known = lang.text(words.by_gauge_all)
    else:
        known = lang.plural(words.by_gauge.one, words.by_gauge.many, measured)
    foreign = (lang.text(words.other_language),) if telling.foreign else ()
    whole = facts.of_whole(telling) if telling.job.amended is None else ()
    return (lang.text(words.findings_intro), known, *foreign, *whole)


def _new_notes(telling: Telling, graded: Graded) -> tuple[str, ...]:
    """The rule book's notes on a finding that no finding before it has told."""
    before = telling.full[: telling.full.index(graded)]
    told = {note for other in before for note in other.book_notes}
    return tuple(note for note in graded.book_notes if note not in told)


def _page(telling: Telling, graded: Graded, work: PanelWork | None) -> FindingPage:
    lang, finding, zone = telling.lang, graded.finding, telling.zone(graded.zone_id)
    plate = plate_of(graded.metal_left, graded.level, finding.seen)
    compact = SEVERITY[graded.level] < SEVERITY[Level.SPENT]
    leads = work is None or leader(telling, work) == finding.id
    return FindingPage(
        number=telling.numbers[finding.id],
        anchor=anchor(finding.id),
        reference=finding.id,
        name=telling.zone_name(zone.id),
        plain=telling.plain(zone.id),
        level=lang.word(graded.level.value, "level"),
        swatch=swatch(graded.level, lang),
        urgency=lang.text(graded.urgency),
        plate=plate_section(plate, lang, height_mm=COMPACT_PLATE_MM if compact else PLATE_MM),
        caption=unbroken(caption(plate, lang)),
        band=facts.band(telling, graded),
        facts=facts.margin(telling, graded),
        drawing=_cut(telling, graded, work) if work else Markup(),
        photos=photographs(telling, finding, zone, in_margin=compact),
        seen=facts.seen(telling, graded),
        note=ended(finding.note),
        note_lang=telling.foreign,
        matters=_matters(telling, graded, zone),
        method=_method(telling, work),
        would=_would(telling, work, brief=compact),
        others=_others(telling, work) if work and leads else (),
        change=_change(telling, work) if leads else (),
        money=_money(telling, work) if work and leads else None,
        together=Markup() if leads or work is None else _together(telling, work),
        answered=_answered(telling, finding.id),
        field=_field(telling, finding.id),
        compact=compact,
    )


def leader(telling: Telling, work: PanelWork) -> str:
    """The finding that tells a panel's work: the worst of those on it that are told in full."""
    full = {graded.finding.id for graded in telling.full}
    return min(work.choice.taken.findings, key=lambda name: (name not in full, telling.numbers.get(name, 10_000)))


def _field(telling: Telling, finding_id: str) -> str:
    """Name the form's field; nothing where an amendment asks on its first page, or where nothing is asked."""
    asked_here = telling.job.amended is None and finding_id in telling.asked
    return telling.form.reply(finding_id) if asked_here else ""


def _matters(telling: Telling, graded: Graded, zone: Zone) -> tuple[Markup, ...]:
    lang, words = telling.lang, telling.words
    said = [lang.text(words.matters[zone.role])]
    if graded.near_mounting and graded.finding.mounting:
        said.append(lang.text(words.near_mounting, mounting_word=graded.finding.mounting.kind.value))
    said += [lang.text(telling.job.book.note(note).text) for note in _new_notes(telling, graded)]
    return tuple(said)


def _method(telling: Telling, work: PanelWork | None) -> str:
    if work is None:
        return ""
    return telling.lang.translated(telling.words.methods[work.choice.taken.method])


def _would(telling: Telling, work: PanelWork | None, *, brief: bool) -> tuple[Markup, ...]:
    lang, words = telling.lang, telling.words
    if work is None:
        return (lang.text(words.no_work),)
    taken = work.choice.taken
    said = [lang.text(words.would[taken.method])]
    said += [lang.text(words.bought)] if taken.bought else []
    said += facts.joins(telling, work) if taken.method is not Method.REFER else [lang.text(words.refer_also)]
    if not (brief and any(loser.option.feasible for loser in work.choice.losers)):
        said.append(lang.sentence(work.choice.reason))
    return tuple(said)


def _others(telling: Telling, work: PanelWork) -> tuple[OtherWay, ...]:
    """What could be done first, with its price; then what could not, methods with one reason together."""
    possible = [_possible(telling, work, loser) for loser in work.choice.losers if loser.option.feasible]
    reasons: dict[Markup, list[str]] = {}
    for loser in work.choice.losers:
        if not loser.option.feasible and loser.option.method not in PLAIN:
            reasons.setdefault(telling.lang.sentence(loser.reason), []).append(_name(telling, loser))
    cannot = [OtherWay(capital(", ".join(names)), Markup(), reason) for reason, names in reasons.items()]
    return (*possible, *cannot)


def _possible(telling: Telling, work: PanelWork, loser: Loser) -> OtherWay:
    lang, price = telling.lang, _price_instead(work, loser)
    told = Markup() if price is None else lang.text("about {price_money}", price_money=price)
    return OtherWay(capital(_name(telling, loser)), told, lang.sentence(loser.reason))


def _price_instead(work: PanelWork, loser: Loser) -> Decimal | None:
    """Price of the job, done the other way: an option alone counts access that another job may pay for already."""
    other, taken = loser.option.price, work.choice.taken.price
    return None if other is None or taken is None else work.price.likely + other - taken


def _name(telling: Telling, loser: Loser) -> str:
    return telling.lang.translated(telling.words.methods[loser.option.method])


def unbroken(words: Markup) -> Markup:
    """Keep what stands in brackets on one line."""
    return Markup(BRACKETS.sub(lambda found: found[0].replace(" ", NBSP), str(words)))  # noqa: S704 - escaped before


def capital(words: str) -> str:
    """Give words with a capital first."""
    return words[:1].upper() + words[1:]


def _change(telling: Telling, work: PanelWork | None) -> tuple[Markup, ...]:
    lang, words = telling.lang, telling.words.change
    if telling.job.inspection.basis is Basis.BLASTED:
        return (lang.text(words.nothing),)
    if work is None:
        return (lang.text(words.unpriced),)
    if work.choice.taken.method is Method.FULL_PANEL and work.growth.high <= 1.0:
        said = [lang.text(words.whole)]
    elif work.growth.high > 1.25:
        said = [lang.text(words.grows, times=lang.look.number(work.growth.high, 1))]
    else:
        said = [lang.text(words.little)]
    if work.inner_chance >= 0.005:
        said.append(lang.text(words.inner, chance_share=work.inner_chance))
    if work.choice.taken.method is Method.REFER:
        said.append(lang.text(words.referred))
    return tuple(said)


def _money(telling: Telling, work: PanelWork) -> Money:
    lang = telling.lang
    return Money(
        lang.hours_range(work.hours),
        lang.money_range(work.price),
        range_strip(work.price, lang, width_mm=MONEY_STRIP_MM),
    )


def _together(telling: Telling, work: PanelWork) -> Markup:
    number = telling.numbers[leader(telling, work)]
    return telling.lang.text(
        "This is one job with number {number}, on the same panel. What else we considered, what could still change, "
        "hours and price are told there.",
        number=number,
    )


def _answered(telling: Telling, finding_id: str) -> Markup:
    if telling.job.amended is not None and finding_id in telling.asked:
        return telling.lang.text("We ask for your answer where this report begins.")
    return said(telling, finding_id)


def said(telling: Telling, finding_id: str) -> Markup:
    """Tell what the owner has answered, with the day where it is known; nothing where no answer stands."""
    answer = telling.job.inspection.answers.get(finding_id)
    if answer is None:
        return Markup()
    if answer.date is None:
        return telling.lang.text(SAID[answer.reply])
    return telling.lang.text(SAID_ON[answer.reply], day_date=answer.date)


def _cut(telling: Telling, graded: Graded, work: PanelWork) -> Markup:
    """The cut-out that holds this finding, to scale; nothing where nothing is cut."""
    choice = work.choice
    found = next((c for c in choice.taken.geometry.cutouts if graded.finding.id in c.findings), None)
    if found is None:
        return Markup()
    rusts = [rust for other in choice.graded if other.finding.id in found.findings for rust in _rust(choice, other)]
    return cutout(found.outline, rusts, telling.lang)


def _rust(choice: Choice, graded: Graded) -> list[Rust]:
    finding = graded.finding
    holder = next(c for c in choice.taken.geometry.cutouts if finding.id in c.findings)
    middle = finding.middle or (holder.outline.centroid.x, holder.outline.centroid.y)
    side = graded.rusted_mm2**0.5
    wide, tall = finding.box_size or (side, side)
    box = (middle[0] - wide / 2, middle[1] - tall / 2, middle[0] + wide / 2, middle[1] + tall / 2)
    shape = ring(finding.outline) if finding.outline else None
    return [Rust(box, graded.level, shape)]

"""Page 1 of an amendment: what changed since the owner answered, why, what it adds; and only that is asked."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from soundmetal.grade.models import SEVERITY, Graded, Level
from soundmetal.record.changes import Changes, FindingChange, Why
from soundmetal.record.offer import Offer, OfferedPanel
from soundmetal.repair.models import Method
from soundmetal.report.after import after
from soundmetal.report.before import Before
from soundmetal.report.changed_contexts import (
    AsBefore,
    Changed,
    ChangedFinding,
    GoneLine,
    OpenFinding,
    SameLine,
    SteelView,
)
from soundmetal.report.drawings.plate_section import caption, plate_of, plate_section
from soundmetal.report.pages.differences import between, money, rest, sum_rows, taken, two_strips
from soundmetal.report.pages.facts import of_whole
from soundmetal.report.pages.findings import said, unbroken
from soundmetal.report.pages.photographs import newest_photograph
from soundmetal.report.pages.short import addressed, car_facts
from soundmetal.report.telling import Telling, anchor, car_name

#: Two plate sections side by side in the text column.
PLATE_MM = (50.0, 7.5)


def changed(telling: Telling) -> Changed | None:
    """Make the page; None where nothing changed since an answer."""
    found, before = telling.job.amended, telling.job.before
    if found is None or before is None:
        return None
    lang = telling.lang
    return Changed(
        title=car_name(telling.job.inspection.vehicle, lang),
        facts=car_facts(telling),
        addressed=addressed(telling),
        lead=Markup(" ").join(_lead(telling, found, before)),
        more=Markup(" ").join(_more(telling, before)),
        findings=tuple(_finding(telling, one, before) for one in _worst_first(telling, found)),
        gone=tuple(_gone(telling, name, before) for name in found.gone),
        sums=sum_rows(lang, before.offer, telling.job.offer, telling.job.offer.aim),
        strips=two_strips(lang, before.offer, telling.job.offer, telling.job.offer.aim),
        still_open=tuple(_open(telling, graded) for graded in telling.full if _is_open(telling, found, graded)),
        notes=(*rest(lang, before.offer, telling.job.offer, found), *of_whole(telling), _kept(telling, before)),
    )


def _kept(telling: Telling, before: Before) -> Markup:
    return telling.lang.text(after().kept, number=before.number, day_date=before.sent)


def as_before(telling: Telling) -> AsBefore | None:
    """Tell in a line each what did not change; None where nothing changed at all, or everything did."""
    found, before = telling.job.amended, telling.job.before
    if found is None or before is None:
        return None
    full = {graded.finding.id for graded in telling.full}
    same = tuple(_same(telling, graded) for graded in telling.told if graded.finding.id not in full)
    return AsBefore(_kept(telling, before), same) if same else None


def _lead(telling: Telling, found: Changes, before: Before) -> Iterator[Markup]:
    lang, words = telling.lang, after()
    if found.changed:
        many, day = len(found.changed), before.answered
        yield lang.plural(words.changed.one, words.changed.many, many, day_date=day)
    if found.gone:
        yield lang.plural(words.gone.one, words.gone.many, len(found.gone))


def _more(telling: Telling, before: Before) -> Iterator[Markup]:
    lang, job = telling.lang, telling.job
    if job.inspection.basis is not before.offer.basis:
        yield lang.text(telling.words.basis[job.inspection.basis])
    yield lang.text(_asked(telling))
    aim = lang.translated(telling.words.aims[job.inspection.aim].name)
    yield lang.text(after().aim, aim=aim[:1].lower() + aim[1:])


def _asked(telling: Telling) -> str:
    words, amended = after().asked, telling.job.amended
    if not telling.asked or amended is None:
        return words.nothing
    return words.only if telling.asked <= set(amended.ask) else words.and_open


def _worst_first(telling: Telling, found: Changes) -> list[FindingChange]:
    by_name = {one.finding: one for one in found.changed}
    return [by_name[g.finding.id] for g in telling.job.grades.findings if g.finding.id in by_name]


def _finding(telling: Telling, one: FindingChange, before: Before) -> ChangedFinding:
    name, lang = one.finding, telling.lang
    graded = next(g for g in telling.job.grades.findings if g.finding.id == name)
    written = telling.job.inspection.language
    newest = newest_photograph(telling, graded.finding, telling.zone(graded.zone_id))
    return ChangedFinding(
        number=telling.numbers.get(name, 0),
        anchor=anchor(name),
        reference=name,
        name=telling.zone_name(graded.zone_id),
        why=(
            *(lang.text(line) for line in _why(one)),
            *_larger(telling, before.graded.get(name), graded),
            *(lang.text(line) for line in _urgency(telling, graded)),
        ),
        photo=(newest,) if newest else (),
        note_lang=written if written != lang.code else "",
        steel=(*_then(telling, name, before), _steel(telling, lang.text("now"), graded, graded.level)),
        method=_method(telling, before.offer, telling.job.offer, name),
        work=_work(telling, name, before.offer),
        field=telling.form.reply(name) if name in telling.asked else "",
    )


def _why(one: FindingChange) -> Iterator[str]:
    words = after().why
    if Why.NEW in one.why:
        yield words.new
    if Why.FOUND in one.why:
        then, today = (SEVERITY[Level(level)] for level in one.levels)
        yield words.worse if today > then else words.better if today < then else words.known
    if Why.METHOD in one.why:
        yield words.method
    if Why.PRICE in one.why:
        yield words.dearer


def _larger(telling: Telling, then: Graded | None, now: Graded) -> Iterator[Markup]:
    """Tell the size then and now of a place that is larger than the owner was told."""
    was, today = then.finding.box_size if then else None, now.finding.box_size
    if was and today and today[0] * today[1] > was[0] * was[1]:
        sizes = {"wide_mm": today[0], "high_mm": today[1], "was_wide_mm": was[0], "was_high_mm": was[1]}
        yield telling.lang.text(after().why.larger, **sizes)


def _urgency(telling: Telling, graded: Graded) -> tuple[str, ...]:
    return (graded.urgency,) if telling.safety(graded) else ()


def _then(telling: Telling, name: str, before: Before) -> Iterator[SteelView]:
    told, graded = before.offer.findings.get(name), before.graded.get(name)
    if told is not None and graded is not None:
        yield _steel(telling, telling.lang.text("when you answered"), graded, Level(told.level))


def _steel(telling: Telling, when: Markup, graded: Graded, level: Level) -> SteelView:
    lang, plate = telling.lang, plate_of(graded.metal_left, level, graded.finding.seen)
    drawn = plate_section(plate, lang, *PLATE_MM)
    return SteelView(when, drawn, unbroken(caption(plate, lang)), lang.word(level, "level"))


def _method(telling: Telling, before: Offer, now: Offer, name: str) -> Markup:
    lang = telling.lang
    was, today = _panel(before, name, now), _panel(now, name, now)
    if today is None:
        return lang.text(telling.words.no_work)
    method = lang.translated(telling.words.methods[Method(today.method)])
    if was is None:
        return lang.text("What we would do: {method}.", method=method)
    if was.method == today.method:
        return lang.text("What we would do: {method}, as before.", method=method)
    earlier = lang.translated(telling.words.methods[Method(was.method)])
    return lang.text("What we would do: {method}. Before, it was: {earlier}.", method=method, earlier=earlier)


def _panel(offer: Offer, name: str, now: Offer) -> OfferedPanel | None:
    return offer.aims[now.aim].panels.get(offer.panel_of(name, now.aim))


def _work(telling: Telling, name: str, before: Offer) -> tuple[Markup, ...]:
    """What the job takes now and took then; where several changed places are one job, the worst of them tells it."""
    lang, now, amended = telling.lang, telling.job.offer, telling.job.amended
    was, today = _panel(before, name, now), _panel(now, name, now)
    if today is None or amended is None:
        return ()
    lead = min((one for one in today.findings if one in amended.ask), key=lambda one: telling.numbers.get(one, 0))
    if lead != name:
        text = "This is one job with number {number}. Hours and price are told there."
        return (lang.text(text, number=telling.numbers.get(lead, 0)),)
    told = lang.text("Now it takes {taken}.", taken=taken(lang, today))
    if was is None:
        return (told,)
    earlier = lang.text("When you answered it was {taken}.", taken=taken(lang, was))
    return (told, earlier, lang.text("That is {between}.", between=between(lang, was, today)))


def _gone(telling: Telling, name: str, before: Before) -> GoneLine:
    lang, was = telling.lang, _panel(before.offer, name, telling.job.offer)
    zone = before.offer.findings[name].zone
    told = telling.zone_name(zone) if zone in telling.job.body.by_id else zone
    if was is None:
        return GoneLine(told, lang.text("No work was planned here."))
    return GoneLine(told, lang.text("Planned here was: {taken}.", taken=taken(lang, was)))


def _is_open(telling: Telling, found: Changes, graded: Graded) -> bool:
    name = graded.finding.id
    return name in telling.asked and name not in found.ask


def _open(telling: Telling, graded: Graded) -> OpenFinding:
    name = graded.finding.id
    words, number = _shortly(telling, graded), telling.numbers[name]
    return OpenFinding(number, anchor(name), name, telling.zone_name(graded.zone_id), words, telling.form.reply(name))


def _same(telling: Telling, graded: Graded) -> SameLine:
    name = graded.finding.id
    zone = telling.zone_name(graded.zone_id)
    return SameLine(telling.numbers[name], anchor(name), zone, _shortly(telling, graded), said(telling, name))


def _shortly(telling: Telling, graded: Graded) -> Markup:
    """Level, method and price of a place in one line."""
    lang, now = telling.lang, telling.job.offer
    level = lang.word(graded.level.value, "level")
    panel = _panel(now, graded.finding.id, now)
    if panel is None:
        return lang.text("{level}. No work is planned here.", level=level)
    method = lang.translated(telling.words.methods[Method(panel.method)])
    if panel.method == Method.LEAVE:
        return lang.text("{level}; {method}.", level=level, method=method)
    price = lang.money_range(money(panel.price))
    return lang.text("{level}; {method}, {price}.", level=level, method=method, price=price)

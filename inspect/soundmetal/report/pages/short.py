"""Page 1, the short of it: the car, one sentence, the steel plan, what touches safety, three aims side by side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from markupsafe import Markup

from soundmetal.grade.models import Graded, Level, Step
from soundmetal.record.terms import Aim
from soundmetal.report.contexts import AimColumn, LegendRow, SafetyGroup, SafetyRow, Short
from soundmetal.report.drawings.plate_section import swatch
from soundmetal.report.drawings.range_strip import range_strip
from soundmetal.report.drawings.steel_plan import Places, steel_plan
from soundmetal.report.form import AIM
from soundmetal.report.palette import RAMP
from soundmetal.report.telling import Telling, anchor, car_name
from soundmetal.scope.models import Scope

AIM_STRIP_MM = 50.0
PLAN_MM = 94.0


def short(telling: Telling) -> Short:
    """Make page 1."""
    job, lang = telling.job, telling.lang
    return Short(
        opens=job.amended is None,
        title=car_name(job.inspection.vehicle, lang),
        facts=car_facts(telling),
        addressed=addressed(telling),
        lead=_lead(telling),
        more=_more(telling),
        aim_field=telling.form.field(AIM) if job.amended is None else "",
        plan=steel_plan(job.body, _places(telling), lang, PLAN_MM),
        legend=_legend(telling),
        legend_note=lang.text("How many parts are so. The numbers on the plan are those of the pages that follow."),
        safety=_safety(telling),
        safety_none=lang.text("Nothing that we saw touches safety."),
        aims=_aims(telling),
        none_of_them=lang.grouped(_common(telling), most=1),
        ranges=lang.text(telling.words.ranges),
    )


def car_facts(telling: Telling) -> tuple[Markup, ...]:
    """Say what the car is known by: body, colour, odometer, identification."""
    vehicle, lang = telling.job.inspection.vehicle, telling.lang
    facts = [lang.text("{body}", body=lang.own(telling.job.body.names))]
    if vehicle.colour:
        facts.append(lang.text("{colour}", colour=vehicle.colour))
    if vehicle.odometer:
        shown = lang.look.with_unit(lang.look.whole(vehicle.odometer.value), vehicle.odometer.unit)
        text = (
            "{distance} on the odometer" if vehicle.odometer.reliable else "{distance} on the odometer, not reliable"
        )
        facts.append(lang.text(text, distance=shown))
    if vehicle.identification:
        facts.append(lang.text("identification {number}", number=vehicle.identification))
    return tuple(facts)


def addressed(telling: Telling) -> Markup:
    """Say whom the report is for, and the day of the inspection."""
    inspection, lang = telling.job.inspection, telling.lang
    if inspection.owner.name:
        return lang.text("For {owner}, {day_date}", owner=inspection.owner.name, day_date=inspection.date)
    return lang.text("{day_date}", day_date=inspection.date)


def _lead(telling: Telling) -> Markup:
    lang = telling.lang
    told = [graded for graded in telling.told if graded.level is not Level.NOT_SEEN]
    if not told:
        return lang.text("We found no rust that needs work.")
    grave = sum(telling.safety(graded) for graded in told)
    found = lang.plural("We found rust in {count} place.", "We found rust in {count} places.", len(told))
    if not grave:
        return found + " " + lang.text("None of them touches safety.")
    if grave == len(told):
        return found + " " + lang.plural("It touches safety.", "All of them touch safety.", grave)
    return found + " " + lang.plural("One of them touches safety.", "Of these, {count} touch safety.", grave)


def _more(telling: Telling) -> tuple[Markup, ...]:
    job, lang = telling.job, telling.lang
    total = job.scope.total
    sentences = [lang.text(telling.words.basis[job.inspection.basis])]
    unseen = sum(zone.level is Level.NOT_SEEN for zone in job.grades.zones)
    if unseen:
        of = lang.look.whole(len(job.grades.zones))
        many = "Of the {of} parts on our list, {count} could not be seen or judged. We do not call them sound."
        one = "Of the {of} parts on our list, {count} could not be seen or judged. We do not call it sound."
        sentences.append(lang.plural(one, many, unseen, of=of))
    aim = lang.translated(telling.words.aims[job.inspection.aim].name)
    price = {"low_money": total.price.low, "high_money": total.price.high, "likely_money": total.price.likely}
    sentences.append(
        lang.text(telling.words.work, aim=aim[:1].lower() + aim[1:], hours=lang.hours_range(total.hours), **price)
    )
    return tuple(sentences)


def _places(telling: Telling) -> Places:
    levels = {zone.zone_id: zone.level for zone in telling.job.grades.zones}
    numbers: dict[str, tuple[int, ...]] = {}
    for graded in telling.told:
        numbers[graded.zone_id] = (*numbers.get(graded.zone_id, ()), telling.numbers[graded.finding.id])
    return Places(levels, numbers)


def _legend(telling: Telling) -> tuple[LegendRow, ...]:
    lang = telling.lang
    counts = Counter(zone.level for zone in telling.job.grades.zones)
    order = (*reversed(RAMP), Level.NOT_SEEN)
    return tuple(
        LegendRow(
            swatch(level, lang),
            lang.word(level.value, "level"),
            lang.text("{zones_count}", zones_count=counts[level]),
        )
        for level in order
    )


def _safety(telling: Telling) -> tuple[SafetyGroup, ...]:
    groups: dict[str, list[SafetyRow]] = {}
    for graded in telling.told:
        if telling.safety(graded):
            groups.setdefault(graded.urgency, []).append(_safety_row(telling, graded))
    return tuple(SafetyGroup(telling.lang.text(urgency), tuple(rows)) for urgency, rows in groups.items())


def _safety_row(telling: Telling, graded: Graded) -> SafetyRow:
    finding = graded.finding
    return SafetyRow(telling.numbers[finding.id], anchor(finding.id), telling.zone_name(graded.zone_id))


def _aims(telling: Telling) -> tuple[AimColumn, ...]:
    scopes = [(aim, telling.job.scopes[aim]) for aim in Aim if aim in telling.job.scopes]
    edges = [edge for _, scope in scopes for edge in _edges(scope)]
    scale = (0.0, max(edges, default=1.0) * 1.02)
    return tuple(_aim(telling, aim, scope, scale) for aim, scope in scopes)


def _common(telling: Telling) -> list[Step]:
    """What every aim leaves undone: of one sentence all parts, or none, so that no count is told in two halves."""
    first, *others = (scope.leaves_undone for scope in telling.job.scopes.values())
    parted = {step.text for undone in others for step in set_apart(first, undone)}
    return [step for step in first if step.text not in parted]


def set_apart(one: Sequence[Step], other: Sequence[Step]) -> list[Step]:
    """Give the sentences that stand in one of two lists only."""
    return [*(step for step in one if step not in other), *(step for step in other if step not in one)]


def _edges(scope: Scope) -> list[float]:
    return [float(scope.total.price.high), *(amount for amount, share in scope.total.histogram if share > 0)]


def _aim(telling: Telling, aim: Aim, scope: Scope, scale: tuple[float, float]) -> AimColumn:
    lang, words = telling.lang, telling.words.aims[aim]
    total = scope.total
    low, high = lang.look.whole(scope.days.low), lang.look.whole(scope.days.high)
    return AimColumn(
        name=lang.translated(words.name),
        choice=aim.value,
        plain=lang.translated(words.plain),
        chosen=aim is telling.job.inspection.aim,
        hours=lang.hours_range(total.hours),
        price=lang.money_range(total.price),
        strip=range_strip(total.price, lang, histogram=total.histogram, scale_to=scale, width_mm=AIM_STRIP_MM),
        days=lang.text("{low} to {high} working days", low=low, high=high),
        undone=lang.grouped([step for step in scope.leaves_undone if step not in _common(telling)], most=1),
    )

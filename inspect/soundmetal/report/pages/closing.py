"""The parts of the closing report: what was done with its photographs, what stays, what to look at, the history."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from markupsafe import Markup

from soundmetal.folder.states import Returned
from soundmetal.grade.models import Graded, Level
from soundmetal.record.terms import Reply, TakenWhen
from soundmetal.repair.models import Method
from soundmetal.report.after import Look, after
from soundmetal.report.closing_contexts import DonePlace, HistoryLine, LookLine, StayingPlace, TimeColumn
from soundmetal.report.drawings.plate_section import caption, plate_of, plate_section
from soundmetal.report.language import lower_first
from soundmetal.report.pages import facts
from soundmetal.report.pages.findings import capital, unbroken, works_of
from soundmetal.report.pages.photographs import photographs_from as photographs_from
from soundmetal.report.telling import Telling, ended

PLATE_HEIGHT_MM = 8.5


def done_of(telling: Telling) -> tuple[Graded, ...]:
    """Give the findings that were put right, worst first: those with a yes that the chosen aim had work for."""
    works, said = works_of(telling), telling.job.inspection.answers

    def was_done(name: str) -> bool:
        work = works.get(name)
        agreed = name in said and said[name].reply is Reply.YES
        return agreed and work is not None and work.choice.taken.method is not Method.LEAVE

    return tuple(graded for graded in telling.told if was_done(graded.finding.id))


def stays_of(telling: Telling) -> tuple[Graded, ...]:
    """Give the findings that are as they were, worst first."""
    done = {graded.finding.id for graded in done_of(telling)}
    return tuple(graded for graded in telling.told if graded.finding.id not in done)


def closed_line(telling: Telling, closed: dt.date) -> Markup:
    """Say for whom it is, and on which days the car was looked at and closed."""
    inspection, lang = telling.job.inspection, telling.lang
    days = {"day_date": inspection.date, "closed_date": closed}
    if inspection.owner.name:
        text = "For {owner}. Looked at on {day_date}, closed on {closed_date}."
        return lang.text(text, owner=inspection.owner.name, **days)
    return lang.text("Looked at on {day_date}, closed on {closed_date}.", **days)


def lead(telling: Telling) -> Markup:
    """Say in two sentences how many places were put right, and how many stay."""
    lang, put_right, staying = telling.lang, len(done_of(telling)), len(stays_of(telling))
    said = lang.plural("{count} place was put right.", "{count} places were put right.", put_right)
    if not put_right:
        said = lang.text("No place was put right.")
    if not staying:
        return said
    return said + " " + lang.plural("{count} place stays as it was.", "{count} places stay as they were.", staying)


def more(telling: Telling) -> tuple[Markup, ...]:
    """Say what the report rests on, and what it is for."""
    return telling.lang.text(after().as_agreed), telling.lang.text(after().keep)


def done(telling: Telling) -> tuple[DonePlace, ...]:
    """Tell each place that was put right."""
    return tuple(_done(telling, graded) for graded in done_of(telling))


def _done(telling: Telling, graded: Graded) -> DonePlace:
    lang, finding, zone = telling.lang, graded.finding, telling.zone(graded.zone_id)
    plate, written = plate_of(graded.metal_left, graded.level, finding.seen), telling.job.inspection.language
    method = works_of(telling)[finding.id].choice.taken.method
    return DonePlace(
        number=telling.numbers[finding.id],
        reference=finding.id,
        name=telling.zone_name(zone.id),
        plain=telling.plain(zone.id),
        plate=plate_section(plate, lang, height_mm=PLATE_HEIGHT_MM),
        caption=unbroken(caption(plate, lang)),
        level=lang.word(graded.level.value, "level"),
        found=facts.seen(telling, graded),
        done=lang.text(after().done[method]),
        note=ended(finding.note),
        note_lang=written if written != lang.code else "",
        columns=tuple(_columns(telling, graded)),
    )


def _columns(telling: Telling, graded: Graded) -> Iterator[TimeColumn]:
    """The photographs before and after the work always, those from during it where there are any."""
    lang, zone = telling.lang, telling.zone(graded.zone_id)
    for when in TakenWhen:
        photos = photographs_from(telling, graded.finding, zone, when)
        if photos or when is not TakenWhen.DURING:
            none = Markup() if photos else lang.text(after().no_photograph[when])
            yield TimeColumn(lang.word(when.value, "taken"), photos, none)


def staying(telling: Telling) -> tuple[StayingPlace, ...]:
    """Tell each place that is as it was."""
    return tuple(_staying(telling, graded) for graded in stays_of(telling))


def _staying(telling: Telling, graded: Graded) -> StayingPlace:
    lang = telling.lang
    level = capital(lang.word(graded.level.value, "level"))
    words = lang.text("{level}. {why}", level=level, why=_why(telling, graded))
    caution = lang.text(after().stays_safety) if telling.safety(graded) else lang.text(graded.urgency)
    return StayingPlace(telling.numbers[graded.finding.id], telling.zone_name(graded.zone_id), words, caution)


def _why(telling: Telling, graded: Graded) -> Markup:
    lang, words = telling.lang, after()
    answer = telling.job.inspection.answers.get(graded.finding.id)
    if answer is None:
        return lang.text(words.stays.open)
    if answer.reply is Reply.YES:
        return lang.text(words.not_in_aim)
    if answer.reply is Reply.TALK:
        return lang.text(words.stays.talk)
    if answer.date is None:
        return lang.text(words.stays.no_undated)
    return lang.text(words.stays.no, day_date=answer.date)


def look(telling: Telling) -> tuple[LookLine, ...]:
    """Say what to look at and when: what goes for this car of the shop's habits."""
    lang, true = telling.lang, _true_of(telling)
    return tuple(LookLine(lang.text(one.when), lang.text(one.what)) for one in after().look if _goes(one, true))


def _true_of(telling: Telling) -> dict[str, bool]:
    unseen = any(zone.level is Level.NOT_SEEN for zone in telling.job.grades.zones)
    worked, stays = bool(done_of(telling)), bool(stays_of(telling))
    return {"any": True, "worked": worked, "stays": stays, "unseen": unseen}


def _goes(one: Look, true: dict[str, bool]) -> bool:
    return true[one.wanted]


def unseen(telling: Telling) -> Markup:
    """Name the parts that nobody saw; nothing where all were seen."""
    zones = [zone.zone_id for zone in telling.job.grades.zones if zone.level is Level.NOT_SEEN]
    names = [lower_first(telling.zone_name(zone)) for zone in zones]
    return telling.lang.text("Nobody saw these parts: {names}.", names="; ".join(names)) if names else Markup()


def history(telling: Telling) -> tuple[HistoryLine, ...]:
    """Tell every report that was sent and every answer that came back, with the fingerprints of the files."""
    lines = []
    for state in telling.job.sent:
        sent = {"number": state.number, "day_date": state.mark.sent}
        words = telling.lang.text("Report {number}, sent on {day_date}", **sent)
        lines.append(HistoryLine(words, state.mark.report))
        lines += [_returned(telling, state.number, one) for one in state.mark.returned]
    return tuple(lines)


def _returned(telling: Telling, number: int, one: Returned) -> HistoryLine:
    lang = telling.lang
    if one.sha256 is None:
        text = "Answers to report {number}, by word of mouth, on {day_date}"
        return HistoryLine(lang.text(text, number=number, day_date=one.date), "")
    if one.signed:
        text = "Answers to report {number} came back on {day_date}, signed {signed}"
        return HistoryLine(lang.text(text, number=number, day_date=one.date, signed=one.signed), one.sha256)
    text = "Answers to report {number} came back on {day_date}"
    return HistoryLine(lang.text(text, number=number, day_date=one.date), one.sha256)

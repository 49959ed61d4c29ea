"""The closing report that the owner keeps: set as HTML once the work is done and the car is closed."""

from __future__ import annotations

import datetime as dt

from soundmetal.errors import UsageError
from soundmetal.grade.models import Graded
from soundmetal.record.models import Inspection
from soundmetal.record.terms import Stage, TakenWhen
from soundmetal.report.closing_contexts import Closing
from soundmetal.report.html import SCREENS_AFTER, STYLES_AFTER, Pages, page_css, styles
from soundmetal.report.job import Job
from soundmetal.report.pages import closing as parts
from soundmetal.report.pages.practice import shop_lines
from soundmetal.report.pages.short import car_facts
from soundmetal.report.telling import Telling, car_name, telling


def closed_on(inspection: Inspection) -> dt.date:
    """Give the day the car was closed. UsageError while the work goes on."""
    last = inspection.progress[-1] if inspection.progress else None
    if last is None or last.stage is not Stage.CLOSED:
        raise UsageError(
            "the car is not closed yet, so there is nothing to close a report on",
            todo="When the work is done: soundmetal progress FOLDER closed",
        )
    return last.date


def lacking(job: Job) -> tuple[str, ...]:
    """Say what the shop still owes a closing report: photographs from after the work, answers that stand."""
    told, said = telling(job), job.inspection.answers
    bare = [graded.finding.id for graded in parts.done_of(told) if not _after(told, graded)]
    silent = [graded.finding.id for graded in told.told if graded.finding.id not in said]
    lines = [f"done, but without a photograph from after the work: {', '.join(bare)}"] if bare else []
    lines += [f"no answer stands, so told as left as it was: {', '.join(silent)}"] if silent else []
    return tuple(lines)


def _after(told: Telling, graded: Graded) -> bool:
    return bool(parts.photographs_from(told, graded.finding, told.zone(graded.zone_id), TakenWhen.AFTER))


def closing_html(job: Job, language: str | None = None) -> str:
    """Set the closing report of a job that heeds the answers. UsageError while the work goes on."""
    closed = closed_on(job.inspection)
    told = telling(job, language)
    lang = told.lang
    car = car_name(job.inspection.vehicle, lang)
    title = lang.text("What was done on the {car}, {day_date}", car=car, day_date=closed)
    page = Closing(
        lang=lang.code,
        paper=job.inspection.paper.value,
        title=title.unescape(),
        author=job.shop.shop.name,
        subject=lang.text("What was found, what was done, and what stays").unescape(),
        created=closed.isoformat(),
        css=styles(STYLES_AFTER),
        screen_css=styles(SCREENS_AFTER),
        page_css=page_css(told, job.inspection.paper),
        shop=job.shop.shop.name,
        shop_lines=shop_lines(told),
        car=car,
        facts=car_facts(told),
        closed=parts.closed_line(told, closed),
        lead=parts.lead(told),
        more=parts.more(told),
        stays=parts.staying(told),
        look=parts.look(told),
        done=parts.done(told),
        unseen=parts.unseen(told),
        history=parts.history(told),
        certify=lang.text(told.words.certify),
    )
    return str(Pages(lang).set("customer/closing.html", page))

"""Page 4: how the work goes: every step on the calendar of working days, what leaves the shop, what it waits for."""

from __future__ import annotations

import math

from markupsafe import Markup

from soundmetal.report.contexts import Course, OrderRow
from soundmetal.report.drawings.order_bars import Days, axis, bar
from soundmetal.report.telling import Telling
from soundmetal.scope.models import Scope, Task


def course(telling: Telling) -> Course:
    """Make page 4."""
    scope, lang = telling.job.scope, telling.lang
    per_day = telling.job.shop.policies.hours_per_day
    whole = max((task.end_h / per_day for task in scope.order), default=1.0)
    away = tuple(lang.sentence(task.text) for task in scope.order if task.away)
    return Course(
        lead=_lead(telling, scope),
        axis=axis(whole, lang),
        rows=tuple(_row(telling, task, whole, per_day) for task in scope.order),
        away=tuple(dict.fromkeys(away)),
        holds=tuple(lang.sentence(step) for step in scope.holds),
    )


def _lead(telling: Telling, scope: Scope) -> Markup:
    lang = telling.lang
    low, high = lang.look.whole(scope.days.low), lang.look.whole(scope.days.high)
    return lang.text(
        "We reckon with {low} to {high} working days, most likely about {likely}. The days below are the likely ones, "
        "counted from the day we begin.",
        low=low, high=high, likely=lang.look.whole(math.ceil(scope.days.likely)),
    )


def _row(telling: Telling, task: Task, whole: float, per_day: float) -> OrderRow:
    lang, days = telling.lang, Days(task.start_h / per_day, task.end_h / per_day)
    if days.first == days.last:
        said = lang.text("day {first}", first=days.first)
    else:
        said = lang.text("days {first} to {last}", first=days.first, last=days.last)
    words = lang.sentence(task.text)
    drawn = bar(days, whole, f"{words.unescape()}: {said.unescape()}", away=task.away)
    return OrderRow(words, said, drawn, task.away, lang.text(task.hold) if task.hold else Markup())

"""Page 4: how the work goes: each part of the car on the calendar, what leaves the shop, what the work waits for."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from markupsafe import Markup

from soundmetal.grade.models import Step
from soundmetal.record.terms import Aim
from soundmetal.report.contexts import Course, OrderRow, Undone
from soundmetal.report.drawings.order_bars import Days, axis, bars, working_days
from soundmetal.report.language import lower_first
from soundmetal.report.telling import Telling
from soundmetal.scope.models import Scope, Task

#: Width of the calendar beside the rows' words.
BARS_MM = 80.0
#: Where more than this share of the shop's own work sets the length, all bars are drawn light (chosen, no source).
MOST_DARK = 0.7
DARK = "Dark: what sets the length of the work. Dashed: away from the shop, or in the hands of others."
ONE_BY_ONE = (
    "One thing is done after the other, so every bar counts for the length of the work. "
    "Dashed: away from the shop, or in the hands of others."
)


def course(telling: Telling) -> Course:
    """Make page 4."""
    scope, lang = telling.job.scope, telling.lang
    whole = max((_days(telling, task).end for task in scope.order), default=1.0)
    return Course(
        lead=_lead(telling, scope),
        steps=tuple(lang.text(step) for step in telling.words.steps),
        dated=bool(scope.dates),
        axis=axis(whole, lang, BARS_MM, dates=scope.dates, most=6 if scope.dates else 8),
        bars_note=lang.text(DARK if _dark_tells(scope) else ONE_BY_ONE),
        rows=tuple(_row(telling, tasks, whole) for tasks in _rows(scope.order)),
        away=tuple(_capital(line) for line in lang.grouped(task.text for task in scope.order if task.away)),
        holds=lang.grouped(scope.holds),
        undone=_undone(telling) if telling.job.amended is None else (),  # the aim is not asked for again
    )


def _days(telling: Telling, task: Task) -> Days:
    per_day = telling.job.shop.policies.hours_per_day
    dark = task.critical and _dark_tells(telling.job.scope)
    return Days(task.start_h / per_day, task.end_h / per_day, task.away, dark)


def _dark_tells(scope: Scope) -> bool:
    """Say whether dark bars tell something: not where one pair of hands makes nearly every bar dark."""
    own = [task.critical for task in scope.order if not task.away]
    return sum(own) <= MOST_DARK * len(own)


def _lead(telling: Telling, scope: Scope) -> Markup:
    lang = telling.lang
    low, high = math.floor(scope.days.low), math.ceil(scope.days.high)
    likely = math.ceil(scope.days.likely)
    if scope.dates:
        ends = {"first_date": scope.dates[0], "last_date": scope.dates[max(likely, 1) - 1]}
        return lang.text(telling.words.days_dated, low_count=low, high_count=high, likely_count=likely, **ends)
    return lang.text(telling.words.days, low_count=low, high_count=high, likely_count=likely)


def _rows(order: Sequence[Task]) -> list[list[Task]]:
    """One row for each panel, one for each step that is for the whole car; by the day they begin."""
    rows: dict[str, list[Task]] = {}
    for task in order:
        rows.setdefault(task.panel or task.id, []).append(task)
    return sorted(rows.values(), key=lambda tasks: min(task.start_h for task in tasks))


def _row(telling: Telling, tasks: Sequence[Task], whole: float) -> OrderRow:
    lang, panel = telling.lang, tasks[0].panel
    stretches = [_days(telling, task) for task in tasks]
    words = Markup.escape(telling.zone_name(panel)) if panel else lang.sentence(tasks[0].text)
    runs = working_days(stretches)
    drawn = bars(
        stretches, whole, f"{words.unescape()}: {_said(telling, runs).unescape()}", BARS_MM,
        most=6 if telling.job.scope.dates else 8, dates=telling.job.scope.dates,
    )  # fmt: skip
    return OrderRow(words, _said(telling, [(runs[0][0], runs[-1][1])]), drawn, _hold(telling, tasks))


def _said(telling: Telling, runs: Sequence[tuple[int, int]]) -> Markup:
    lang, dates = telling.lang, telling.job.scope.dates
    if dates:
        named = [(lang.look.day(dates[a - 1]), lang.look.day(dates[b - 1])) for a, b in runs]
        spans = (a if a == b else lang.text("{first} to {last}", first=a, last=b).unescape() for a, b in named)
        return Markup.escape(", ".join(spans))
    shown = [str(a) if a == b else lang.text("{first} to {last}", first=a, last=b).unescape() for a, b in runs]
    many = len(runs) > 1 or runs[0][0] != runs[0][1]
    return lang.text("days {list}" if many else "day {list}", list=", ".join(shown))


def _hold(telling: Telling, tasks: Sequence[Task]) -> Markup:
    """What this row waits for, unless nearly every row waits for the same: that stands in the list of holds."""
    everywhere = Counter(task.hold for task in telling.job.scope.order if task.panel)
    usual = everywhere.most_common(1)[0][0] if everywhere else ""
    own = dict.fromkeys(task.hold for task in tasks if task.hold and task.hold != usual)
    return Markup("; ").join(telling.lang.text(hold) for hold in own)


def _capital(line: Markup) -> Markup:
    return line[:1].upper() + line[1:]


def _undone(telling: Telling) -> tuple[Undone, ...]:
    """What is left undone, each thing once, with the aims that leave it; what most aims leave comes first."""
    left = {aim: telling.job.scopes[aim].leaves_undone for aim in Aim if aim in telling.job.scopes}
    alike: dict[tuple[Aim, ...], list[Step]] = {}
    for step in (step for steps in left.values() for step in steps):
        aims = tuple(aim for aim, steps in left.items() if step in steps)
        if step not in alike.setdefault(aims, []):
            alike[aims].append(step)
    many_first = sorted(alike.items(), key=lambda item: (-len(item[0]), [list(Aim).index(aim) for aim in item[0]]))
    return tuple(Undone(_aims(telling, aims, len(left)), telling.lang.grouped(steps)) for aims, steps in many_first)


def _aims(telling: Telling, aims: Sequence[Aim], all_count: int) -> str:
    if len(aims) == all_count and all_count > 1:
        return telling.lang.translated("Whichever aim")
    names = [telling.lang.translated(telling.words.aims[aim].name) for aim in aims]
    return "; ".join([names[0], *map(lower_first, names[1:])])

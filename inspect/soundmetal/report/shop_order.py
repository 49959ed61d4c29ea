"""The packet's pages on the order of work: what is not ours to cut, every step with what comes before, the wall page.

The wall page is a sheet of twice the packet's size: a row for each part of the car on the shop's calendar.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from markupsafe import Markup

from soundmetal.grade.models import Level
from soundmetal.repair.models import Method
from soundmetal.report.drawings.order_bars import Days, axis, bars
from soundmetal.report.shop_contexts import AloneLine, Others, ReferLine
from soundmetal.report.shop_plan_contexts import Order, StepLine, Wall, WallRow
from soundmetal.report.shop_telling import Numbered, ShopTelling
from soundmetal.scope.models import Task
from soundmetal.scope.order_rules import order_rules

#: Width of the calendar on the wall page, and height of its rows: room for all of them where that is possible.
WALL_MM, ROWS_MM, ROW_MM = 242.0, 206.0, (5.0, 8.6)
#: Stages of the order that may go on before a qualified repairer has decided.
BEFORE_DECISION = frozenset({"access", "strip"})
#: Most marks on the wall page's calendar.
MARKS = 24


def others(shop: ShopTelling) -> Others:
    """Make the page of what is left alone, what somebody else decides, and what nobody has seen."""
    lang, scope = shop.lang, shop.job.scope
    alone = tuple(
        AloneLine(shop.panel_name(w.panel), ", ".join(w.choice.taken.findings), lang.sentence(w.choice.reason))
        for w in scope.panels
        if w.choice.taken.method is Method.LEAVE
    )
    unseen = tuple(shop.panel_name(z.zone_id) for z in shop.job.grades.zones if z.level is Level.NOT_SEEN)
    refer = tuple(_refer(shop, job) for job in shop.jobs if job.method is Method.REFER)
    return Others(alone=alone, refer=refer, unseen=unseen)


def _refer(shop: ShopTelling, job: Numbered) -> ReferLine:
    text = "Held for a qualified structural repairer. Getting at it and stripping it may go on once the owner agrees."
    return ReferLine(
        number=job.number,
        anchor=job.anchor,
        panel=shop.panel_name(job.work.panel),
        findings=job.finding_list,
        why=shop.lang.sentence(job.work.choice.reason),
        held=shop.lang.text(text),
    )


def order(shop: ShopTelling) -> Order:
    """Make the pages of the order of work."""
    tasks = shop.job.scope.order
    direct = nearest_before(tasks)
    common = _common(tasks)
    numbers = _numbers(tasks)
    soft = [rule for rule in order_rules().rules if rule.kind == "soft" and _used(rule.id, tasks)]
    return Order(
        lead=_lead(shop),
        all_wait=_all_wait(shop, common),
        may_change=tuple(shop.lang.text(rule.say) for rule in soft),
        steps=tuple(_step(shop, task, numbers, direct[task.id], common) for task in tasks),
    )


def wall(shop: ShopTelling) -> Wall:
    """Make the wall page: a row for each part of the car, in the order in which they begin."""
    scope, lang = shop.job.scope, shop.lang
    rows = _rows(scope.order)
    whole = max((_days(shop, task).end for task in scope.order), default=1.0)
    row_mm = min(ROW_MM[1], max(ROW_MM[0], ROWS_MM / max(len(rows), 1)))
    numbers = _numbers(scope.order)
    return Wall(
        lead=_lead(shop),
        all_wait=_all_wait(shop, _common(scope.order)),
        axis=axis(whole, lang, WALL_MM, dates=scope.dates, most=MARKS, size=3.6),
        rows=tuple(_wall_row(shop, tasks, numbers, whole, row_mm) for tasks in rows),
    )


def nearest_before(tasks: Sequence[Task]) -> dict[str, frozenset[str]]:
    """Give for each task those that come right before it, without those that one of these already waits for."""
    before: dict[str, frozenset[str]] = {}
    direct: dict[str, frozenset[str]] = {}
    for task in tasks:
        known = [name for name in task.after if name in before]
        passed = frozenset().union(*(before[name] for name in known))
        direct[task.id] = frozenset(known) - passed
        before[task.id] = passed | frozenset(known)
    return direct


def runs(numbers: Iterable[int]) -> str:
    """Write numbers in order, three or more that follow each other as a run.

    >>> runs([3, 1, 2, 7, 9, 8, 12, 13])
    '1–3, 7–9, 12, 13'
    """
    parts: list[list[int]] = []
    for number in sorted(numbers):
        if parts and parts[-1][-1] == number - 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    return ", ".join(f"{p[0]}–{p[-1]}" if len(p) > 2 else ", ".join(map(str, p)) for p in parts)


def _numbers(tasks: Sequence[Task]) -> dict[str, int]:
    return {task.id: number for number, task in enumerate(tasks, start=1)}


def _common(tasks: Sequence[Task]) -> str:
    """What most of the steps wait for; empty where none wait."""
    holds = Counter(task.hold for task in tasks if task.hold)
    return holds.most_common(1)[0][0] if holds else ""


def _used(rule: str, tasks: Sequence[Task]) -> bool:
    return any(rule in task.because for task in tasks)


def _all_wait(shop: ShopTelling, common: str) -> Markup:
    if not common:
        return Markup()
    return shop.lang.text("Held, unless the step says otherwise: {hold}.", hold=shop.lang.text(common))


def _lead(shop: ShopTelling) -> Markup:
    policies, lang, scope = shop.job.shop.policies, shop.lang, shop.job.scope
    if scope.dates:
        return lang.plural(
            "Likely dates from {first_date} on, with {count} person at {hours_h} a day. Days off are left out.",
            "Likely dates from {first_date} on, with {count} people at {hours_h} a day. Days off are left out.",
            policies.crew, hours_h=policies.hours_per_day, first_date=scope.dates[0],
        )  # fmt: skip
    return lang.plural(
        "Likely days, counted from the day work begins, with {count} person at {hours_h} a day.",
        "Likely days, counted from the day work begins, with {count} people at {hours_h} a day.",
        policies.crew, hours_h=policies.hours_per_day,
    )  # fmt: skip


def _days(shop: ShopTelling, task: Task) -> Days:
    per_day = shop.job.shop.policies.hours_per_day
    return Days(task.start_h / per_day, task.end_h / per_day, task.away, task.critical)


def when(shop: ShopTelling, task: Task) -> Markup:
    """Say from which day to which a step goes."""
    days = _days(shop, task)
    return _when(shop, days.first, days.last)


def _when(shop: ShopTelling, first: int, last: int) -> Markup:
    """Say from which day to which: dates where there are any, else numbers of working days."""
    lang, dates = shop.lang, shop.job.scope.dates
    if dates:
        one, other = lang.look.day(dates[first - 1]), lang.look.day(dates[last - 1])
        return Markup.escape(one) if first == last else lang.text("{first} to {last}", first=one, last=other)
    if first == last:
        return lang.text("day {first}", first=first)
    return lang.text("days {first} to {last}", first=first, last=last)


def _step(
    shop: ShopTelling, task: Task, numbers: Mapping[str, int], direct: Iterable[str], common: str
) -> StepLine:  # fmt: skip
    look, words = shop.lang.look, shop.lang.sentence(task.text)
    spare = task.total_float_h / shop.job.shop.policies.hours_per_day
    return StepLine(
        number=numbers[task.id],
        words=words[:1].upper() + words[1:],  # outside work is named in the shop book's own words
        findings=", ".join(task.findings),
        after=runs(numbers[name] for name in direct),
        hours="" if task.away or not task.hours else look.number(task.hours, 1),
        days=when(shop, task),
        spare="" if task.critical else look.number(spare, 1),
        critical=task.critical,
        away=task.away,
        hold=_hold(shop, task, common),
    )


def _hold(shop: ShopTelling, task: Task, common: str) -> Markup:
    """Say what a step waits for beyond what most wait for; cutting into a referred place always says so."""
    job = shop.by_panel.get(task.panel)
    referred = job is not None and job.method is Method.REFER and not task.away
    if referred and task.hold and not BEFORE_DECISION & set(task.id.split("/")):
        return shop.lang.text("waits for a qualified structural repairer")
    return shop.lang.text(task.hold) if task.hold and task.hold != common else Markup()


def _rows(tasks: Sequence[Task]) -> list[list[Task]]:
    """One row for each part of the car and each step that is for the whole of it, by when they begin."""
    rows: dict[str, list[Task]] = {}
    for task in tasks:
        rows.setdefault(task.panel or task.id, []).append(task)
    return list(rows.values())


def _wall_row(
    shop: ShopTelling, tasks: Sequence[Task], numbers: Mapping[str, int], whole: float, row_mm: float
) -> WallRow:
    panel, stretches = tasks[0].panel, [_days(shop, task) for task in tasks]
    job = shop.by_panel.get(panel)
    words = Markup.escape(shop.panel_name(panel)) if panel else shop.lang.sentence(tasks[0].text)
    when = _when(shop, min(days.first for days in stretches), max(days.last for days in stretches))
    return WallRow(
        number=str(job.number) if job else "",
        words=words,
        steps=runs(numbers[task.id] for task in tasks),
        hours=shop.lang.look.number(sum(task.hours for task in tasks if not task.away), 1) if panel else "",
        when=when,
        bar=bars(
            stretches, whole, f"{words.unescape()}: {when.unescape()}", WALL_MM, row_mm=row_mm, most=MARKS,
            dates=shop.job.scope.dates,
        ),
        held=shop.waits(job) if job else "",
        stop=shop.stops(job) if job else False,
    )  # fmt: skip

"""The packet's last pages: what is not ours to cut, and the order of work as bars with what must be done before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from markupsafe import Markup

from soundmetal.grade.models import Level
from soundmetal.repair.models import Method
from soundmetal.report.drawings.order_bars import Days, axis, bar
from soundmetal.report.shop_contexts import AloneLine, Order, Others, ReferLine, StepLine
from soundmetal.report.shop_telling import Numbered, ShopTelling
from soundmetal.scope.models import Task

BAR_MM = 48.0
#: Stages of the order that may go on before a qualified repairer has decided.
BEFORE_DECISION = frozenset({"access", "strip"})


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
    """Make the page of the order of work."""
    tasks, per_day = shop.job.scope.order, shop.job.shop.policies.hours_per_day
    whole = max((task.end_h / per_day for task in tasks), default=1.0)
    direct = nearest_before(tasks)
    holds = Counter(task.hold for task in tasks if task.hold)
    common = holds.most_common(1)[0][0] if holds else ""
    numbers = {task.id: number for number, task in enumerate(tasks, start=1)}
    crew = shop.job.shop.policies.crew
    lead = shop.lang.plural(
        "Likely days, counted from the day work begins, with {count} person at {hours_h} a day.",
        "Likely days, counted from the day work begins, with {count} people at {hours_h} a day.",
        crew, hours_h=per_day,
    )  # fmt: skip
    return Order(
        lead=lead,
        all_wait=shop.lang.text("Held, unless the step says otherwise: {hold}.", hold=shop.lang.text(common))
        if common
        else Markup(),
        axis=axis(whole, shop.lang, BAR_MM) if tasks else Markup(),
        steps=tuple(_step(shop, task, numbers, direct[task.id], whole, common) for task in tasks),
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


def _step(
    shop: ShopTelling, task: Task, numbers: Mapping[str, int], direct: Iterable[str], whole: float, common: str
) -> StepLine:
    lang, per_day = shop.lang, shop.job.shop.policies.hours_per_day
    days = Days(task.start_h / per_day, task.end_h / per_day)
    if days.first == days.last:
        said = lang.text("day {first}", first=days.first)
    else:
        said = lang.text("days {first} to {last}", first=days.first, last=days.last)
    words = lang.sentence(task.text)
    drawn = bar(days, whole, f"{words.unescape()}: {said.unescape()}", away=task.away, width_mm=BAR_MM)
    return StepLine(
        number=numbers[task.id],
        words=words,
        findings=", ".join(task.findings),
        after=runs(numbers[name] for name in direct),
        hours="" if task.away or not task.hours else lang.look.number(task.hours, 1),
        days=said,
        bar=drawn,
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

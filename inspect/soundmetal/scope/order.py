"""The order of work: tasks with start and end in working hours, for the shop's crew; outside work as days away.

Days are the schedule's length over the shop's hours a day; their range comes from the range of the hours. With a
start in the record they are dates as well, by the shop's working days and holidays.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from soundmetal.calc.frame import diagonal_mm
from soundmetal.calc.network import Activity
from soundmetal.car.models import Zone
from soundmetal.grade.models import Spread, Step
from soundmetal.record.shopbook import OutsideWork, ShopBook
from soundmetal.scope.calendar import working_dates
from soundmetal.scope.crew import slack, starts, turns
from soundmetal.scope.items import Estimate
from soundmetal.scope.marks import marks_round
from soundmetal.scope.models import Task
from soundmetal.scope.network import Node, edges, links, waits_of
from soundmetal.scope.order_rules import AWAY, CAR, Stage, order_rules

#: Stages that may go on before a qualified repairer has decided.
BEFORE_DECISION = frozenset({"access", "strip", "away_before"})


@dataclass(frozen=True)
class Away:
    """Outside work with its name in the shop book, for one panel or for the car (panel empty)."""

    name: str
    work: OutsideWork
    panel: str
    findings: tuple[str, ...] = ()


def nodes_of(estimates: Sequence[Estimate], away: Sequence[Away], shop: ShopBook) -> tuple[Node, ...]:
    """Give every task with its expected hours, hidden work shared out over the panel's own; none for no work."""
    worked = [found for found in estimates if found.work]
    if not worked:
        return ()
    stages = order_rules().stages
    found = {name: tuple(_nodes_of_stage(name, stage, worked, away, shop)) for name, stage in stages.items()}
    for name, stage in stages.items():
        if stage.level == CAR and (not stage.only_after or found[stage.only_after]):
            found[name] = (Node(name, "", 0.0),)
    return tuple(node for name in stages for node in found[name])


def tasks(
    nodes: Sequence[Node],
    zones: Sequence[Zone],
    shop: ShopBook,
    holds: Mapping[str, str],
    referred: Mapping[str, str],
) -> tuple[Task, ...]:
    """Schedule the tasks, earliest first. `holds`, `referred`: what a panel waits for; referred from its cut on.

    SettingsError where the rules of the order go in a circle.
    """
    made = links(nodes, zones)
    after = waits_of(nodes, made)
    found = turns(nodes, after, shop.policies.crew)
    paths = slack(nodes, after, found)
    because = {(link.then, link.before): link.rule for link in reversed(made)}
    by_id = {zone.id: zone for zone in zones}
    given = [_Planned(node, after[node.id], found.times[node.id], paths[node.id], because) for node in nodes]
    done = [_task(one, _text(one.node, shop, by_id), holds, referred) for one in given]
    place = {node.id: n for n, node in enumerate(nodes)}
    return tuple(sorted(done, key=lambda t: (t.start_h, t.end_h, place[t.id])))


def dates(order: Sequence[Task], length: Spread, shop: ShopBook, starts_on: dt.date | None) -> tuple[dt.date, ...]:
    """Give the date of every working day that the work may take; nothing without a start."""
    if starts_on is None or not order:
        return ()
    last = max(task.end_h for task in order) / shop.policies.hours_per_day
    return working_dates(starts_on, max(1, math.ceil(max(last, length.high) - 1e-9)), shop.working)


def days(nodes: Sequence[Node], zones: Sequence[Zone], shop: ShopBook, hours: Spread) -> Spread:
    """Give working days from the first task to the last: for P10, expected and P90 of the hours."""
    if not nodes:
        return Spread(0.0, 0.0, 0.0)
    after = edges(nodes, zones)
    shares = [1.0 if not hours.likely else h / hours.likely for h in (hours.low, hours.likely, hours.high)]
    lengths = [_length(nodes, after, share, shop) for share in shares]
    return Spread(min(lengths), lengths[1], max(lengths))


def _length(nodes: Sequence[Node], after: Mapping[str, Sequence[str]], share: float, shop: ShopBook) -> float:
    scaled = [Node(n.stage, n.panel, n.hours * (1 if n.away else share), n.findings, n.work, n.away) for n in nodes]
    return max(end for _, end in starts(scaled, after, shop.policies.crew).values()) / shop.policies.hours_per_day


def _nodes_of_stage(
    name: str, stage: Stage, worked: Sequence[Estimate], away: Sequence[Away], shop: ShopBook
) -> Iterator[Node]:
    if stage.level == AWAY:
        yield from _away_nodes(name, stage, away, shop)
    elif stage.level != CAR:
        yield from (node for found in worked if (node := _panel_node(name, stage, found)) is not None)


def _away_nodes(name: str, stage: Stage, away: Sequence[Away], shop: ShopBook) -> Iterator[Node]:
    for one in away:
        if one.work.when == stage.when:
            hours = one.work.days * shop.policies.hours_per_day
            yield Node(name, one.panel, hours, one.findings, one.name, away=True)


def _panel_node(name: str, stage: Stage, found: Estimate) -> Node | None:
    growth = found.hidden.growth
    hours = sum(i.mean_h(growth) * stage.operations.get(i.operation.kind, 0.0) for i in found.work)
    if not hours:
        return None
    own = sum(item.mean_h(growth) for item in found.work)
    blanks = found.blanks if stage.measured else ()
    return Node(name, found.panel, hours * found.mean_h / own, found.findings, blanks=blanks)


@dataclass(frozen=True)
class _Planned:
    """A node with what it waits for, its start and end, and its slack in this schedule."""

    node: Node
    after: Sequence[str]
    time: tuple[float, float]
    path: Activity
    because: Mapping[tuple[str, str], str]


def _task(one: _Planned, text: Step, holds: Mapping[str, str], referred: Mapping[str, str]) -> Task:
    node, path = one.node, one.path
    hold, held_by = _held(node, holds, referred)
    return Task(
        node.id, text, node.panel, node.findings, node.hours, *one.time,
        tuple(one.after), node.away, hold,
        stage=node.stage, because=tuple(one.because[node.id, name] for name in one.after),
        total_float_h=max(0.0, path.total_float), free_float_h=max(0.0, path.free_float),
        critical=path.critical, held_by=held_by,
    )  # fmt: skip


def _text(node: Node, shop: ShopBook, zones: Mapping[str, Zone]) -> Step:
    stage = order_rules().stages[node.stage]
    values: dict[str, object] = {"panel_zone": node.panel} if node.panel else {}
    text = stage.text
    if node.work:
        values["work_word"] = shop.outside[node.work].name["en"]
        text = text if node.panel else "{work_word}"
    marks = marks_round(node.blanks, zones[node.panel], shop.policies.margin) if node.blanks else None
    if marks is not None:
        values |= {"marks_long_mm": marks[0], "marks_high_mm": marks[1], "diagonal_mm": diagonal_mm(*marks)}
        return Step(stage.measured, {**values, "change_mm": shop.policies.diagonal_change}, stage.source)
    return Step(text, values, stage.source)


def _held(node: Node, holds: Mapping[str, str], referred: Mapping[str, str]) -> tuple[str, str]:
    """What a task waits for, and who releases it: the owner's answer first, then a qualified repairer."""
    if node.panel in holds:
        return holds[node.panel], "owner"
    if node.panel in referred and node.stage not in BEFORE_DECISION:
        return referred[node.panel], "repairer"
    return "", ""

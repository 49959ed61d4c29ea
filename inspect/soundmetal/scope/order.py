"""The order of work: tasks with start and end in working hours, for the shop's crew; outside work as days away.

Days are the schedule's length over the shop's hours a day; their range comes from the range of the hours.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from soundmetal.car.models import Zone
from soundmetal.grade.models import Spread, Step
from soundmetal.record.shopbook import OutsideWork, ShopBook
from soundmetal.scope.crew import starts
from soundmetal.scope.items import Estimate
from soundmetal.scope.models import Task
from soundmetal.scope.network import AWAY, CAR, Node, Stage, edges, order_rules


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
    nodes: list[Node] = []
    for name, stage in order_rules().stages.items():
        if stage.level == CAR:
            nodes += [Node(name, "", 0.0)] if _wanted(stage, nodes) else []
        elif stage.level == AWAY:
            nodes += list(_away_nodes(name, stage, away, shop))
        else:
            nodes += [node for found in worked if (node := _panel_node(name, stage, found)) is not None]
    return tuple(nodes)


def tasks(
    nodes: Sequence[Node],
    zones: Sequence[Zone],
    shop: ShopBook,
    holds: Mapping[str, str],
    referred: Mapping[str, str],
) -> tuple[Task, ...]:
    """Schedule the tasks, earliest first. `holds`, `referred`: what a panel waits for; referred from its cut on."""
    after = edges(nodes, zones)
    times = starts(nodes, after, shop.policies.crew)
    made = [_task(node, after[node.id], times[node.id], shop, holds, referred) for node in nodes]
    place = {node.id: n for n, node in enumerate(nodes)}
    return tuple(sorted(made, key=lambda t: (t.start_h, t.end_h, place[t.id])))


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


def _wanted(stage: Stage, nodes: Sequence[Node]) -> bool:
    return not stage.only_after or any(node.stage == stage.only_after for node in nodes)


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
    return Node(name, found.panel, hours * found.mean_h / own, found.findings)


def _task(
    node: Node, after: Sequence[str], time: tuple[float, float], shop: ShopBook,
    holds: Mapping[str, str], referred: Mapping[str, str],
) -> Task:  # fmt: skip
    stage = order_rules().stages[node.stage]
    values: dict[str, object] = {"panel_zone": node.panel} if node.panel else {}
    text = stage.text
    if node.work:
        values["work_word"] = shop.outside[node.work].name["en"]
        text = text if node.panel else "{work_word}"
    hold = holds.get(node.panel, "")
    if not hold and node.stage not in ("access", "strip", "away_before"):
        hold = referred.get(node.panel, "")
    return Task(
        node.id, Step(text, values, stage.source), node.panel, node.findings, node.hours, *time,
        tuple(after), node.away, hold,
    )  # fmt: skip

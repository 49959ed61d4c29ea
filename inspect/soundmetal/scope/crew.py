"""A crew's schedule: every task as early as its turn, and a pair of hands, allow. Hours count from the first task.

A free person goes on with the panel worked on last, then takes what has the least slack on the critical path. Slack
told to the shop is that of this schedule: `slack` counts a person's next task among those that wait for one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from soundmetal.calc.network import Activity, schedule
from soundmetal.scope.network import Node


@dataclass
class _Hand:
    """One person: free from this hour on, the panel worked on last, and the tasks done, in their order."""

    free_h: float
    panel: str
    tasks: list[str]


@dataclass(frozen=True)
class Turns:
    """The schedule: start and end of every task [h], and what each person does one after the other.

    Tasks that need nobody, outside work and tasks without hours, are in no person's row.
    """

    times: Mapping[str, tuple[float, float]]
    rows: tuple[tuple[str, ...], ...]

    @property
    def before(self) -> dict[str, str]:
        """What the same person does right before a task; a person's first task is left out."""
        return {then: first for row in self.rows for first, then in pairwise(row)}


def turns(nodes: Sequence[Node], after: Mapping[str, Sequence[str]], crew: int) -> Turns:
    """Give the schedule of a crew: no more tasks at once than there are people; outside work needs nobody.

    `after` names what each task waits for. ValueError where that goes in a circle.
    """
    names = [node.id for node in nodes]
    path = schedule(_hours(nodes), after)
    rank = {name: (path[name].latest_start, place) for place, name in enumerate(names)}
    waits, followers = _links(names, after)
    ready_h = dict.fromkeys(names, 0.0)
    by_name = dict(zip(names, nodes, strict=True))
    ready = [name for name in names if not waits[name]]
    hands, done = [_Hand(0.0, "", []) for _ in range(crew)], dict[str, tuple[float, float]]()
    while ready:
        hand = min(hands, key=lambda h: h.free_h)
        name, start = _next(ready, by_name, ready_h, rank, hand)
        node = by_name[name]
        end = start + node.hours
        done[name] = (start, end)
        if _takes_hands(node):
            hand.free_h, hand.panel = end, node.panel
            hand.tasks.append(name)
        ready.remove(name)
        for follower in followers[name]:
            waits[follower] -= 1
            ready_h[follower] = max(ready_h[follower], end)
            if not waits[follower]:
                ready.append(follower)
    return Turns(done, tuple(tuple(hand.tasks) for hand in hands))


def slack(nodes: Sequence[Node], after: Mapping[str, Sequence[str]], found: Turns) -> dict[str, Activity]:
    """Give the floats of every task in this very schedule: by how much it may slip while each keeps to their order.

    A task waits for what the same person does right before it as for anything else, so total float is by how much it
    may slip without moving the end, free float without moving any other task (critical path of the levelled network,
    textbook). Somebody else taking a task over could leave more room; that is another schedule.
    """
    before = found.before
    waits = {node.id: (*after[node.id], *((before[node.id],) if node.id in before else ())) for node in nodes}
    return schedule(_hours(nodes), waits)


def starts(nodes: Sequence[Node], after: Mapping[str, Sequence[str]], crew: int) -> dict[str, tuple[float, float]]:
    """Give start and end of every task [h]; see `turns`."""
    return dict(turns(nodes, after, crew).times)


def _hours(nodes: Sequence[Node]) -> dict[str, float]:
    return {node.id: node.hours for node in nodes}


def _links(names: Sequence[str], after: Mapping[str, Sequence[str]]) -> tuple[dict[str, int], dict[str, list[str]]]:
    followers: dict[str, list[str]] = {name: [] for name in names}
    for name in names:
        for before in after[name]:
            followers[before].append(name)
    return {name: len(after[name]) for name in names}, followers


def _next(
    ready: Sequence[str],
    nodes: Mapping[str, Node],
    ready_h: Mapping[str, float],
    rank: Mapping[str, tuple[float, int]],
    hand: _Hand,
) -> tuple[str, float]:
    """The task to take next and its start: the earliest, then the same panel, then the least slack."""

    def key(name: str) -> tuple[float, bool, tuple[float, int]]:
        start = max(ready_h[name], hand.free_h) if _takes_hands(nodes[name]) else ready_h[name]
        return start, nodes[name].panel != hand.panel, rank[name]

    best = min(ready, key=key)
    return best, key(best)[0]


def _takes_hands(node: Node) -> bool:
    return bool(node.hours) and not node.away

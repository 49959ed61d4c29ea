"""A crew's schedule: every task as early as its turn, and a pair of hands, allow. Hours count from the first task.

A free person goes on with the panel worked on last, then takes what has the least slack on the critical path.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from soundmetal.calc.network import schedule
from soundmetal.scope.network import Node


@dataclass
class _Hand:
    """One person: free from this hour on, and the panel worked on last."""

    free_h: float = 0.0
    panel: str = ""


def starts(nodes: Sequence[Node], after: Mapping[str, Sequence[str]], crew: int) -> dict[str, tuple[float, float]]:
    """Give start and end of every task, no more tasks at once than there are people; outside work needs nobody.

    `after` names what each task waits for. ValueError where that goes in a circle.
    """
    names = [node.id for node in nodes]
    slack = schedule(dict(zip(names, (node.hours for node in nodes), strict=True)), after)
    rank = {name: (slack[name].latest_start, place) for place, name in enumerate(names)}
    waits, followers = _links(names, after)
    ready_h = dict.fromkeys(names, 0.0)
    by_name = dict(zip(names, nodes, strict=True))
    ready = [name for name in names if not waits[name]]
    hands, done = [_Hand() for _ in range(crew)], dict[str, tuple[float, float]]()
    while ready:
        name, start = _next(ready, by_name, ready_h, rank, min(hands, key=lambda h: h.free_h))
        node = by_name[name]
        end = start + node.hours
        done[name] = (start, end)
        if _takes_hands(node):
            hand = min(hands, key=lambda h: h.free_h)
            hand.free_h, hand.panel = end, node.panel
        ready.remove(name)
        for follower in followers[name]:
            waits[follower] -= 1
            ready_h[follower] = max(ready_h[follower], end)
            if not waits[follower]:
                ready.append(follower)
    return done


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

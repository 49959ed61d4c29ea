"""The network of tasks that one car makes of the order of work: who waits for whom, and by which rule."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from soundmetal.calc.network import in_order
from soundmetal.car.models import Zone
from soundmetal.data import DATA
from soundmetal.errors import Place, SettingsError
from soundmetal.scope.models import Blank
from soundmetal.scope.order_rules import ALL, FILE, Rule, order_rules

#: Stages between which an access shared by several panels is open: taken, first used, last used, put back.
ACCESS, FIRST, LAST, BACK = "access", "strip", "wax", "refit"
#: The rule that an access shared by several panels goes by, and the one by which it is closed again.
OPENED, CLOSED = "H1", "O18"
#: Parts of a zone's id that tell layers of one place apart.
LAYERS = ("inner", "outer")


@dataclass(frozen=True)
class Node:
    """One stage of one panel (or of the car, panel empty) with its hours; outside work counts days away instead.

    `blanks` are what is cut there, where the stage's words tell a measure of it.
    """

    stage: str
    panel: str
    hours: float
    findings: tuple[str, ...] = ()
    work: str = ""
    away: bool = False
    blanks: tuple[Blank, ...] = ()

    @cached_property
    def id(self) -> str:
        """Its name in the network."""
        return "/".join(part for part in (self.panel, self.stage, self.work) if part)


@dataclass(frozen=True)
class Link:
    """One task waits for another, by a rule."""

    then: str
    before: str
    rule: str


def bay(zone_id: str) -> str:
    """Give the place of a zone without its layer.

    >>> bay("rocker.left.outer")
    'rocker.left'
    """
    return ".".join(part for part in zone_id.split(".") if part not in LAYERS)


def side_order(zone_id: str) -> tuple[str, int]:
    """Give a zone's id without its side, and 0 for left, 1 for right, -1 where it has none.

    >>> side_order("rocker.right.outer")
    ('rocker.outer', 1)
    """
    parts = zone_id.split(".")
    side = next((n for n, name in enumerate(("left", "right")) if name in parts), -1)
    return ".".join(part for part in parts if part not in ("left", "right")), side


def edges(nodes: Sequence[Node], zones: Sequence[Zone]) -> dict[str, tuple[str, ...]]:
    """Give what every task waits for; see `links`."""
    return waits_of(nodes, links(nodes, zones))


def waits_of(nodes: Sequence[Node], made: Iterable[Link]) -> dict[str, tuple[str, ...]]:
    """Turn links into what every task waits for, each once, in their order."""
    after: dict[str, dict[str, None]] = {node.id: {} for node in nodes}
    for link in made:
        after[link.then][link.before] = None
    return {name: tuple(before) for name, before in after.items()}


def links(nodes: Sequence[Node], zones: Sequence[Zone]) -> tuple[Link, ...]:
    """Give every precedence of this car. Stages without a task are passed over.

    A soft rule between panels is dropped where it would make a circle; SettingsError where hard ones do, with the
    tasks and their findings.
    """
    made = [*_by_stage(nodes), *_shared_access(nodes, zones)]
    rules = order_rules().between
    made += [link for rule in rules if rule.kind == "hard" for link in _pairs(rule, nodes, zones)]
    if circle := _circle(nodes, made):
        ids = sorted({finding for node in nodes if node.id in circle for finding in node.findings})
        raise SettingsError(
            f"{circle} (findings {', '.join(ids) or 'none'})", place=Place(DATA / FILE, key="rules"),
            todo="Correct the rules of these stages.",
        )  # fmt: skip
    for rule in rules:
        if rule.kind == "soft":
            wished = list(_pairs(rule, nodes, zones))
            made += [] if _circle(nodes, [*made, *wished]) else wished
    return tuple(made)


def _circle(nodes: Sequence[Node], made: Iterable[Link]) -> str:
    """Name the tasks that wait for each other in a circle; empty where none do."""
    try:
        in_order({node.id: node.hours for node in nodes}, waits_of(nodes, made))
    except ValueError as error:
        return str(error)
    return ""


def _shared_access(nodes: Sequence[Node], zones: Sequence[Zone]) -> Iterator[Link]:
    """One panel carries the access of its group: the others begin after it, and it is put back after them."""
    group = {zone.id: zone.access for zone in zones}
    carriers = {group.get(n.panel, n.panel): n.panel for n in nodes if n.stage == ACCESS}
    by_id = {node.id: node for node in nodes}
    for node in nodes:
        carrier = carriers.get(group.get(node.panel, node.panel), node.panel)
        if carrier == node.panel or node.away:
            continue
        if node.stage == FIRST:
            yield Link(node.id, f"{carrier}/{ACCESS}", OPENED)
        if node.stage == LAST and f"{carrier}/{BACK}" in by_id:
            yield Link(f"{carrier}/{BACK}", node.id, CLOSED)


def _pairs(rule: Rule, nodes: Sequence[Node], zones: Sequence[Zone]) -> Iterator[Link]:
    roles = {zone.id: zone.role for zone in zones}
    later = [n for n in nodes if n.stage == rule.then and roles.get(n.panel) in rule.then_roles]
    first = [n for n in nodes if n.stage == rule.before and roles.get(n.panel) in rule.before_roles]
    return (
        Link(a.id, b.id, rule.id)
        for a in later
        for b in first
        if a.panel != b.panel and _matches(rule, a.panel, b.panel)
    )


def _matches(rule: Rule, later: str, first: str) -> bool:
    if rule.of == "bay":
        return bay(later) == bay(first)
    (part, side), (other, other_side) = side_order(later), side_order(first)
    if rule.of == "side":
        return side == other_side or -1 in (side, other_side)
    return part == other and side == 1 and other_side == 0


def _by_stage(nodes: Sequence[Node]) -> Iterator[Link]:
    present: dict[str, list[Node]] = {}
    for node in nodes:
        present.setdefault(node.stage, []).append(node)
    for node in nodes:
        for rule in order_rules().waits[node.stage]:
            for name in _standing(rule, node.panel, present):
                yield Link(node.id, name, rule.id)


def _standing(rule: Rule, panel: str, present: Mapping[str, Sequence[Node]]) -> list[str]:
    """The nearest tasks before a stage; where a panel has none in the stage before, what that stage waits for."""
    here = present.get(rule.before, ())
    tasks = [n.id for n in here if rule.of == ALL or n.panel in (panel, "")]
    if tasks:
        return tasks
    passed = (name for other in order_rules().waits[rule.before] for name in _standing(other, panel, present))
    return list(dict.fromkeys(passed))

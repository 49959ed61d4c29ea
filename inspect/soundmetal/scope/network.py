"""The order of work read from `data/order.yaml`, and the network of tasks that one car makes of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from soundmetal.calc.network import in_order
from soundmetal.car.models import Role, Zone
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError

FILE = "order.yaml"
CAR, PANEL, AWAY = "car", "panel", "away"
#: Stages between which an access shared by several panels is open: taken, first used, last used, put back.
ACCESS, FIRST, LAST, BACK = "access", "strip", "wax", "refit"
#: Parts of a zone's id that tell layers of one place apart.
LAYERS = ("inner", "outer")


class Known(BaseModel):
    """Base of the models of this file."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Stage(Known):
    """One stage of the work: for the car, for each panel, or away from the shop."""

    level: Literal["car", "panel", "away"]
    text: str
    operations: dict[str, Annotated[float, Field(gt=0, le=1)]]
    after: dict[str, Literal["same", "all"]]
    source: str
    when: Literal["before metal", "after metal"] | None = None
    only_after: str = ""


class Between(Known):
    """A precedence between two panels: of one bay, or of the car's two sides."""

    stage: str
    roles: tuple[Role, ...]
    after_stage: str
    after_roles: tuple[Role, ...]
    match: Literal["bay", "sides"]
    kind: Literal["hard", "soft"]
    source: str


class Order(Known):
    """All of `order.yaml`."""

    stages: dict[str, Stage]
    between: tuple[Between, ...]

    @model_validator(mode="after")
    def _known_and_without_a_circle(self) -> Order:
        named = [name for stage in self.stages.values() for name in (*stage.after, stage.only_after) if name]
        named += [name for rule in self.between for name in (rule.stage, rule.after_stage)]
        for name in named:
            if name not in self.stages:
                raise ValueError(f'there is no stage "{name}"')
        in_order(dict.fromkeys(self.stages, 1.0), {name: tuple(stage.after) for name, stage in self.stages.items()})
        return self


@cache
def order_rules() -> Order:
    """Read and check the file once. SettingsError names the key that is wrong.

    >>> list(order_rules().stages)[:3]
    ['prepare', 'access', 'strip']
    """
    try:
        return Order.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct the file.") from error


@dataclass(frozen=True)
class Node:
    """One stage of one panel (or of the car, panel empty) with its hours; outside work counts days away instead."""

    stage: str
    panel: str
    hours: float
    findings: tuple[str, ...] = ()
    work: str = ""
    away: bool = False

    @cached_property
    def id(self) -> str:
        """Its name in the network."""
        return "/".join(part for part in (self.panel, self.stage, self.work) if part)


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
    """Give what every task waits for. Stages without a task are passed over; soft rules are dropped in a circle."""
    hard = _by_stage(nodes)
    _add(hard, _shared_access(nodes, zones))
    for rule in order_rules().between:
        if rule.kind == "hard":
            _add(hard, _pairs(rule, nodes, zones))
    soft = {name: list(before) for name, before in hard.items()}
    for rule in order_rules().between:
        if rule.kind == "soft":
            _add(soft, _pairs(rule, nodes, zones))
    durations = {node.id: node.hours for node in nodes}
    try:
        in_order(durations, soft)
    except ValueError:
        soft = hard
    return {name: tuple(dict.fromkeys(before)) for name, before in soft.items()}


def _add(after: dict[str, list[str]], pairs: Iterator[tuple[str, str]]) -> None:
    for one, other in pairs:
        after[one].append(other)


def _shared_access(nodes: Sequence[Node], zones: Sequence[Zone]) -> Iterator[tuple[str, str]]:
    """One panel carries the access of its group: the others begin after it, and it is put back after them."""
    group = {zone.id: zone.access for zone in zones}
    carriers = {group.get(n.panel, n.panel): n.panel for n in nodes if n.stage == ACCESS}
    by_id = {node.id: node for node in nodes}
    for node in nodes:
        carrier = carriers.get(group.get(node.panel, node.panel), node.panel)
        if carrier == node.panel or node.away:
            continue
        if node.stage == FIRST:
            yield node.id, f"{carrier}/{ACCESS}"
        if node.stage == LAST and f"{carrier}/{BACK}" in by_id:
            yield f"{carrier}/{BACK}", node.id


def _pairs(rule: Between, nodes: Sequence[Node], zones: Sequence[Zone]) -> Iterator[tuple[str, str]]:
    roles = {zone.id: zone.role for zone in zones}
    later = [n for n in nodes if n.stage == rule.stage and roles.get(n.panel) in rule.roles]
    first = [n for n in nodes if n.stage == rule.after_stage and roles.get(n.panel) in rule.after_roles]
    return ((a.id, b.id) for a in later for b in first if a.panel != b.panel and _matches(rule, a.panel, b.panel))


def _matches(rule: Between, later: str, first: str) -> bool:
    if rule.match == "bay":
        return bay(later) == bay(first)
    (part, side), (other, other_side) = side_order(later), side_order(first)
    return part == other and side == 1 and other_side == 0


def _by_stage(nodes: Sequence[Node]) -> dict[str, list[str]]:
    present: dict[str, list[Node]] = {}
    for node in nodes:
        present.setdefault(node.stage, []).append(node)
    return {node.id: [n.id for n in _waits_for(node.stage, node.panel, present)] for node in nodes}


def _waits_for(stage: str, panel: str, present: dict[str, list[Node]]) -> list[Node]:
    """The nearest tasks before a stage; where a panel has none in the stage before, what that stage waits for."""
    found: list[Node] = []
    for name, which in order_rules().stages[stage].after.items():
        here = present.get(name, [])
        tasks = here if which == "all" else [n for n in here if n.panel in (panel, "")]
        found += tasks or _waits_for(name, panel, present)
    return list({node.id: node for node in found}.values())

"""What a rule may ask of a finding. The rules and rule books say it as data; this is the only place that reads it.

An empty list or nothing at all means *not asked*. All that is asked must be true for the case to hold.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from soundmetal.car.models import Role, Zone
from soundmetal.grade.models import Level, MetalLeft
from soundmetal.record.models import Finding
from soundmetal.record.terms import Basis, Mounting, Probe, RepairKind, RepairState, Seen

Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]


class Known(BaseModel):
    """Base of the grading data: frozen, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class When(Known):
    """One case of a rule. `rules` are ids of other rules that hold; `known_by` is how metal left is known."""

    seen: tuple[Seen, ...] = ()
    probe: tuple[Probe, ...] = ()
    roles: tuple[Role, ...] = ()
    basis: tuple[Basis, ...] = ()
    repair_kind: tuple[RepairKind, ...] = ()
    repair_state: tuple[RepairState, ...] = ()
    mounting: tuple[Mounting, ...] = ()
    known_by: tuple[str, ...] = ()
    levels: tuple[Level, ...] = ()
    rules: tuple[str, ...] = ()
    cracked: bool | None = None
    frame_part: bool | None = None
    near: bool | None = None
    distance_known: bool | None = None
    book_has_distance: bool | None = None
    filled: bool | None = None
    over_hole: bool | None = None
    repair_not_accepted: bool | None = None
    past_limit: bool | None = None
    loss_at_least: Share | None = None
    loss_under: Share | None = None


@dataclass(frozen=True)
class Nearness:
    """Whether a mounting's distance is kept. `mounting` is the one that counts, None if there is none."""

    near: bool
    distance_known: bool
    book_has_distance: bool
    mounting: Mounting | None = None
    distance_mm: float | None = None


@dataclass(frozen=True)
class Case:
    """Everything that a rule may ask about, for one finding."""

    finding: Finding
    zone: Zone
    metal: MetalLeft
    loss: float
    limit: float
    past_limit: bool
    nearness: Nearness
    not_accepted: tuple[RepairKind, ...]
    basis: Basis | None = None
    filled: bool = False
    held: tuple[str, ...] = ()
    level: Level | None = None


def _kind(case: Case) -> RepairKind | None:
    return case.finding.repair.kind if case.finding.repair else None


_LISTS: dict[str, Callable[[Case], object]] = {
    "seen": lambda c: c.finding.seen,
    "probe": lambda c: c.finding.probe,
    "roles": lambda c: c.zone.role,
    "basis": lambda c: c.basis,
    "repair_kind": _kind,
    "repair_state": lambda c: c.finding.repair.state if c.finding.repair else None,
    "mounting": lambda c: c.nearness.mounting,
    "known_by": lambda c: c.metal.by,
    "levels": lambda c: c.level,
}
_FLAGS: dict[str, Callable[[Case], bool]] = {
    "cracked": lambda c: c.finding.cracked,
    "frame_part": lambda c: c.zone.frame_part,
    "near": lambda c: c.nearness.near,
    "distance_known": lambda c: c.nearness.distance_known,
    "book_has_distance": lambda c: c.nearness.book_has_distance,
    "filled": lambda c: c.filled,
    "over_hole": lambda c: bool(c.finding.repair and c.finding.repair.over_hole),
    "repair_not_accepted": lambda c: _kind(c) in c.not_accepted,
    "past_limit": lambda c: c.past_limit,
}


def holds(when: When, case: Case) -> bool:
    """Tell whether all that `when` asks is true of `case`."""
    return (
        all(get(case) in getattr(when, name) for name, get in _LISTS.items() if getattr(when, name))
        and all(get(case) is getattr(when, name) for name, get in _FLAGS.items() if getattr(when, name) is not None)
        and (not when.rules or any(rule in case.held for rule in when.rules))
        and (when.loss_at_least is None or case.loss >= when.loss_at_least)
        and (when.loss_under is None or case.loss < when.loss_under)
    )

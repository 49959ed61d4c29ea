"""Level of a finding: every rule is asked, the most severe that holds decides, the others are kept beside it."""

from __future__ import annotations

import string
from dataclasses import dataclass, replace
from functools import cache

from soundmetal.errors import SettingsError
from soundmetal.grade.metal import loss_of
from soundmetal.grade.models import Level, Step
from soundmetal.grade.rules import LevelRule, worst_first
from soundmetal.grade.when import Case, holds


@dataclass(frozen=True)
class Verdict:
    """The level, the rule that decided, the others that hold, and the sentence of each, the deciding one first."""

    level: Level
    rule: str
    also: tuple[str, ...]
    why: tuple[Step, ...]


@cache
def _fields(text: str) -> tuple[str, ...]:
    return tuple(name for _literal, name, _spec, _conversion in string.Formatter().parse(text) if name)


def _values(case: Case) -> dict[str, object]:
    """All that a rule's sentence may name. What a case does not have is left out."""
    near, repair = case.nearness, case.finding.repair
    values: dict[str, object | None] = {
        "loss_share": case.loss,
        "least_loss_share": loss_of(case.metal.share.high),
        "limit_share": case.limit,
        "distance_mm": near.distance_mm,
        "mounting_word": near.mounting.value if near.mounting else None,
        "repair_word": repair.kind.value if repair else None,
    }
    return {name: value for name, value in values.items() if value is not None}


def _said(text: str, case: Case, rule_id: str) -> Step:
    values = _values(case)
    try:
        return Step(text, {name: values[name] for name in _fields(text)}, rule_id)
    except KeyError as error:
        raise SettingsError(
            f"rule {rule_id} names {error} where it is not known", todo="Correct rules.yaml."
        ) from error


def _asked(rule: LevelRule, case: Case) -> Step | None:
    """The sentence of the rule's first case that holds, None if none does."""
    return next((_said(one.says, case, rule.id) for one in rule.cases if holds(one, case)), None)


def verdict(case: Case) -> Verdict:
    """Decide the level of a finding. Raises SettingsError if no rule holds, which complete rules never allow."""
    told: dict[str, Step] = {}
    for leans in (False, True):  # rules that lean on other rules are asked after those
        for rule in worst_first():
            if any(one.rules for one in rule.cases) is leans:
                step = _asked(rule, replace(case, held=tuple(told)))
                if step:
                    told[rule.id] = step
    held = [rule for rule in worst_first() if rule.id in told]
    if not held:
        raise SettingsError(f"no rule fits finding {case.finding.id}", todo="Complete the levels in rules.yaml.")
    first, *others = held
    return Verdict(first.level, first.id, tuple(r.id for r in others), tuple(told[r.id] for r in held))

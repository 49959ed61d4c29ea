"""What changed between two offers, and which of the owner's answers still hold: two snapshots in, a list out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from soundmetal.record.models import Answer
from soundmetal.record.offer import Offer, OfferedPanel
from soundmetal.record.terms import Aim


class Why(StrEnum):
    """Why an owner is asked again."""

    NEW = "new"
    FOUND = "found more"
    METHOD = "other method"
    PRICE = "dearer than was said"


@dataclass(frozen=True)
class FindingChange:
    """One finding that is not what it was; `levels` before and now, empty where it was not there."""

    finding: str
    why: tuple[Why, ...]
    levels: tuple[str, str]


@dataclass(frozen=True)
class Added:
    """What a later offer adds in one aim (negative: saves), expected and at both ends of the range."""

    hours: tuple[float, float, float]
    price: tuple[Decimal, Decimal, Decimal]
    days: tuple[float, float, float]


@dataclass(frozen=True)
class Changes:
    """All that differs; `gone` were findings and are none any more; `same` are those that nothing happened to."""

    changed: tuple[FindingChange, ...]
    gone: tuple[str, ...]
    same: tuple[str, ...]
    added: Mapping[Aim, Added]

    @property
    def ask(self) -> tuple[str, ...]:
        """Findings that the owner is asked about again."""
        return tuple(one.finding for one in self.changed)


def changes(before: Offer, now: Offer, aim: Aim | None = None) -> Changes:
    """Compare two offers of one inspection under an aim (that of the later one where None is named)."""
    aim = aim or now.aim
    found = {name: _why(before, now, name, aim) for name in now.findings}
    changed = tuple(FindingChange(name, why, _levels(before, now, name)) for name, why in found.items() if why)
    return Changes(
        changed,
        gone=tuple(name for name in before.findings if name not in now.findings),
        same=tuple(name for name, why in found.items() if not why),
        added={each: _added(before, now, each) for each in Aim},
    )


def holding(answers: Mapping[str, Answer], before: Offer, now: Offer, aim: Aim | None = None) -> dict[str, Answer]:
    """Give the answers that still hold: nothing was found there since, the work is the same, and not dearer."""
    same = set(changes(before, now, aim).same)
    return {name: answer for name, answer in answers.items() if name in same}


def _why(before: Offer, now: Offer, name: str, aim: Aim) -> tuple[Why, ...]:
    then = before.findings.get(name)
    if then is None:
        return (Why.NEW,)
    today = now.findings[name]
    why = [Why.FOUND] if (then.mark, then.zone, then.level) != (today.mark, today.zone, today.level) else []
    was, is_ = _panel(before, name, aim), _panel(now, name, aim)
    if (was.method if was else "") != (is_.method if is_ else ""):
        why.append(Why.METHOD)
    if was and is_ and is_.price.likely > was.price.high:
        why.append(Why.PRICE)
    return tuple(why)


def _panel(offer: Offer, name: str, aim: Aim) -> OfferedPanel | None:
    return offer.aims[aim].panels.get(offer.panel_of(name, aim))


def _levels(before: Offer, now: Offer, name: str) -> tuple[str, str]:
    then = before.findings.get(name)
    return (then.level if then else "", now.findings[name].level)


def _added(before: Offer, now: Offer, aim: Aim) -> Added:
    then, today = before.aims[aim], now.aims[aim]
    return Added(
        hours=(
            today.hours.low - then.hours.low,
            today.hours.likely - then.hours.likely,
            today.hours.high - then.hours.high,
        ),
        price=(
            today.price.low - then.price.low,
            today.price.likely - then.price.likely,
            today.price.high - then.price.high,
        ),
        days=(
            today.days.low - then.days.low,
            today.days.likely - then.days.likely,
            today.days.high - then.days.high,
        ),
    )

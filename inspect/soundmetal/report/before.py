"""The state that the owner answered, as a later report needs it: what was asked, when, how the steel was."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from soundmetal.car.models import Body
from soundmetal.folder.states import State, newest
from soundmetal.grade.books import RuleBook
from soundmetal.grade.car import grade_car
from soundmetal.grade.models import Graded
from soundmetal.record.models import Inspection
from soundmetal.record.offer import Offer


@dataclass(frozen=True)
class Before:
    """One answered state: its number, the days it was sent and last answered, what it asked.

    `graded` are its findings graded again from the record that was frozen with it, for the drawings of the steel; the
    levels that the owner was told stand in the offer.
    """

    number: int
    sent: dt.date
    answered: dt.date
    offer: Offer
    graded: Mapping[str, Graded] = field(default_factory=dict)


def before_of(sent: Sequence[State], body: Body, book: RuleBook) -> Before | None:
    """Give the newest state that was answered; None where none was."""
    state = newest(sent, answered=True)
    if state is None:
        return None
    answered = max(one.date for one in state.mark.returned)
    return Before(state.number, state.mark.sent, answered, state.offer, _graded(state.record, body, book))


def _graded(record: Inspection, body: Body, book: RuleBook) -> dict[str, Graded]:
    """Grade the findings of then; one in a part that the body has no longer (it was another body) has no drawing."""
    kept = tuple(finding for finding in record.findings if finding.zone in body.by_id)
    grades = grade_car(record.model_copy(update={"findings": kept}), body, book)
    return {graded.finding.id: graded for graded in grades.findings}

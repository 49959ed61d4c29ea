"""All that a page may tell: one finished inspection with everything computed, handed to the report as one thing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from soundmetal.car.models import Body
from soundmetal.folder.states import State
from soundmetal.folder.store import Stored
from soundmetal.grade.books import RuleBook
from soundmetal.grade.models import Grades
from soundmetal.photos.album import Album
from soundmetal.record.changes import Changes, changes
from soundmetal.record.models import Inspection
from soundmetal.record.offer import Offer
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Aim
from soundmetal.report.before import Before
from soundmetal.scope.models import Scope
from soundmetal.scope.offer import offer_of


@dataclass(frozen=True)
class Job:
    """One inspection worked out: the record, its photographs, grades, and the work for each of the three aims."""

    folder: Path
    inspection: Inspection
    body: Body
    shop: ShopBook
    book: RuleBook
    album: Album
    grades: Grades
    scopes: Mapping[Aim, Scope]
    #: The record as it lies on the disk; None for a job that was made of something else.
    stored: Stored | None = None
    #: The states that the owner was sent, oldest first.
    sent: tuple[State, ...] = ()
    #: The newest of them that was answered; None where none was.
    before: Before | None = None

    @cached_property
    def offer(self) -> Offer:
        """What the owner is asked; only of a job that does not heed the answers."""
        return offer_of(self.inspection, self.body, self.grades, self.scopes)

    @cached_property
    def amended(self) -> Changes | None:
        """What changed since the owner answered; None where nothing did, or nothing was ever answered.

        A state of another inspection, or in another currency, is none to compare with: then all is told and asked.
        """
        if self.before is None:
            return None
        then, now = self.before.offer, self.offer
        if (then.inspection, then.currency) != (now.inspection, now.currency) or then.digest == now.digest:
            return None
        found = changes(then, now)
        return found if found.changed or found.gone else None

    @property
    def scope(self) -> Scope:
        """The work for the aim that the owner chose."""
        return self.scopes[self.inspection.aim]


def asked_of(job: Job) -> tuple[str, ...]:
    """Name the findings that the owner is asked about: all, or after an answer what changed or is still open."""
    asked, amended = job.offer.asked, job.amended
    if amended is None:
        return asked
    return tuple(name for name in asked if name in amended.ask or name not in job.inspection.answers)

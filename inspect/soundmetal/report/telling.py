"""One telling of a job to one reader: the job, the reader's language, and what all pages share."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from soundmetal.car.models import Zone
from soundmetal.grade.models import Graded, Level
from soundmetal.record.models import Vehicle
from soundmetal.report.form import FormNames
from soundmetal.report.job import Job, asked_of
from soundmetal.report.language import Language, language
from soundmetal.report.sentences import Sentences, sentences
from soundmetal.scope.offer import touches_safety


@dataclass(frozen=True)
class Telling:
    """A job and the language it is told in."""

    job: Job
    lang: Language
    words: Sentences

    @cached_property
    def form(self) -> FormNames:
        """Names of the form's fields for what the owner is asked here."""
        return FormNames.of(self.job.offer)

    @cached_property
    def told(self) -> tuple[Graded, ...]:
        """The findings that get a page of their own: all but earlier repairs that are sound."""
        return tuple(g for g in self.job.grades.findings if g.level is not Level.SOUND)

    @cached_property
    def asked(self) -> frozenset[str]:
        """The findings that the owner is asked about in this report."""
        return frozenset(asked_of(self.job))

    @cached_property
    def full(self) -> tuple[Graded, ...]:
        """The findings that are told in full: all, or in an amendment what changed and what is still open."""
        amended = self.job.amended
        if amended is None:
            return self.told
        return tuple(g for g in self.told if g.finding.id in amended.ask or g.finding.id in self.asked)

    @cached_property
    def numbers(self) -> dict[str, int]:
        """The number of each finding in this report: worst first, sound repairs after them without a page."""
        return {graded.finding.id: number for number, graded in enumerate(self.told, start=1)}

    @property
    def foreign(self) -> str:
        """The language that the record's notes are written in, where the page speaks another; else empty."""
        stored = self.job.stored
        written = stored.inspection.language if stored else self.job.inspection.language
        return written if written != self.lang.code else ""

    def zone(self, zone_id: str) -> Zone:
        """The zone of the car's body."""
        return self.job.body.by_id[zone_id]

    def zone_name(self, zone_id: str) -> str:
        """The zone's name as a heading: capital first."""
        name = self.lang.zone(zone_id)
        return name[:1].upper() + name[1:]

    def plain(self, zone_id: str) -> str:
        """Say in one line what a part is, to somebody outside the trade."""
        return self.lang.own(self.zone(zone_id).plain)

    def safety(self, graded: Graded) -> bool:
        """Say whether a finding touches safety: unsafe, or spent steel that carries load or holds a mounting."""
        return touches_safety(graded, self.zone(graded.zone_id))


def telling(job: Job, code: str | None = None) -> Telling:
    """Make the telling of a job in a language; the record's own where none is named."""
    inspection = job.inspection
    step = job.shop.policies.round_to
    spoken = language(code or inspection.language, inspection.units, inspection.currency, round_to=step)
    names = {zone.id: spoken.own(zone.names) for zone in job.body.zones}
    return Telling(job, spoken.with_zones(names, _own_words(job, spoken.code)), sentences())


def _own_words(job: Job, code: str) -> dict[str, str]:
    """What the shop calls its operations, its outside work and what it uses up, by their English names."""
    shop = job.shop
    named = [one.name for one in shop.operations.values()]
    named += [one.name for one in shop.outside.values()]
    named += [one.name for one in shop.consumables.values()]
    return {name["en"]: name[code] for name in named if "en" in name and code in name}


def car_name(vehicle: Vehicle, lang: Language) -> str:
    """Name the car: year, make, model; "Car" where nothing is known."""
    parts = (str(vehicle.year) if vehicle.year else "", vehicle.make, vehicle.model)
    return " ".join(part for part in parts if part) or str(lang.text("Car"))


def anchor(finding_id: str) -> str:
    """The place in the document that links to a finding go to."""
    return f"finding-{finding_id}"


def ended(note: str) -> str:
    """Give a note a full stop where its writer set none.

    >>> ended("Bed liner glued down"), ended("Is it lead?")
    ('Bed liner glued down.', 'Is it lead?')
    """
    return note if not note or note.rstrip()[-1] in ".!?…)" else f"{note.rstrip()}."

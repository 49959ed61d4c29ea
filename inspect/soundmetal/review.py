"""What is missing in an inspection, or contradicts itself: one remark each, with what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any

from soundmetal.folder import yaml_text
from soundmetal.grade.car import grade_car
from soundmetal.grade.contradictions import contradictions, remarkable
from soundmetal.grade.models import Graded, Grades, Level
from soundmetal.photo_review import photo_remarks, rust_remarks
from soundmetal.photos.album import Album, Photo
from soundmetal.photos.groups import Offer
from soundmetal.pipeline import Loaded
from soundmetal.record.terms import Basis
from soundmetal.record.vin import check_digit_fits
from soundmetal.report.language import language
from soundmetal.scope.work import faults

#: Groups in the order in which they are told.
CONTRADICTIONS = "Contradictions"
ZONES = "Zones not looked at yet"
FINDINGS = "Findings that want more"
PHOTOGRAPHS = "Photographs"
CAR = "The car"
NOTES = "Worth knowing"


@dataclass(frozen=True)
class Remark:
    """One thing to look at: the group it is told in, what it is about, what is wrong, what to do.

    A note is worth knowing but does not make the inspection incomplete.
    """

    about: str
    where: str
    what: str
    todo: str = ""

    @property
    def note(self) -> bool:
        """Tell whether this is only worth knowing."""
        return self.about == NOTES

    def __str__(self) -> str:
        head = f"{self.where}: {self.what}" if self.where else self.what
        return f"{head.rstrip('.')}. {self.todo}".strip()

    def as_dict(self) -> dict[str, Any]:
        """Give it for JSON."""
        return asdict(self) | {"note": self.note}


def folded(remarks: Iterable[Remark]) -> tuple[Remark, ...]:
    """Tell notes that say the same of several places as one; what has to be done keeps a line for each place."""
    kept: dict[object, Remark] = {}
    for remark in remarks:
        key = (remark.what, remark.todo) if remark.note else remark
        first = kept.get(key)
        kept[key] = replace(first, where=f"{first.where}, {remark.where}") if first else remark
    return tuple(kept.values())


def review(loaded: Loaded, pictures: Album, *, rust: bool = False, advice: str = "en") -> tuple[Remark, ...]:
    """List everything missing or contradictory, contradictions first, and last what is only worth knowing.

    With `rust` the rusted shares that the photographs suggest are told as well; `advice` is the language in which
    it is said how to photograph better.
    """
    grades = grade_car(loaded.inspection, loaded.body, loaded.book)
    remarks = (
        *_contradictions(loaded),
        *_zones(loaded),
        *(remark for graded in grades.findings for remark in _finding(graded)),
        *_unmakeable(loaded, grades),
        *_photographs(loaded, pictures),
        *_pictures(loaded, pictures, rust=rust, advice=advice),
        *_car(loaded),
    )
    return tuple(sorted(remarks, key=lambda remark: remark.note))


def _contradictions(loaded: Loaded) -> Iterator[Remark]:
    record = loaded.inspection
    words = language("en", record.units, record.currency)
    words = words.with_zones({zone.id: zone.id for zone in loaded.body.zones})
    for step in contradictions(record, loaded.body):
        yield Remark(CONTRADICTIONS, "", words.sentence(step).unescape())
    for step in remarkable(record, loaded.body):
        yield Remark(NOTES, "", words.sentence(step).unescape())


def _zones(loaded: Loaded) -> Iterator[Remark]:
    """Name the checks that nobody answered; zones that could not be seen, or hold a finding, need no more."""
    record = loaded.inspection
    settled = {one.zone for one in record.not_seen} | {one.zone for one in record.findings}
    if record.basis is Basis.PHOTOS:
        return
    for zone in loaded.body.zones:
        if zone.id in settled:
            continue
        answers = record.zones.get(zone.id)
        missing = [c.value for c in zone.checks if answers is None or answers.result(c).value == "not done"]
        if missing:
            todo = "Write what it gave, or list the zone under not_seen with the reason."
            yield Remark(ZONES, zone.id, f"not done: {', '.join(missing)}", todo)


def _finding(graded: Graded) -> Iterator[Remark]:
    finding = graded.finding
    if not finding.photos:
        yield Remark(
            FINDINGS, finding.id, "has no photograph", f"Photograph {finding.zone} and name the file under photos."
        )
    unsettled = graded.level in {Level.THINNED, Level.SURFACE} and graded.metal_left.by != "measured"
    if unsettled and finding.repair is None:
        yield Remark(
            NOTES,
            finding.id,
            "judged by eye only",
            "A caliper reading on cleaned steel, and one on sound steel beside it, would settle it.",
        )
    for text in graded.metal_left.ignored:
        yield Remark(FINDINGS, finding.id, text, "Clean the spot to bare steel and read it again with a caliper.")


def _unmakeable(loaded: Loaded, grades: Grades) -> Iterator[Remark]:
    """Tell what the scope and the report would stop at, such as a section that cannot be bent."""
    for error in faults(loaded.inspection, loaded.body, loaded.shop, loaded.book, grades):
        yield Remark(FINDINGS, str(error.place), error.what, error.todo)


def _photographs(loaded: Loaded, pictures: Album) -> Iterator[Remark]:
    for bad in pictures.refused:
        yield Remark(PHOTOGRAPHS, bad.name, bad.why, bad.todo)
    for photo in pictures.unsure:
        others = [zone for zone, _score in photo.placed.best if zone != photo.placed.zone]
        perhaps = f" (perhaps {' or '.join(others)})" if others else ""
        todo = f"If that is right, write it under photos; if not, write the right one{perhaps}."
        yield Remark(
            PHOTOGRAPHS, photo.name, f"was placed at {photo.placed.zone} by a misspelt or doubtful tag", todo
        )
    offered = {offer.name: offer for offer in pictures.offers}
    for photo in pictures.unplaced:
        yield _unplaced(photo, offered.get(photo.name))
    for photo in pictures.photos:
        for note in photo.facts.notes:
            yield Remark(NOTES, photo.name, note)
    without = pictures.zones_without_photo
    if without:
        ask = (
            "The list for the owner: soundmetal check FOLDER --shots"
            if loaded.inspection.basis is Basis.PHOTOS
            else ""
        )
        yield Remark(NOTES, "", f"zones without a photograph, {len(without)}: {', '.join(without)}", ask)


def _unplaced(photo: Photo, offer: Offer | None) -> Remark:
    """Say what a photograph without a zone might show, and the line of the record that would settle it."""
    if offer:
        what = f"has no zone yet; suggested: {offer.zone}, taken between {offer.before} and {offer.after}"
        line = yaml_text.photo_line(photo.name, offer.zone)
        todo = f"If that is right, write under photos: {line} - or agree to all such: soundmetal place FOLDER --agree"
        return Remark(PHOTOGRAPHS, photo.name, what, todo)
    best = ", ".join(zone for zone, _score in photo.placed.best)
    todo = f"Perhaps {best}? " if best else ""
    if photo.placed.asks_driver:
        todo += "Its side is told by who sits there: write driver_sits: left or right under vehicle. "
        return Remark(PHOTOGRAPHS, photo.name, "belongs to no zone yet", todo + "Or write its zone under photos.")
    return Remark(PHOTOGRAPHS, photo.name, "belongs to no zone yet", f"{todo}Write its zone under photos.")


def _pictures(loaded: Loaded, pictures: Album, *, rust: bool, advice: str) -> Iterator[Remark]:
    """Tell of the photographs as pictures."""
    words = language(advice, loaded.inspection.units, loaded.inspection.currency)
    suggested = rust_remarks(loaded, pictures) if rust else ()
    for told in (*photo_remarks(loaded, pictures, words), *suggested):
        yield Remark(NOTES if told.note else PHOTOGRAPHS, told.where, told.what, told.todo)


def _car(loaded: Loaded) -> Iterator[Remark]:
    record = loaded.inspection
    if check_digit_fits(record.vehicle.identification) is False:
        yield Remark(
            CAR, "vehicle.identification", "its check digit (place 9) does not fit",
            "Read the plate again. Cars built for outside North America may carry none (ISO 3779 leaves it free).",
        )  # fmt: skip
    wanted = {
        "vehicle.year": record.vehicle.year, "vehicle.make": record.vehicle.make, "owner.name": record.owner.name,
        "inspector": record.inspector,
    }  # fmt: skip
    for key, value in wanted.items():
        if not value:
            yield Remark(NOTES, key, "left empty", "The report would show it.")

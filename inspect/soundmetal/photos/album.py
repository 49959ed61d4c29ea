"""All photographs of one inspection, tied together: files, facts, zones, copies, and everything that is missing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from soundmetal.car.models import Body
from soundmetal.photos import copies, covers, exif
from soundmetal.photos.copies import Copy, OnDone
from soundmetal.photos.exif import PhotoFacts
from soundmetal.photos.groups import Offer, Shot, offers
from soundmetal.photos.scan import Found, Refused, Scan, key, scan
from soundmetal.photos.tags import Matcher, Placed, place_by
from soundmetal.photos.uncovered import uncovered
from soundmetal.photos.vocabulary import vocabulary
from soundmetal.record.models import Inspection, PhotoNote


@dataclass(frozen=True)
class Photo:
    """One usable photograph: its key in the record, its content, what it says of itself, its zone, its copy."""

    name: str
    sha256: str
    facts: PhotoFacts
    placed: Placed
    copy: Copy


@dataclass(frozen=True)
class Album:
    """The photographs of an inspection, by name, and what does not add up.

    `refused`: files that cannot be used, or must not be shown as they are. `unplaced`: photographs without a zone.
    `unsure`: placed, but a person should look. `zones_without_photo` in the order of the walk round the car; zones
    that the record says nobody saw are left out. `findings_without_photo`: ids. `missing`: named in the record, not
    on disk. `left_out`: the record says so. `offers`: zones for photographs without one, by the order of time;
    suggestions, until somebody agrees.
    """

    photos: tuple[Photo, ...] = ()
    refused: tuple[Refused, ...] = ()
    unplaced: tuple[Photo, ...] = ()
    unsure: tuple[Photo, ...] = ()
    zones_without_photo: tuple[str, ...] = ()
    findings_without_photo: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    offers: tuple[Offer, ...] = ()

    @property
    def by_name(self) -> dict[str, Photo]:
        """Photographs by their name."""
        return {photo.name: photo for photo in self.photos}

    @property
    def complete(self) -> bool:
        """Whether every file could be used and every name was found."""
        return not self.refused and not self.missing


def album(
    source: Path | Scan, inspection: Inspection, body: Body, cache_dir: Path, on_done: OnDone | None = None
) -> Album:
    """Read a folder of photographs (or take its scan) for one inspection; make the copies that are not there yet.

    Originals are only read. Broken files are named and the rest go on. `on_done` hears how many copies of how many
    are done. Raises FolderError when the folder cannot be read, WriteError when the cache cannot be written,
    SettingsError when data is wrong.
    """
    seen = source if isinstance(source, Scan) else scan(source)
    notes = _notes(inspection)
    left_out = {name for name, note in notes.items() if note.leave_out}
    wanted = [found for found in seen.photos if found.name not in left_out]
    hidden = covers.by_photograph(inspection)
    prepared = copies.prepare(wanted, cache_dir, on_done=on_done, covered=hidden)
    cleared = {name for name, note in notes.items() if note.nothing_to_cover}
    held = uncovered(seen.photos, prepared.copies, hidden, cleared)
    reader = Matcher(body, vocabulary(), inspection.vehicle.driver_sits)
    usable = tuple(
        _photo(found, reader, notes.get(found.name), prepared.copies[found.name])
        for found in wanted
        if found.name in prepared.copies
    )
    photos = _without(held, usable)
    refused = sorted(
        (bad for bad in (*seen.refused, *prepared.refused, *held) if bad.name not in left_out),
        key=lambda bad: bad.name,
    )
    on_disk = {found.name for found in seen.photos} | {bad.name for bad in seen.refused}
    return Album(
        photos=photos,
        refused=tuple(refused),
        unplaced=tuple(photo for photo in photos if photo.placed.zone is None),
        unsure=tuple(photo for photo in photos if photo.placed.zone and not photo.placed.sure),
        zones_without_photo=_zones_without(usable, inspection, body),
        findings_without_photo=_findings_without(usable, inspection),
        missing=tuple(sorted(_named(inspection) - on_disk)),
        left_out=tuple(sorted(left_out & on_disk)),
        offers=_offers(photos, inspection),
    )


def _without(held: Iterable[Refused], usable: Iterable[Photo]) -> tuple[Photo, ...]:
    """Take the photographs away that are held back; their zones still count as photographed."""
    names = {one.name for one in held}
    return tuple(photo for photo in usable if photo.name not in names)


def _photo(found: Found, reader: Matcher, note: PhotoNote | None, copy: Copy) -> Photo:
    facts = exif.read(found.path)
    captions = (*facts.captions, found.caption) if found.caption else facts.captions
    placed = place_by(reader, found.name, facts.keywords, note, captions)
    return Photo(found.name, found.sha256, facts, placed, copy)


def _notes(inspection: Inspection) -> dict[str, PhotoNote]:
    """Say what the record says of each photograph; one that shows findings of a single zone shows that zone."""
    notes = {key(name): note for name, note in inspection.photos.items()}
    shown: dict[str, list[str]] = defaultdict(list)
    for finding in inspection.findings:
        for use in finding.photos:
            shown[key(use.file)].append(finding.zone)
    for name, zones in shown.items():
        note = notes.get(name, PhotoNote())
        if note.zone is None and len(set(zones)) == 1:
            notes[name] = note.model_copy(update={"zone": zones[0]})
    return notes


def _offers(photos: tuple[Photo, ...], inspection: Inspection) -> tuple[Offer, ...]:
    """Offer zones by the order of time; a photograph that shows findings of several zones needs none."""
    used = {key(use.file) for finding in inspection.findings for use in finding.photos}
    return offers(
        Shot(
            photo.name,
            f"{photo.facts.make} {photo.facts.model}".strip(),
            photo.facts.taken,
            photo.placed.zone if photo.placed.sure else None,
            photo.placed.zone is None and photo.name not in used,
            photo.placed.open_to,
        )
        for photo in photos
    )


def _named(inspection: Inspection) -> set[str]:
    uses = (use.file for finding in inspection.findings for use in finding.photos)
    return {key(name) for name in (*inspection.photos, *uses)}


def _zones_without(photos: tuple[Photo, ...], inspection: Inspection, body: Body) -> tuple[str, ...]:
    usable = {photo.name for photo in photos}
    has = {photo.placed.zone for photo in photos}
    has |= {f.zone for f in inspection.findings if any(key(use.file) in usable for use in f.photos)}
    has |= {entry.zone for entry in inspection.not_seen}
    return tuple(zone.id for zone in body.zones if zone.id not in has)


def _findings_without(photos: tuple[Photo, ...], inspection: Inspection) -> tuple[str, ...]:
    usable = {photo.name for photo in photos}
    return tuple(f.id for f in inspection.findings if not any(key(use.file) in usable for use in f.photos))

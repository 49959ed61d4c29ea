"""What `check` says of photographs as pictures: which to take again, which show the same, how much looks rusted."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from soundmetal.car.models import Zone
from soundmetal.errors import PhotoError
from soundmetal.grade.area import rusted_mm2
from soundmetal.photos import doubles
from soundmetal.photos.album import Album, Photo
from soundmetal.photos.doubles import Seen
from soundmetal.photos.quality import Kind, Problem
from soundmetal.photos.rust.share import Outline, rust_share
from soundmetal.photos.scan import key
from soundmetal.pipeline import Loaded
from soundmetal.record.models import CallOut, Finding, PhotoUse
from soundmetal.record.terms import MarkKind
from soundmetal.record.terms import Seen as WhatWasSeen
from soundmetal.report.language import Language
from soundmetal.report.shots import Retake

_LOOKS_RUSTED = frozenset({WhatWasSeen.SURFACE, WhatWasSeen.SCALE, WhatWasSeen.PITTED})


@dataclass(frozen=True)
class Told:
    """One thing to say: of which photograph or finding, what, what to do; a note where nothing is missing for it."""

    where: str
    what: str
    todo: str
    note: bool


def photo_remarks(loaded: Loaded, pictures: Album, words: Language) -> Iterator[Told]:
    """Judge every photograph and group those that show the same."""
    sizes = _sizes(loaded)
    seen = {photo.name: _seen(photo, sizes.get(photo.name)) for photo in pictures.photos}
    alone = _shown_by_nothing_better(loaded, seen)
    for name, judged in seen.items():
        for problem in judged.quality.problems:
            yield _problem(name, problem, words, note=name not in alone)
    for group in doubles.group(seen.values()):
        others = ", ".join(name for name in group.names if name != group.best)
        yield Told(group.best, f"shows the same as {others}", words.sentence(group.why).unescape(), note=True)


def retakes(loaded: Loaded, pictures: Album) -> tuple[Retake, ...]:
    """Name the zones whose photographs all have a fault, with advice for the next one, in the order of the walk."""
    sizes = _sizes(loaded)
    found: dict[str, list[tuple[Problem, ...]]] = {}
    for photo in pictures.photos:
        if photo.placed.zone:
            judged = _seen(photo, sizes.get(photo.name)).quality.problems
            found.setdefault(photo.placed.zone, []).append(tuple(judged))
    faulty = {zone: all_of[0][0].advice for zone, all_of in found.items() if all(all_of)}
    return tuple(Retake(zone.id, faulty[zone.id]) for zone in loaded.body.zones if zone.id in faulty)


def rust_remarks(loaded: Loaded, pictures: Album) -> Iterator[Told]:
    """Suggest a rusted share for every place that is outlined on a photograph and has none yet.

    Holes are left out: what has rusted away does not look rusted. A suggestion changes nothing by itself.
    """
    for finding in loaded.inspection.findings:
        if finding.rusted_share is None and finding.seen in _LOOKS_RUSTED:
            yield from _suggestion(finding, loaded.body.by_id[finding.zone], pictures.by_name)


def _seen(photo: Photo, size_mm: float | None) -> Seen:
    """Judge the copy that the pages use, by the pixels that the original has."""
    long_side = max(photo.facts.width or 0, photo.facts.height or 0) or None
    return doubles.seen(photo.name, photo.copy.path, size_mm, long_side_px=long_side)


def _sizes(loaded: Loaded) -> dict[str, float]:
    """Give the longer side of the largest finding that a photograph shows, in mm."""
    sizes: dict[str, float] = {}
    for finding in loaded.inspection.findings:
        side = max(finding.box_size or (math.sqrt(finding.area or 0.0),))
        for use in finding.photos:
            sizes[key(use.file)] = max(side, sizes.get(key(use.file), 0.0))
    return {name: side for name, side in sizes.items() if side > 0}


def _shown_by_nothing_better(loaded: Loaded, seen: Mapping[str, Seen]) -> frozenset[str]:
    """Name the photographs of findings that have no photograph without a fault: one of them has to be taken again."""
    found: set[str] = set()
    for finding in loaded.inspection.findings:
        names = [key(use.file) for use in finding.photos if key(use.file) in seen]
        if names and all(seen[name].quality.problems for name in names):
            found |= set(names)
    return frozenset(found)


def _problem(name: str, problem: Problem, words: Language, *, note: bool) -> Told:
    of = " pixels across a pinhole" if problem.kind is Kind.SMALL else ""
    what = f"{problem.kind.value} ({problem.value:.3g}{of}, the limit is {problem.limit:.3g})"
    return Told(name, what, words.sentence(problem.advice).unescape(), note)


def _suggestion(finding: Finding, zone: Zone, photos: Mapping[str, Photo]) -> Iterator[Told]:
    """Suggest a rusted share from the first outline of a finding."""
    outlined = next(((use, area) for use in finding.photos if (area := _outline(use))), None)
    photo = photos.get(key(outlined[0].file)) if outlined else None
    if outlined is None or photo is None:
        return
    try:
        share = rust_share(photo.copy.path, outlined[1])
    except PhotoError:
        return  # too small or too dark to say anything of; that the picture is dark has been told
    of_part = share.percent.likely * min(1.0, rusted_mm2(finding) / zone.area_mm2)
    what = (
        f"{share.percent.likely:.0f} % of the outline on {photo.name} looks rusted "
        f"({share.percent.low:.0f} to {share.percent.high:.0f} %; Ri {share.ri}, D610 {share.d610})"
    )
    todo = f"Look for yourself; to take it over write rusted_share: {of_part:.1f} (of the whole part)."
    yield Told(finding.id, what, todo, note=True)


def _outline(use: PhotoUse) -> Outline | None:
    """Give the first area that is marked on a photograph, as corners."""
    return next((corners for mark in use.marks if (corners := _corners(mark))), None)


def _corners(mark: CallOut) -> Outline | None:
    if mark.kind is MarkKind.POLYGON:
        return mark.points
    if mark.kind is MarkKind.BOX:
        (left, top), (right, bottom) = mark.points
        return ((left, top), (right, top), (right, bottom), (left, bottom))
    return None

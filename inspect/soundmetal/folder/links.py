"""Ids in the record that point nowhere, each with its line and the nearest right word."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from soundmetal.car.models import Body
from soundmetal.errors import LinkError, Several
from soundmetal.folder.store import Key, Stored
from soundmetal.words import did_you_mean


def check_links(stored: Stored, body: Body, photo_names: Collection[str]) -> None:
    """Raise LinkError (or Several) if a zone, finding or photograph that the record names does not exist."""
    problems = [*_zones(stored, body), *_findings(stored), *_photos(stored, photo_names)]
    problems.sort(key=lambda problem: problem.place.line)
    if len(problems) > 1:
        raise Several(problems)
    if problems:
        raise problems[0]


def check_spent(stored: Stored, operations: Collection[str]) -> None:
    """Raise LinkError (or Several) if hours are written for a finding or an operation that does not exist."""
    record, problems = stored.inspection, []
    ids = [finding.id for finding in record.findings]
    for name, hours in record.spent.items():
        if name not in ids:
            todo = did_you_mean(name, ids) or "Remove the hours or write the finding."
            problems.append(LinkError(f'no finding "{name}" for hours', place=stored.place("spent", name), todo=todo))
        for kind in hours:
            if kind not in operations:
                todo = did_you_mean(kind, operations) or f"There are: {', '.join(operations)}."
                at = stored.place("spent", name, kind)
                problems.append(LinkError(f'no operation "{kind}" in the shop book', place=at, todo=todo))
    if len(problems) > 1:
        raise Several(problems)
    if problems:
        raise problems[0]


def _zones(stored: Stored, body: Body) -> Iterator[LinkError]:
    record = stored.inspection
    named: list[tuple[str | None, tuple[Key, ...]]] = [(zone, ("zones", zone)) for zone in record.zones]
    named += [(one.zone, ("not_seen", i, "zone")) for i, one in enumerate(record.not_seen)]
    named += [(one.zone, ("findings", i, "zone")) for i, one in enumerate(record.findings)]
    named += [(note.zone, ("photos", name, "zone")) for name, note in record.photos.items()]
    for zone, loc in named:
        if zone is not None and zone not in body.by_id:
            yield LinkError(
                f'no zone "{zone}" on a {body.id} ({body.structure.value})',
                place=stored.place(*loc),
                todo=did_you_mean(zone, body.by_id) or f"See them all with: soundmetal zones {body.id}",
            )


def _findings(stored: Stored) -> Iterator[LinkError]:
    seen: dict[str, int] = {}
    for i, finding in enumerate(stored.inspection.findings):
        first = seen.setdefault(finding.id.casefold(), i)
        if first != i:
            yield LinkError(
                f'two findings have the id "{finding.id}"',
                place=stored.place("findings", i, "id"),
                todo="Give one another.",
            )
    ids = [finding.id for finding in stored.inspection.findings]
    for name in stored.inspection.answers:
        if name not in ids:
            todo = did_you_mean(name, ids) or "Remove the answer or write the finding."
            yield LinkError(f'no finding "{name}" to answer', place=stored.place("answers", name), todo=todo)


def _photos(stored: Stored, names: Collection[str]) -> Iterator[LinkError]:
    named: list[tuple[str, tuple[Key, ...]]] = [(name, ("photos", name)) for name in stored.inspection.photos]
    for i, finding in enumerate(stored.inspection.findings):
        named += [(use.file, ("findings", i, "photos", j, "file")) for j, use in enumerate(finding.photos)]
    for name, loc in named:
        if name not in names:
            todo = did_you_mean(name, names) or "Put it into the folder photos, or remove it here."
            yield LinkError(f'no photograph "{name}" in the folder photos', place=stored.place(*loc), todo=todo)

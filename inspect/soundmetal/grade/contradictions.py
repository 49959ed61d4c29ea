"""What in a record cannot be true together, or is missing so that a place cannot be judged: the list for `check`.

None of this stops the work; the grading takes the worse of two things that disagree. Only a thickness that no sheet
could have is an error in the record (`reading_problems`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from soundmetal.car.models import Body, Zone
from soundmetal.grade.area import rusted_mm2
from soundmetal.grade.metal import REFERENCE, loss_of, one_sided, original, over_coat
from soundmetal.grade.models import Step
from soundmetal.grade.nearness import counts, nearness
from soundmetal.grade.rules import rules
from soundmetal.grade.zones import done, noted
from soundmetal.record.models import Finding, Inspection, Reading
from soundmetal.record.terms import Basis, Probe, Seen

_THROUGH = (Seen.HOLED, Seen.GONE)


def _explained(reading: Reading) -> bool:
    return any(word in reading.note.casefold() for word in rules().mill.explained_by)


def reading_problems(finding: Finding, zone: Zone) -> tuple[str, ...]:
    """Name the readings thicker than the sheet can have been: more than 10 % over the reference, else over nominal.

    Ultrasonic readings over paint or rust read high by nature and are left alone; so is a reading whose note says
    that the steel is galvanised. English, one line each, for the error that the reader of the record raises.
    """
    first, most = original(finding, zone), rules().mill.too_thick
    against = "the reference reading" if first.source == REFERENCE else f"the usual thickness of {zone.id}"
    return tuple(
        f"finding {finding.id}: a reading of {reading.thickness:.2f} mm is more than {most:.0%} over {against}, "
        f"{first.mm:.2f} mm; steel does not grow, unless a note says that it is galvanised"
        for reading in finding.readings
        if -loss_of(reading.thickness / first.mm) > most and not over_coat(reading) and not _explained(reading)
    )


def _zone_checks(inspection: Inspection, body: Body) -> Iterator[Step]:
    """Zones whose checks, findings and marks disagree."""
    rusted = {one.zone for one in inspection.findings if one.seen is not Seen.SOUND}
    found = {one.zone for one in inspection.findings}
    unseen = {one.zone for one in inspection.not_seen}
    for zone in body.zones:
        check = inspection.zones.get(zone.id)
        value: dict[str, object] = {"at_zone": zone.id}
        if check and noted(check) and zone.id not in found:
            yield Step("{at_zone}: rust or a doubt is noted, and there is no finding. Write one.", value, "G8")
        if check and done(check) and not noted(check) and zone.id in rusted:
            text = "{at_zone}: every check is clear, and yet there is a finding of rust. Look again and correct one."
            yield Step(text, value, "G9")
        if check and done(check) and zone.id in unseen:
            text = "{at_zone}: it is marked as not seen, and yet it was checked. Remove one of the two."
            yield Step(text, value, "G8")


def _basis(inspection: Inspection) -> Iterator[Step]:
    """Things that nobody can do to a photograph."""
    if inspection.basis is not Basis.PHOTOS:
        return
    for one in inspection.findings:
        if one.probe is not None or one.readings:
            text = "Finding {finding}: a photograph cannot be probed or measured. Is the basis right?"
            yield Step(text, {"finding": one.id}, "G8")


def _size(finding: Finding, zone: Zone) -> Step | None:
    area = rusted_mm2(finding)
    if area <= zone.area_mm2:
        return None
    text = (
        "Finding {finding}: {area_mm2} of rust is more than {at_zone} usually has ({usual_mm2}). "
        "Measure it again, or write a finding for each zone that it lies in."
    )
    values: dict[str, object] = {"finding": finding.id, "area_mm2": area, "at_zone": zone.id}
    return Step(text, values | {"usual_mm2": zone.area_mm2}, "M1")


def _outside(finding: Finding, zone: Zone) -> Step | None:
    """A middle that lies off the part would be taken for one at its end."""
    middle = finding.middle
    if middle is None or (middle[0] <= zone.size_mm[0] and middle[1] <= zone.size_mm[1]):
        return None
    text = (
        "Finding {finding}: its middle, {along_mm} along and {up_mm} up, lies outside {at_zone}, "
        "which usually measures {long_mm} by {high_mm}. Measure it again from the front lower corner."
    )
    values: dict[str, object] = {"finding": finding.id, "along_mm": middle[0], "up_mm": middle[1], "at_zone": zone.id}
    return Step(text, values | {"long_mm": zone.size_mm[0], "high_mm": zone.size_mm[1]}, "M1")


def _rim(finding: Finding, zone: Zone) -> Step | None:
    first = original(finding, zone)
    thin = rules().mill.provable_loss
    thick = [r for r in finding.readings if loss_of(r.thickness / first.mm) < thin and not one_sided(r, first.mm)]
    if finding.seen not in _THROUGH or not thick:
        return None
    text = "Finding {finding}: the reading {least_thick_mm} tells of the rim; the hole stays a hole."
    return Step(text, {"finding": finding.id, "least_thick_mm": min(r.thickness for r in thick)}, "M1")


def _gives(finding: Finding, zone: Zone) -> Step | None:
    if finding.probe is not Probe.GIVES or finding.seen not in (Seen.SOUND, Seen.SURFACE):
        return None
    text = (
        "Finding {finding}: it gives way under the probe, and yet what was seen is {seen_word}. "
        "Look again and correct one."
    )
    return Step(text, {"finding": finding.id, "seen_word": finding.seen.value}, "G3")


def _reference(finding: Finding, zone: Zone) -> Step | None:
    if finding.reference is None:
        return None
    if original(finding, zone).source != REFERENCE:
        text = (
            "Finding {finding}: the reference reading does not count, because it was read through paint or rust. "
            "Clean the spot to bare steel and read it again with a caliper."
        )
        return Step(text, {"finding": finding.id}, "M2")
    read, usual = finding.reference.thickness, zone.thickness.mm
    if abs(read / usual - 1) <= rules().mill.reference_off:
        return None
    text = (
        "Finding {finding}: the reference reading {read_thick_mm} is far from the usual {usual_thick_mm}. "
        "Read it again, on steel that is sound."
    )
    return Step(text, {"finding": finding.id, "read_thick_mm": read, "usual_thick_mm": usual}, "M3")


def _distance(finding: Finding, zone: Zone) -> Step | None:
    near = nearness(finding, zone, None)
    if finding.mounting or not counts(zone) or near.mounting is None or finding.seen is Seen.SOUND:
        return None
    text = (
        "Finding {finding}: measure how far the rust is from the nearest mounting ({mounting_word}), "
        "and write it under mounting."
    )
    return Step(text, {"finding": finding.id, "mounting_word": near.mounting.value}, "M7")


Ask = Callable[[Finding, Zone], Step | None]
_ASKED: tuple[Ask, ...] = (_size, _outside, _gives, _reference, _distance)


def contradictions(inspection: Inspection, body: Body) -> tuple[Step, ...]:
    """List what disagrees in a record, or is missing to judge it: zones in the order of the walk, then findings."""
    return (*_zone_checks(inspection, body), *_basis(inspection), *_of_findings(_ASKED, inspection, body))


def remarkable(inspection: Inspection, body: Body) -> tuple[Step, ...]:
    """List what may look wrong in a record and is right: worth knowing, with nothing to be done."""
    return tuple(_of_findings((_rim,), inspection, body))


def _of_findings(asked: Sequence[Ask], inspection: Inspection, body: Body) -> Iterator[Step]:
    zones = body.by_id
    for finding in inspection.findings:
        if finding.zone in zones:
            yield from filter(None, (ask(finding, zones[finding.zone]) for ask in asked))

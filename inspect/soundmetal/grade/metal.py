"""Metal left: the thickness now over the thickness when new, as a range, and how it is known (rules M1 to M3).

`provable` is False where a measured loss lies inside the mill's own tolerance and no reference reading is there to
hold it against, and wherever the loss was only judged by eye. `ignored` holds a sentence for every kind of reading
that did not count.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from soundmetal.car.models import Role, Zone
from soundmetal.grade.models import MetalLeft, Spread, Step
from soundmetal.grade.rules import rules
from soundmetal.record.models import Finding, Reading
from soundmetal.record.terms import RepairState, Seen, Surface

MEASURED, BY_EYE, UNKNOWN = "measured", "judged by eye", "unknown"
REFERENCE, NOMINAL = "reference reading", "nominal"
NOT_PROOF = "An ultrasonic reading over paint or rust did not count: it can show thin steel, never sound steel."
NOT_REFERENCE = "The reference reading did not count, because it was read by ultrasonic over paint or rust."


@dataclass(frozen=True)
class Original:
    """What the readings are held against: thickness in mm, where it is from, and its tolerance as a share."""

    mm: float
    source: str
    tolerance: float


@dataclass(frozen=True)
class Sorted:
    """A finding's readings: those that count both ways, those that count because they say thin, those that do not."""

    both_ways: tuple[Reading, ...]
    thin: tuple[Reading, ...]
    ignored: tuple[Reading, ...]


def over_coat(reading: Reading) -> bool:
    """Tell whether a reading is ultrasonic over paint or rust, which reads high by nature."""
    rule = rules().readings
    return reading.method in rule.one_sided_methods and reading.surface in rule.one_sided_surfaces


def one_sided(reading: Reading, sheet_mm: float) -> bool:
    """Tell whether a reading can only show thin steel: ultrasonic, over paint or rust, on steel of a thickness (mm).

    From the rule's thickness on, echo-to-echo over paint counts both ways, because it leaves the paint out.
    """
    rule = rules().readings
    cured = reading.method in rule.thick_methods and reading.surface in rule.thick_surfaces
    return over_coat(reading) and not (cured and sheet_mm >= rule.thick_from_mm)


def original(finding: Finding, zone: Zone) -> Original:
    """Give the thickness when new: a reference reading that counts, otherwise the catalogue's nominal."""
    reference = finding.reference
    if reference and reference.thickness > 0 and not one_sided(reference, zone.thickness.mm):
        return Original(reference.thickness, REFERENCE, 0.0)
    return Original(zone.thickness.mm, NOMINAL, rules().mill.provable_loss)


def sort_readings(finding: Finding, first: Original) -> Sorted:
    """Sort readings by what they can prove. A one-sided one says thin from the least loss that can be proved on."""
    both: list[Reading] = []
    thin: list[Reading] = []
    ignored: list[Reading] = []
    for reading in finding.readings:
        if not one_sided(reading, first.mm):
            both.append(reading)
        elif loss_of(reading.thickness / first.mm) >= rules().mill.provable_loss:
            thin.append(reading)
        else:
            ignored.append(reading)
    return Sorted(tuple(both), tuple(thin), tuple(ignored))


def _lead(readings: Sequence[Reading], role: Role) -> float:
    """The least thickness for load-bearing parts, the mean for others, in mm."""
    values = [reading.thickness for reading in readings]
    return min(values) if role is Role.LOAD_BEARING else math.fsum(values) / len(values)


def _least_trusted(reading: Reading, first: Original) -> float:
    """The least thickness in mm that a counted reading leaves possible."""
    rule = rules().readings
    over_rust = over_coat(reading) and reading.surface is Surface.RUST
    high_by = rule.over_rust_reads_high_mm if over_rust else 0.0
    return max(0.0, reading.thickness - high_by) / (1 + first.tolerance)


def _measured(readings: Sequence[Reading], first: Original, role: Role) -> Spread:
    """Range of the share left from readings. A reading thicker than the original says that nothing is lost: 1."""
    low = min(_least_trusted(reading, first) for reading in readings) / first.mm
    high = max(reading.thickness for reading in readings) / (first.mm * (1 - first.tolerance))
    return Spread(min(1.0, low), min(1.0, _lead(readings, role) / first.mm), min(1.0, high))


def _no_more_than(spread: Spread, other: Spread) -> Spread:
    """The worse of two ranges, end by end."""
    return Spread(min(spread.low, other.low), min(spread.likely, other.likely), min(spread.high, other.high))


def _hidden(finding: Finding, limit: float) -> Spread | None:
    """The range where an earlier repair hides the steel and nothing of it was seen or read, else None.

    What hides rust counts in the score as having lost its whole limit; what nobody is sure of counts as nothing.
    """
    if finding.seen is not Seen.SOUND or finding.repair is None or finding.repair.state is RepairState.SOUND:
        return None
    return Spread(0.0, 1 - limit if finding.repair.state is RepairState.HIDES_RUST else 1.0, 1.0)


def _share(finding: Finding, sorted_: Sorted, first: Original, role: Role, limit: float) -> tuple[Spread, str]:
    """Give the share left and how it is known: readings first; a one-sided one or a hole can only worsen it."""
    seen = rules().metal_left.seen[finding.seen]
    hidden = _hidden(finding, limit)
    spread, by = (hidden, UNKNOWN) if hidden else (seen.spread, BY_EYE)
    if sorted_.both_ways:
        spread, by = _measured(sorted_.both_ways, first, role), MEASURED
    if sorted_.thin:
        least = min(sorted_.thin, key=lambda reading: reading.thickness)
        thin = _measured((least,), first, role)
        by = MEASURED if thin.likely <= spread.likely else by
        spread = _no_more_than(spread, thin)
    if seen.readings_beside:
        by = BY_EYE if seen.spread.likely < spread.likely else by
        spread = _no_more_than(spread, seen.spread)
    return spread, by


def metal_left(finding: Finding, zone: Zone) -> MetalLeft:
    """Work out the metal left at one finding. Shares are 0 to 1, thicknesses mm; rules M1 to M3 and M5."""
    limit = rules().limits.loss[zone.role]
    first = original(finding, zone)
    readings = sort_readings(finding, first)
    counted = readings.both_ways + readings.thin
    spread, by = _share(finding, readings, first, zone.role, limit)
    values = [reading.thickness for reading in counted]
    ignored: tuple[str, ...] = (NOT_PROOF,) if readings.ignored else ()
    if finding.reference and first.source == NOMINAL:
        ignored += (NOT_REFERENCE,)
    provable = first.source == REFERENCE or loss_of(spread.likely) >= rules().mill.provable_loss
    return MetalLeft(
        share=spread,
        by=by,
        original_mm=first.mm,
        original_from=first.source,
        least_mm=min(values) if values else None,
        mean_mm=math.fsum(values) / len(values) if values else None,
        provable=by == MEASURED and provable,
        ignored=ignored,
    )


def loss_of(share: float) -> float:
    """Share lost from the share left; rounded at 1e-9 so that 1 - 0.9 is a tenth and meets a limit of a tenth.

    >>> loss_of(0.9) >= 0.1
    True
    """
    return round(1.0 - share, 9)


def past_limit(metal: MetalLeft, limit: float) -> bool:
    """Tell whether the loss meets the limit: by the likely figure if measured, by the better end if by eye."""
    ends = rules().metal_left.past_limit
    end = next((ends[known] for known in ends if known == metal.by), None)
    return end is not None and loss_of(getattr(metal.share, end)) >= limit


_TOLD = {
    MEASURED: "Measured, {left_share} of the metal is left ({low_share} to {high_share}).",
    BY_EYE: "Judged by eye, {left_share} of the metal is left ({low_share} to {high_share}).",
    UNKNOWN: "How much of the metal is left is not known, because the earlier repair covers it.",
}
_HELD = {
    REFERENCE: "The readings are held against {original_thick_mm}, read on sound metal of the same panel.",
    NOMINAL: "The readings are held against {original_thick_mm}, the catalogue's thickness for this part.",
}


def metal_steps(metal: MetalLeft) -> tuple[Step, ...]:
    """Tell how the metal left came about, with the numbers put in."""
    values: dict[str, object] = {
        "left_share": metal.share.likely,
        "low_share": metal.share.low,
        "high_share": metal.share.high,
    }
    if metal.by == BY_EYE and metal.share.low == metal.share.high:
        steps = [Step("Judged by eye, {left_share} of the metal is left.", {"left_share": metal.share.likely}, "M1")]
    else:
        steps = [Step(_TOLD[metal.by], {} if metal.by == UNKNOWN else values, "M1")]
    if metal.least_mm is not None and metal.mean_mm is not None:
        text = "The least reading is {least_thick_mm}, the mean {mean_thick_mm}."
        steps.append(Step(text, {"least_thick_mm": metal.least_mm, "mean_thick_mm": metal.mean_mm}, "M1"))
        steps.append(Step(_HELD[metal.original_from], {"original_thick_mm": metal.original_mm}, "M1"))
        if metal.by == BY_EYE:
            steps.append(
                Step("What was seen is worse than the readings beside it, so what was seen counts.", {}, "M1")
            )
        elif not metal.provable:
            steps.append(Step(rules().mill.reason, {}, "M3"))
    return (*steps, *(Step(text, {}, "M2") for text in metal.ignored))

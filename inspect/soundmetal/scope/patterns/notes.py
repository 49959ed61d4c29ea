"""What a blank says of itself: sentences with figures that can be translated, each with its source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import Literal

from pydantic import BaseModel, ConfigDict, TypeAdapter, ValidationError
from shapely.geometry import LineString, Polygon

from soundmetal.calc.bead import pitch_for_mm, stiffness_ratio
from soundmetal.car.models import Zone
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.grade.models import Step
from soundmetal.record.models import Finding
from soundmetal.record.shopbook import Policies
from soundmetal.repair.beads import Beads
from soundmetal.repair.bending import Bending
from soundmetal.repair.models import Cutout
from soundmetal.repair.practice import practice
from soundmetal.scope.patterns.beading import Drawn, stiffness_of
from soundmetal.scope.patterns.flat import Flat

FILE = "blank_notes.yaml"


class Note(BaseModel):
    """One sentence and where it is from."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    text: str
    source: str
    confidence: Literal["read", "second-hand", "from memory"]


@cache
def texts() -> dict[str, Note]:
    """Read and check the file once. SettingsError names the key that is wrong.

    >>> texts()["grain"].confidence
    'from memory'
    """
    try:
        return TypeAdapter(dict[str, Note]).validate_python(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct the file.") from error


def say(key: str, **values: object) -> Step:
    """Put values into one of the sentences."""
    note = texts()[key]
    return Step(note.text, values, f"{note.source} ({note.confidence})")


def bend_notes(flat: Flat, bending: Bending, sides: Sequence[str], flange_mm: float) -> Iterator[Step]:
    """Flanges, relief, radius, grain, and a flange that the brake cannot take."""
    if flat.family == "section":
        yield say("section")
    elif flat.bends:
        yield say("flanges")
    if flat.family == "flanged" and sides and flange_mm < bending.least_flange_mm:
        yield say("short", flange_mm=flange_mm, least_mm=bending.least_flange_mm)
    if flat.relieved:
        yield say("relief", relief_mm=bending.relief_mm)
    if flat.bends:
        if min(bend.radius_mm for bend in flat.bends) < bending.thickness_mm * (1 - 1e-9):
            yield say("tight")
        yield say("grain")


def rough_note(more_mm: float) -> Step:
    """Steel that is left on a shape that curves both ways."""
    return say("rough", more_mm=more_mm)


def bead_notes(beads: Beads, drawn: Drawn, cut: Cutout, thickness_mm: float) -> Iterator[Step]:
    """What the beads draw in and what they give; how to come up to the factory's with the shop's own die."""
    if beads.factory:
        yield from _own_die(beads, thickness_mm)
    yield say("take_up", take_thick_mm=drawn.total_mm)
    if cut.ends:
        yield say("flange_last")
    if len(drawn.at_mm) < 2:
        return
    found = stiffness_of(beads, cut.size_mm, thickness_mm)
    yield say(
        "stiff", pitch_mm=beads.pitch_mm, depth_mm=beads.depth_mm, times=f"{found.ratio:.0f}",
        flat_thick_mm=found.flat_mm, left_share=found.deflection_share,
    )  # fmt: skip


def _own_die(beads: Beads, thickness_mm: float) -> Iterator[Step]:
    die = practice().beads
    if (die.width_mm, die.depth_mm) == (beads.width_mm, beads.depth_mm):
        return
    try:
        wanted = stiffness_ratio(beads.pitch_mm, beads.width_mm, beads.depth_mm, thickness_mm)
        pitch = pitch_for_mm(wanted, die.width_mm, die.depth_mm, thickness_mm)
    except ValueError:
        yield say("die_short", depth_mm=die.depth_mm, width_mm=die.width_mm)
        return
    yield say("own_die", depth_mm=die.depth_mm, width_mm=die.width_mm, pitch_mm=pitch)


def hole_notes(holes: Sequence[Polygon], crossed: bool, flat: Flat, bending: Bending) -> Iterator[Step]:
    """Openings that cross the cut line, and holes too near to a bend."""
    if crossed:
        yield say("crossed")
    half = {bend: bending.allowance_mm(bend.bent_deg, bend.radius_mm) / 2 for bend in flat.bends}
    lines = [(LineString([bend.start, bend.end]), reach) for bend, reach in half.items()]
    if any(hole.distance(line) - reach < bending.hole_clear_mm for hole in holes for line, reach in lines):
        yield say("hole_near", clear_mm=bending.hole_clear_mm)


def mounting_notes(cut: Cutout, findings: Sequence[Finding], policies: Policies) -> Iterator[Step]:
    """Mountings that a cut must keep off, where their place is not known or rust reaches to them."""
    clear = policies.mounting_clear
    for finding in findings:
        near = finding.mounting
        if near is None or finding.id not in cut.findings or near.distance >= policies.margin + clear:
            continue
        known = near.at is not None
        if known and any((x, y) == near.at for x, y, _ in cut.off):
            continue
        key = "mounting" if near.distance >= clear and not known else "mounting_in"
        yield say(key, mounting_word=near.kind.value, near_mm=near.distance, clear_mm=clear)


def flanges_up(zone: Zone) -> bool:
    """Tell whether this part's flanges stand up toward who looks at it."""
    return zone.role in practice().flange_up

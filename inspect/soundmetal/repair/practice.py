"""How this trade puts places right, read from `data/methods.yaml`: rules with sources, what each aim asks for."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from soundmetal.car.models import Construction, Role, Zone
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError, UnknownName
from soundmetal.grade.models import Level, Step
from soundmetal.record.terms import Aim
from soundmetal.words import did_you_mean

FILE = "methods.yaml"
Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]


class Data(BaseModel):
    """Base of the models of this file: frozen, unknown keys are errors."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class MethodRule(Data):
    """One rule for choosing a method, with the reason told to people and where it is from."""

    method: str
    reason: str
    kind: Literal["published", "precedent", "common practice"]
    source: str


class AimAsks(Data):
    """What an aim asks for: levels that may be treated, how seams are dressed, whether panels are replaced whole."""

    treats: tuple[Level, ...]
    dress_visible: str
    dress_hidden: str
    whole_panels: bool


class Braced(Data):
    """Which cuts need a brace first."""

    roles: tuple[Role, ...]
    families: tuple[str, ...]
    floor_share: Annotated[float, Field(gt=0, le=1)]


class Rolled(Data):
    """Beads rolled into new sheet: where, how far apart, how wide and deep, how far their ends stay from an edge."""

    roles: tuple[Role, ...]
    pitch_mm: Positive
    width_mm: Positive
    depth_mm: Positive
    stop_short_mm: Positive
    least_mm: Positive


class WeldBead(Data):
    """Size of the bead on one thickness of sheet; face and root are width and height."""

    sheet_mm: Positive
    gap_mm: Positive
    face_mm: tuple[Positive, Positive]
    root_mm: tuple[Positive, Positive]


class Practice(Data):
    """All of `methods.yaml`."""

    rules: dict[str, MethodRule]
    aims: dict[Aim, AimAsks]
    brace: Braced
    beads: Rolled
    flange_up: tuple[Role, ...]
    across: tuple[str, ...]
    cavity: tuple[Construction, ...]
    unknown_extent_mm: tuple[Positive, Positive]
    why_not: dict[str, str]
    chosen: dict[str, str]
    weld_bead: Annotated[tuple[WeldBead, ...], Field(min_length=1)]
    plug_cap_mm: tuple[Positive, Positive]
    plug_arc_s: Positive
    gauge_tolerance: Positive

    def reason(self, key: str, source: str, **values: object) -> Step:
        """Put values into one of the sentences that tell why a method is not possible."""
        return Step(self.why_not[key], values, source)

    def bead_on(self, sheet_mm: float) -> WeldBead:
        """Give the bead of the sheet thickness that is nearest."""
        return min(self.weld_bead, key=lambda bead: abs(bead.sheet_mm - sheet_mm))

    def lies_across(self, zone_id: str) -> bool:
        """Tell whether a part lies across the car, so that it is measured from its left edge.

        >>> practice().lies_across("toe_board.left"), practice().lies_across("glass_channel.left")
        (True, False)
        """
        return any(f"{zone_id}.".startswith(f"{name}.") for name in self.across)

    def needs_brace(self, zone: Zone, share: float) -> bool:
        """Tell whether cutting that share (0 to 1) out of a zone asks for a brace first."""
        family = zone.id.split(".")[0]
        floor = zone.role is Role.FLOOR and share >= self.brace.floor_share
        return floor or zone.role in self.brace.roles or family in self.brace.families


@cache
def practice() -> Practice:
    """Read and check the file once. SettingsError names the key that is wrong.

    >>> practice().rules["R8"].kind
    'published'
    """
    try:
        return Practice.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct the file.") from error


def rule_steps(rule_id: str) -> tuple[Step, ...]:
    """Tell what a rule for methods (R1 ...) says and where it comes from. UnknownName with the nearest right id.

    >>> rule_steps("R1")[0].text
    'Only what was checked and found sound is left alone; earlier work that holds stays.'
    """
    known = practice().rules
    if rule_id not in known:
        raise UnknownName(f'there is no rule "{rule_id}"', todo=did_you_mean(rule_id, known))
    rule = known[rule_id]
    values: dict[str, object] = {"kind": rule.kind, "source": rule.source}
    return Step(rule.reason, {}, rule_id), Step("Source ({kind}): {source}", values, rule_id)

"""The car catalogue as data models: what a zone is, where it lies on the steel plan, what a body is made of.

The steel plan is seen from above, in mm at the scale of the body. x runs from the front (about 0) to the rear, y from
the car's left (below 0) to its right. It is drawn with the front at the left of the page; as the page's own y runs
downward, a point is turned by `on_page`, and the car's left side comes to lie at the bottom. Skins are folded outward
and the upright panels at both ends folded forward or rearward, so some x are below 0 or beyond the car's length.
Strip `body` is the body; strip `frame` is a drawing of its own, with the same x scale, for what carries it.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, model_validator

from soundmetal.record.terms import Check, Mounting, Structure

Point = tuple[float, float]


def on_page(point: Point) -> Point:
    """Turn a point of the steel plan into page coordinates (y downward), still in mm.

    >>> on_page((1760.0, -890.0))
    (1760.0, 890.0)
    """
    return point[0], 0.0 - point[1]


class Role(StrEnum):
    """What a zone does for the car."""

    SKIN = "skin"
    INNER = "inner"
    FLOOR = "floor"
    LOAD_BEARING = "load-bearing"


class Construction(StrEnum):
    """How the steel of a zone is put together; rules what may be hidden."""

    OPEN_SKIN = "open skin"
    LAPPED_SEAM = "lapped seam"
    CLOSED_BOX = "closed box"


class Shape(StrEnum):
    """How the sheet of a zone is formed."""

    FLAT = "flat"
    SINGLE_CURVE = "single curve"
    COMPOUND = "compound"


class Frozen(BaseModel):
    """Base of the catalogue's models."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Thickness(Frozen):
    """Nominal thickness of a zone's steel and where that figure is from."""

    mm: Annotated[float, Field(gt=0.3, lt=12)]
    source: str
    confidence: str


class ProfileBend(Frozen):
    """One bend of a usual profile: the angle bent through [deg], up toward who looks at the panel or down, away."""

    through: Annotated[float, Field(gt=0, lt=180)]
    way: Annotated[str, Field(pattern="^(up|down)$")]


class UsualProfile(Frozen):
    """The profile that a kind of panel usually has across its length, measured outside, from its lower edge up.

    `legs_mm` are scaled to the zone's own height; `flanges` are the bends to the lower and the upper flange. Nobody
    measured it on this car, so it says how sure its source is and is never cut without a template.
    """

    legs_mm: Annotated[tuple[Annotated[float, Field(gt=0)], ...], Field(min_length=1, max_length=8)]
    bends: tuple[ProfileBend, ...]
    flanges: tuple[ProfileBend, ProfileBend]
    source: str
    confidence: str

    @model_validator(mode="after")
    def _one_leg_more(self) -> UsualProfile:
        if len(self.legs_mm) != len(self.bends) + 1:
            raise ValueError("a profile has one leg more than bends")
        return self


class ZonePlan(Frozen):
    """A zone's shape on the steel plan: a polygon in mm; the top of this module tells which way x and y run.

    Its reader closes it. `label` is where a number or a short word stands; the loader always fills it.
    """

    strip: Annotated[str, Field(pattern="^(body|frame)$")] = "body"
    polygon: Annotated[tuple[Point, ...], Field(min_length=3)]
    label: Point | None = None


class Zone(Frozen):
    """One named place on one body, with steel of its own."""

    id: str
    names: dict[str, str]
    plain: dict[str, str]
    role: Role
    construction: Construction
    shape: Shape
    thickness: Thickness
    size_mm: tuple[float, float]
    edges: Annotated[int, Field(ge=0, le=4)]
    separable: bool
    frame_part: bool
    visible: bool
    mountings: tuple[Mounting, ...]
    access: str
    access_hours: tuple[float, float, float]
    access_work: dict[str, str] = Field(default_factory=dict)
    checks: tuple[Check, ...]
    plan: ZonePlan
    profile: UsualProfile | None = None

    @property
    def area_mm2(self) -> float:
        """Typical area of the zone's steel."""
        return self.size_mm[0] * self.size_mm[1]

    def name(self, language: str) -> str:
        """Trade name in the reader's language, English where there is none."""
        return self.names.get(language, self.names["en"])

    def access_words(self, language: str) -> str:
        """What comes off first to reach the zone, in the reader's language."""
        return self.access_work.get(language, self.access_work.get("en", ""))

    def plain_words(self, language: str) -> str:
        """One line that tells somebody outside the trade what this part is."""
        return self.plain.get(language, self.plain["en"])

    def as_row(self, language: str) -> tuple[str, ...]:
        """Give the zone as cells of a table: id, name, role, construction, steel in mm, checks."""
        checks = " ".join(check.value for check in self.checks)
        return self.id, self.name(language), self.role, self.construction, f"{self.thickness.mm:.2f}", checks


class Outline(Frozen):
    """A thin line on the plan that is no zone: glass, engine bay, wheel, fold line."""

    strip: Annotated[str, Field(pattern="^(body|frame)$")] = "body"
    points: tuple[Point, ...]
    closed: bool = False
    kind: Annotated[str, Field(pattern="^(fold|opening|wheel|caption)$")]
    text: dict[str, str] = Field(default_factory=dict)


class Body(Frozen):
    """One body on one structure, with all its zones in the order of a walk round the car."""

    id: str
    structure: Structure
    names: dict[str, str]
    zones: tuple[Zone, ...]
    outlines: tuple[Outline, ...] = ()

    @property
    def by_id(self) -> dict[str, Zone]:
        """Zones by their id."""
        return {zone.id: zone for zone in self.zones}

    def name(self, language: str) -> str:
        """Name of the body in the reader's language, English where there is none."""
        return self.names.get(language, self.names["en"])

    def bounds(self, strip: str) -> tuple[float, float, float, float]:
        """Give least x, least y, greatest x, greatest y in mm of all that is drawn on one strip of the plan."""
        points = [point for zone in self.zones if zone.plan.strip == strip for point in zone.plan.polygon]
        points += [point for line in self.outlines if line.strip == strip for point in line.points]
        xs, ys = [point[0] for point in points], [point[1] for point in points]
        return min(xs), min(ys), max(xs), max(ys)

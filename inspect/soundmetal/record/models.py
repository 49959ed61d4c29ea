"""The record of one inspection: what `inspection.yaml` holds. Frozen; unknown keys are errors."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import ConfigDict, Field, model_validator

from soundmetal.record.callouts import CallOut as CallOut
from soundmetal.record.callouts import PhotoUse as PhotoUse
from soundmetal.record.quantities import AreaMm2, LengthMm, SizeMm
from soundmetal.record.shapes import Corner, FactoryBeads, Form, KeptOpening, Section, crossing, ring
from soundmetal.record.terms import (
    Aim,
    Basis,
    Check,
    CheckResult,
    Corrosivity,
    Gauge,
    MarkKind,
    Mounting,
    NotSeenWhy,
    Paper,
    Probe,
    RepairKind,
    RepairState,
    Reply,
    Seen,
    Stage,
    Structure,
    Surface,
    Units,
)
from soundmetal.record.vin import readable_identification
from soundmetal.record.written import Name as Name
from soundmetal.record.written import Text as Text
from soundmetal.record.written import Written as Written

FindingId = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_-]{0,15}$")]
Identity = Annotated[str, Field(pattern=r"^([a-z0-9]{6,32})?$")]
SpentHours = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)]
Share = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]


class Odometer(Written):
    """Distance shown, with its unit; `reliable` is false when it has gone round or was swapped."""

    value: Annotated[int, Field(ge=0, le=9_999_999)]
    unit: Literal["mi", "km"]
    reliable: bool = True


class Vehicle(Written):
    """The car."""

    year: Annotated[int, Field(ge=1885, le=2100)] | None = None
    make: Name = ""
    model: Name = ""
    body: Name
    structure: Structure
    colour: Name = ""
    odometer: Odometer | None = None
    driver_sits: Literal["left", "right"] | None = Field(
        default=None, description='makes "driver side" in the names of photographs a side'
    )
    identification: Annotated[str, Field(max_length=60)] = ""

    @model_validator(mode="after")
    def _identification_is_readable(self) -> Self:
        readable_identification(self.identification)
        return self


class Owner(Written):
    """Who decides about the money."""

    name: Name = ""
    phone: Name = ""
    email: Name = ""


class Reading(Written):
    """One thickness reading on the steel."""

    thickness: LengthMm
    method: Gauge
    surface: Surface
    note: Text = ""


class CoatingReading(Written):
    """One reading of everything that lies above the steel."""

    thickness: LengthMm
    note: Text = ""


class ZoneCheck(Written):
    """The questions put to one zone, and what they gave. `all` answers those not named."""

    all: CheckResult | None = None
    look: CheckResult | None = None
    tap: CheckResult | None = None
    probe: CheckResult | None = None
    magnet: CheckResult | None = None
    gauge: CheckResult | None = None
    drain: CheckResult | None = None
    coating: tuple[CoatingReading, ...] = ()
    note: Text = ""

    def result(self, check: Check) -> CheckResult:
        """Give what one check gave; not done unless it was written down."""
        own: CheckResult | None = getattr(self, check.value)
        return own or self.all or CheckResult.NOT_DONE


class NotSeen(Written):
    """A zone that nobody saw, and why."""

    zone: Name
    why: NotSeenWhy
    note: Text = ""


class NearMounting(Written):
    """The nearest mounting, and how far the rust is from it (edge to edge)."""

    kind: Mounting
    distance: LengthMm
    at: SizeMm | None = Field(
        default=None, description="where it lies in the zone, measured like the finding's own at"
    )


class EarlierRepair(Written):
    """What somebody did here before."""

    kind: RepairKind
    state: RepairState
    over_hole: bool = False
    note: Text = ""


class Finding(Written):
    """One place in a zone where the steel has rusted, or was repaired."""

    id: FindingId
    zone: Name
    seen: Seen
    size: SizeMm | None = None
    area: AreaMm2 | None = None
    at: SizeMm | None = Field(
        default=None,
        description="where its middle lies in the zone: from the front (or left) edge x from the lower edge",
    )
    outline: tuple[Corner, ...] | None = Field(
        default=None,
        description="in place of size and at: corners round the rust, from the zone's front lower corner",
    )
    keep: tuple[KeptOpening, ...] = Field(default=(), description="openings that the new piece must have again")
    section: Section | None = None
    beads: FactoryBeads | None = None
    form: Form | None = Field(
        default=None, description="how the steel is formed at this place, where the rest of its part is not like that"
    )
    reaches_edge: bool = False
    rusted_share: Share | None = Field(default=None, description="rusted part of the zone's surface, in per cent")
    probe: Probe | None = None
    cracked: bool = False
    readings: tuple[Reading, ...] = ()
    reference: Reading | None = None
    mounting: NearMounting | None = None
    repair: EarlierRepair | None = None
    photos: tuple[PhotoUse, ...] = ()
    note: Text = ""

    @model_validator(mode="after")
    def _has_an_extent_and_no_contradiction(self) -> Self:
        if self.size is not None and self.area is not None:
            raise ValueError("give size or area, not both")
        if self.outline is not None:
            self._outline_stands_alone(self.outline)
        rusted = self.seen is not Seen.SOUND
        if rusted and self.size is None and self.area is None and self.outline is None:
            raise ValueError("say how large it is: size: 150 x 80 mm, or area: 120 cm2")
        if not rusted and self.repair is None:
            raise ValueError(
                "a finding that is sound needs its earlier repair; for a sound zone write the checks instead"
            )
        files = [use.file for use in self.photos]
        twice = {name for name in files if files.count(name) > 1}
        if twice:
            raise ValueError(f"photograph named twice: {sorted(twice)[0]}")
        return self

    def _outline_stands_alone(self, outline: tuple[Corner, ...]) -> None:
        if self.size is not None or self.area is not None or self.at is not None:
            raise ValueError(f"{self.id}: the outline says size and place; leave size, area and at out")
        if fault := crossing(outline):
            raise ValueError(f"{self.id}: the outline {fault}; give its corners in order, once round")

    @property
    def box_size(self) -> tuple[float, float] | None:
        """Length along the zone and height of the rust in mm, of its outline where it has one; None where unknown."""
        if self.outline is None:
            return self.size
        x0, y0, x1, y1 = ring(self.outline).bounds
        return x1 - x0, y1 - y0

    @property
    def middle(self) -> tuple[float, float] | None:
        """Where the middle of the rust lies in the zone, in mm; None where nobody wrote it down."""
        if self.outline is None:
            return self.at
        x0, y0, x1, y1 = ring(self.outline).bounds
        return (x0 + x1) / 2, (y0 + y1) / 2

    @property
    def rust_area(self) -> float | None:
        """Area of the rust in mm2: as written, of its outline, or length x width; None where unknown."""
        if self.area is not None:
            return self.area
        if self.outline is not None:
            return float(ring(self.outline).area)
        return self.size[0] * self.size[1] if self.size else None


class PhotoNote(Written):
    """What a person says of a photograph: the zone it shows, what is to be covered, or that it does not belong."""

    zone: Name | None = None
    caption: Annotated[str, Field(max_length=300)] = ""
    leave_out: bool = False
    nothing_to_cover: bool = Field(
        default=False, description="looks like a photograph with a cover, but shows nothing that must be hidden"
    )
    marks: tuple[CallOut, ...] = Field(default=(), description="covers only; other call-outs belong to a finding")

    @model_validator(mode="after")
    def _marks_are_covers(self) -> Self:
        other = next((mark.kind.value for mark in self.marks if mark.kind is not MarkKind.COVER), None)
        if other:
            raise ValueError(f"a {other} belongs under the photographs of a finding; here only covers can stand")
        return self


class Answer(Written):
    """The owner's answer for one finding."""

    reply: Reply
    date: dt.date | None = None
    state: Annotated[int, Field(ge=1)] | None = Field(
        default=None, description="number of the state that was answered; empty: answered by word of mouth"
    )
    note: Text = ""


class Progress(Written):
    """Where the car stood from a day on, once the owner had answered."""

    stage: Stage
    date: dt.date
    note: Text = ""


class Inspection(Written):
    """One car looked at once."""

    model_config = ConfigDict(title="Soundmetal inspection")

    layout: Literal[1] = Field(alias="soundmetal", description="version of this file's layout")
    version: Annotated[int, Field(ge=1, description="goes up by one with every change that a program makes")] = 1
    id: Identity = Field(
        default="", description="small letters and digits that name this inspection for good; a program writes them"
    )
    vehicle: Vehicle
    owner: Owner = Owner()
    shop: Name = Field(default="", description="the shop book; empty: shop.yaml here or in the folder above")
    date: dt.date
    inspector: Name = ""
    basis: Basis
    aim: Aim = Aim.SOUND
    rule_book: Name = "shop"
    corrosivity: Corrosivity = Corrosivity.C3
    language: Annotated[str, Field(pattern="^[a-z]{2}$")] = "en"
    units: Units = Units.US
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")] = "USD"
    paper: Paper = Paper.LETTER
    starts: dt.date | None = Field(default=None, description="the day work begins; without it days are only counted")
    zones: dict[str, ZoneCheck] = Field(default_factory=dict)
    not_seen: tuple[NotSeen, ...] = ()
    findings: tuple[Finding, ...] = ()
    photos: dict[str, PhotoNote] = Field(default_factory=dict)
    answers: dict[str, Answer] = Field(default_factory=dict)
    progress: tuple[Progress, ...] = Field(default=(), description="where the car stands, oldest first")
    spent: dict[str, dict[str, SpentHours]] = Field(
        default_factory=dict, description="hours really spent, by finding and operation of the shop book"
    )

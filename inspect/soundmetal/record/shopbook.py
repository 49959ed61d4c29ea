"""The shop book: the shop's own name, rates, times, prices, sheets and policies. Frozen; unknown keys are errors.

The shop's `shop.yaml` names only what differs from `data/shop_book.yaml`; the folder package lays one over the other.
"""

from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from soundmetal.record.models import Name, Text, Written
from soundmetal.record.quantities import LengthMm, SizeMm

Money = Annotated[Decimal, Field(ge=0, le=1_000_000, decimal_places=2)]
#: An hour that costs nothing is a line that was forgotten.
Rate = Annotated[Decimal, Field(gt=0, le=1_000_000, decimal_places=2)]
Hours = Annotated[float, Field(ge=0, le=1000, allow_inf_nan=False)]
Percent = Annotated[Decimal, Field(ge=0, le=100)]


class ShopContact(Written):
    """Whom the owner writes to."""

    name: Name
    street: Name = ""
    town: Name = ""
    phone: Name = ""
    email: Name = ""
    note: Text = ""


class Rates(Written):
    """What an hour costs, net of tax, by kind of work."""

    metal: Rate
    strip: Rate
    trim: Rate


class OperationTime(Written):
    """Hours of one operation: `fixed` once, `per` for each unit of the driver; low and high as factors of likely."""

    name: dict[str, str]
    driver: Literal["zone", "mm", "mm2", "m", "m2", "each", "blank", "opening", "cavity"]
    fixed_h: Hours = 0.0
    per_h: Hours = 0.0
    low_factor: Annotated[float, Field(gt=0, le=1)] = 0.75
    high_factor: Annotated[float, Field(ge=1, le=10)] = 1.6
    curved_factor: Annotated[float, Field(ge=1, le=10)] = 1.0
    rate: Literal["metal", "strip", "trim"] = "metal"
    source: str


class Sheet(Written):
    """A stock sheet that the shop buys or has."""

    id: Name
    size: SizeMm
    thickness: LengthMm
    gauge: int | None = None
    price: Money
    coating: Literal["none", "galvanneal", "electro-zinc"] = "none"


class Offcut(Written):
    """What is left of a stock sheet and lies ready: taken before a new one is cut into."""

    sheet: Name
    size: SizeMm
    count: Annotated[int, Field(ge=1, le=1000)] = 1


class CuttingTable(Written):
    """How this shop's cutting table differs from `data/cutting.yaml`; what is not said stays as it is there."""

    kerf: Annotated[LengthMm, Field(gt=0, le=10)] | None = None
    spacing: Annotated[LengthMm, Field(le=200)] | None = None
    edge: Annotated[LengthMm, Field(le=200)] | None = None
    compensate: bool | None = None
    drawing_unit: Literal["mm", "inch"] | None = None
    keep_grain: tuple[Literal["flat", "single curve", "compound"], ...] | None = None


#: What a consumable is used up by. Wire and gas are computed from the seam (`calc.seam`), so they name none.
Use = Literal["seam_m", "flange_m", "cut_m", "strip_m2", "protect_m2", "plug", "cavity"]


class ConsumablePrice(Written):
    """Price of something that is used up, per unit; `uses` is how much of it goes for one of each driver."""

    name: dict[str, str]
    unit: str
    price: Money
    source: str
    uses: dict[Use, Annotated[float, Field(ge=0, allow_inf_nan=False)]] = Field(default_factory=dict)


class BoughtPanel(Written):
    """A panel that can be bought for a zone: its price with freight, and hours to trim it to fit."""

    zone: Name
    price: Money
    freight: Money = Decimal(0)
    trim_h: Hours = 0.0


class OutsideWork(Written):
    """Work that leaves the shop and comes back: price, and days away."""

    name: dict[str, str]
    price: Money
    days: Annotated[int, Field(ge=0, le=120)]
    when: Literal["before metal", "after metal"]
    per: Literal["car", "panel"] = "car"
    only_aim: tuple[Literal["arrest", "sound", "factory"], ...] = ()
    only: Literal["always", "metal work", "referred", "referred frame"] = "metal work"
    low_factor: Annotated[float, Field(gt=0, le=1)] = 1.0
    high_factor: Annotated[float, Field(ge=1, le=10)] = 1.0


class Widening(Written):
    """By how much the high estimate grows where the shape or the access is worse than usual."""

    compound_high: Annotated[float, Field(ge=1, le=5)] = 1.25
    poor_access_high: Annotated[float, Field(ge=1, le=5)] = 1.2
    poor_access_from_h: Hours = 2.0


class Policies(Written):
    """How this shop works. Sources stand in the data file beside each default."""

    margin: LengthMm
    corner_radius: LengthMm
    bridge: LengthMm
    feather: LengthMm
    mounting_clear: LengthMm = 30.0
    patch_share: Annotated[float, Field(gt=0, le=1)]
    near_price: Annotated[float, Field(ge=0, le=0.5)]
    overlap_allowed: bool
    process: Literal["MIG", "TIG"]
    plug_pitch: LengthMm
    plug_end: LengthMm
    plug_hole: LengthMm
    hours_per_day: Annotated[float, Field(gt=0, le=24)]
    crew: Annotated[int, Field(ge=1, le=20)]
    correlation: Annotated[float, Field(ge=0, le=1)]
    draws: Annotated[int, Field(ge=100, le=200_000)]
    round_to: Money
    sheet_waste: Annotated[float, Field(ge=0, le=5)] = 0.25
    flange: LengthMm = 15.0
    bend_rule: Literal["tested", "handbook", "din"] = "tested"
    bend_radius: Annotated[LengthMm, Field(gt=0, le=50)] | None = None
    brake_flange: LengthMm = 10.0
    rough: LengthMm = 15.0
    tack_pitch: LengthMm = 25.0
    wire: LengthMm = 0.6
    deposition: Annotated[float, Field(gt=0, le=1)] = 0.9
    gas_l_min: Annotated[float, Field(gt=0, le=40)] = 12.0
    gas_overhead: Annotated[float, Field(ge=1, le=10)] = 2.5
    diagonal_change: Annotated[LengthMm, Field(gt=0)] = 3.0
    tig_volts: Annotated[float, Field(gt=0, le=60)] | None = None
    tig_travel_mm_min: Annotated[float, Field(gt=0, le=3000)] | None = None

    @model_validator(mode="after")
    def _heat_needs_both(self) -> Policies:
        if (self.tig_volts is None) is not (self.tig_travel_mm_min is None):
            raise ValueError("tig_volts and tig_travel_mm_min tell the heat together; give both, or neither")
        return self

    @model_validator(mode="after")
    def _corner_keeps_off_the_rust(self) -> Policies:
        # A corner rounded by r stands (1 - 1/sqrt 2) r inside the square one, along both sides.
        if self.corner_radius * (1 - math.sqrt(0.5)) > self.margin:
            raise ValueError("corner_radius is so large that a round corner would leave rust; make margin larger")
        return self


class WorkingDays(Written):
    """On which weekdays the shop works, and the dates on which it does not."""

    weekdays: Annotated[tuple[Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"], ...], Field(min_length=1)] = (
        "mon", "tue", "wed", "thu", "fri",
    )  # fmt: skip
    holidays: Annotated[tuple[dt.date, ...], Field(max_length=2000)] = ()


class ShopBook(Written):
    """Everything the tool must know of the shop."""

    shop: ShopContact
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")]
    rates: Rates
    tax: Percent = Decimal(0)
    tax_name: Name = ""
    markup: Percent = Decimal(0)
    deposit: Percent = Decimal(0)
    terms: dict[str, str] = Field(default_factory=dict)
    policies: Policies
    widening: Widening = Widening()
    operations: dict[str, OperationTime]
    sheets: tuple[Sheet, ...]
    offcuts: tuple[Offcut, ...] = ()
    cutting: CuttingTable = CuttingTable()
    consumables: dict[str, ConsumablePrice]
    bought: tuple[BoughtPanel, ...] = ()
    outside: dict[str, OutsideWork] = Field(default_factory=dict)
    working: WorkingDays = WorkingDays()

    @model_validator(mode="after")
    def _has_a_sheet(self) -> ShopBook:
        if not self.sheets:
            raise ValueError("the shop book needs at least one stock sheet")
        return self

    @model_validator(mode="after")
    def _offcuts_are_of_a_sheet(self) -> ShopBook:
        known = {sheet.id for sheet in self.sheets}
        strange = sorted({offcut.sheet for offcut in self.offcuts} - known)
        if strange:
            raise ValueError(f'no sheet "{strange[0]}" for an offcut; there are: {", ".join(sorted(known))}')
        return self

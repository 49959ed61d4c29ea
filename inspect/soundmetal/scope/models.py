"""The work as the shop sees it: operations, blanks, totals with their lines, order. Money is Decimal, to the cent."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from soundmetal.grade.models import Spread, Step
from soundmetal.repair.models import Choice


@dataclass(frozen=True)
class Operation:
    """One line of work. `findings` it is for (several share an access); `driver` what the hours come from.

    `expected_h` are the hours with hidden growth and the lean of the estimate, as the price has them.
    """

    id: str
    kind: str
    panel: str
    findings: tuple[str, ...]
    driver: str
    amount: float
    unit: str
    hours: Spread
    source: str
    expected_h: float = 0.0


@dataclass(frozen=True)
class BendLine:
    """One bend on the flat blank: its line in mm, angle bent through [deg], inside radius [mm], up or down."""

    start: tuple[float, float]
    end: tuple[float, float]
    bent_deg: float
    radius_mm: float
    up: bool


@dataclass(frozen=True)
class Blank:
    """A piece to cut, before forming: its box, the gauge to take, how it is formed.

    `sheet` is the shop book's stock sheet, empty where it has none near enough; `grain_note` holds sentences.
    `outline_mm` is the opening; `grown` names the panel sides where `allowance_mm` is added to it, `bent` those
    that are bent as a flange. Openings to keep and lines of beads are told in the outline's own coordinates.

    `flat_mm` is the whole flat piece with bends and beads worked in, in the same coordinates, empty for a plain one;
    `bend_lines` lie on it; `family` is flat, flanged, section or rough. `section_mm` is the neutral line of the bent
    section seen from its end, `legs_mm` its outside legs; `across_mm` and `across_legs_mm` are the same from front to
    rear where flanges stand both ways. `notes` are sentences with figures. `front_right` is for a piece of the car's
    right side: its own coordinates still run from the front, but it is drawn and cut with its front at the right.
    One that lies `across` the car is measured from its left edge and seen from behind.
    `bead_size_mm` is the width and depth of its beads. `template_first` where its shape is only the usual one.
    """

    id: str
    panel: str
    findings: tuple[str, ...]
    width_mm: float
    height_mm: float
    corner_radius_mm: float
    thickness_mm: float
    gauge: int | None
    form: str
    bends: int
    bead_mm: float
    mass_kg: float
    grain_note: str = ""
    outline_mm: tuple[tuple[float, float], ...] = ()
    sheet: str = ""
    grown: tuple[str, ...] = ()
    bent: tuple[str, ...] = ()
    allowance_mm: float = 0.0
    openings_mm: tuple[tuple[tuple[float, float], ...], ...] = ()
    beads_mm: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = ()
    flat_mm: tuple[tuple[float, float], ...] = ()
    family: str = "flat"
    bend_lines: tuple[BendLine, ...] = ()
    section_mm: tuple[tuple[float, float], ...] = ()
    legs_mm: tuple[float, ...] = ()
    notes: tuple[Step, ...] = ()
    across_mm: tuple[tuple[float, float], ...] = ()
    across_legs_mm: tuple[float, ...] = ()
    front_right: bool = False
    across: bool = False
    bead_size_mm: tuple[float, ...] = ()
    template_first: bool = False


@dataclass(frozen=True)
class TackPlan:
    """Where the tacks of one seam stand, in the panel's own mm, and in which order they are made.

    `lines_mm` is the seam itself, one line a run; `closed` where it comes back to its start. `order` numbers `at_mm`:
    the first made is `at_mm[order[0]]`. `spacing_mm` is the largest distance between neighbours along the seam.
    """

    lines_mm: tuple[tuple[tuple[float, float], ...], ...]
    closed: bool
    at_mm: tuple[tuple[float, float], ...]
    order: tuple[int, ...]
    spacing_mm: float


@dataclass(frozen=True)
class WeldPlan:
    """What one seam takes: steel, gap, weld metal, wire with its loss, gas; heat into the work where it is known.

    `setting_mm` is the thickness of the published setting that the heat is from, None where no table has one.
    """

    thickness_mm: float
    gap_mm: float
    metal_g: float
    wire_m: float
    gas_l: float
    heat_kj_mm: tuple[float, float] | None
    setting_mm: float | None
    source: str


@dataclass(frozen=True)
class Seam:
    """What is joined: butt seam or plug-welded flange, in the shop's terms.

    `pitch_mm` is the actual distance between plug welds; `drilled` counts the factory spots taken out first;
    `spot_pitch_mm` is the least distance between resistance spots in this steel, None outside the published table;
    `why` tells why it is edge to edge or overlapped.
    """

    panel: str
    findings: tuple[str, ...]
    kind: str
    length_mm: float
    process: str
    tacks: int
    plugs: int
    visible: bool
    plan: TackPlan | None = None
    weld: WeldPlan | None = None
    pitch_mm: float = 0.0
    drilled: int = 0
    spot_pitch_mm: float | None = None
    why: Step | None = None


@dataclass(frozen=True)
class Consumable:
    """Wire, gas, discs, primer, sealer, wax: how much is laid out, what it costs, where the figure is from."""

    id: str
    amount: float
    unit: str
    price: Decimal
    source: str


@dataclass(frozen=True)
class Line:
    """One line of the price: `kind` is labour, sheet, consumable, bought panel, outside work, tax ..."""

    kind: str
    panel: str
    findings: tuple[str, ...]
    text: Step
    hours: float
    amount: Decimal


@dataclass(frozen=True)
class MoneyRange:
    """P10, likely and P90 of a price."""

    low: Decimal
    likely: Decimal
    high: Decimal


@dataclass(frozen=True)
class Driver:
    """One cause of the price's spread. `share` (of the variance) may be under 0; all causes together have 1.

    `low` and `high` tell by how much it alone moves the price, from its P10 to its P90, tax included.
    """

    cause: str
    panel: str
    name: str
    text: Step
    share: float
    low: Decimal
    high: Decimal


@dataclass(frozen=True)
class Total:
    """Hours and price of a set of work: the lines, their sum to the cent, and the simulated range round it.

    `likely` is the sum of the lines, which is the expected price: one line a panel is the allowance for what is still
    hidden. The range's likely is the same figure and lies between P10 and P90. `histogram` holds (price, share) bins
    of the simulation for the density strip. `drivers` are the causes that move it most; `deposit` is asked before
    work begins. `mean_hours` and `sd_hours` are of the simulation; `analytic_*` beside.
    """

    lines: tuple[Line, ...]
    net: Decimal
    tax: Decimal
    likely: Decimal
    hours: Spread
    price: MoneyRange
    histogram: tuple[tuple[float, float], ...]
    mean_hours: float
    sd_hours: float
    analytic_mean_hours: float
    analytic_sd_hours: float
    drivers: tuple[Driver, ...] = ()
    deposit: Decimal = Decimal("0.00")


@dataclass(frozen=True)
class Task:
    """One step in the order of work, start and end in working hours from the first; `hold`: what it waits for.

    `because` names the rule of the order by which it follows each of `after`. `total_float_h` is by how much it can
    slip without moving the end, `free_float_h` without moving any other step, in this schedule: nobody changes the
    order of their own steps. `critical` where it cannot slip at all. `held_by` is whoever releases it: owner,
    repairer, or nobody (empty).
    """

    id: str
    text: Step
    panel: str
    findings: tuple[str, ...]
    hours: float
    start_h: float
    end_h: float
    after: tuple[str, ...]
    away: bool = False
    hold: str = ""
    stage: str = ""
    because: tuple[str, ...] = ()
    total_float_h: float = 0.0
    free_float_h: float = 0.0
    critical: bool = False
    held_by: str = ""


@dataclass(frozen=True)
class PanelWork:
    """One panel's job: the choice, its operations, and the range of hours and of price before tax."""

    panel: str
    choice: Choice
    operations: tuple[Operation, ...]
    blanks: tuple[Blank, ...]
    seams: tuple[Seam, ...]
    hours: Spread
    price: MoneyRange
    growth: Spread
    inner_chance: float


@dataclass(frozen=True)
class Scope:
    """All the work for one aim. `dates` are the working days of `days` as dates, empty where no start is known.

    `declined` are findings that the owner said no to, where the scope heeds the answers; their work is not in it.
    """

    aim: str
    panels: tuple[PanelWork, ...]
    blanks: tuple[Blank, ...]
    seams: tuple[Seam, ...]
    consumables: tuple[Consumable, ...]
    total: Total
    order: tuple[Task, ...]
    days: Spread
    holds: tuple[Step, ...]
    cautions: tuple[Step, ...]
    leaves_undone: tuple[Step, ...]
    dates: tuple[dt.date, ...] = ()
    declined: tuple[str, ...] = ()

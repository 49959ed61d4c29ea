"""Repair options of one panel and the choice among them: geometry first, hours and price put in by scope."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from shapely.geometry import Polygon

from soundmetal.grade.models import Graded, Spread, Step


class Method(StrEnum):
    """How a place is put right."""

    LEAVE = "leave"
    TREAT = "treat"
    PATCH = "patch"
    BUTT_WELD = "butt weld"
    FULL_PANEL = "full panel"
    REFER = "refer"


@dataclass(frozen=True)
class Cutout:
    """One opening in the panel: its polygon in the panel's own mm (0,0 front lower corner), and whose rust it holds.

    `ends` names the panel sides (lower, upper, front, rear) that it goes right out to; no butt seam is needed there.
    `shape` is the measured rust with its margin before the corners were rounded, None where it is a rectangle; `off`
    are circles (x, y, radius) round mountings that it keeps out of.
    """

    outline: Polygon
    findings: tuple[str, ...]
    edge_length_mm: float
    seam_length_mm: float
    placed: bool
    ends: tuple[str, ...] = ()
    shape: Polygon | None = None
    off: frozenset[tuple[float, float, float]] = frozenset()

    @property
    def area_mm2(self) -> float:
        """Area of the opening."""
        return float(self.outline.area)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the box round it."""
        x0, y0, x1, y1 = self.outline.bounds
        return x1 - x0, y1 - y0


@dataclass(frozen=True)
class Geometry:
    """What an option needs in the metal, before growth by hidden rust. Lengths in mm, areas in mm2, counts whole.

    `seam_mm` is butt seam; `factory_flange_mm` the length along factory flanges that is plug welded; `visible`
    whether the seam lies on finished skin. `braces` counts openings that must be braced before the cut.
    """

    cutouts: tuple[Cutout, ...] = ()
    strip_mm2: float = 0.0
    cut_mm: float = 0.0
    curved: bool = False
    seam_mm: float = 0.0
    factory_flange_mm: float = 0.0
    plug_welds: int = 0
    drilled_spots: int = 0
    blank_mm2: float = 0.0
    blanks: int = 0
    bends: int = 0
    bead_mm: float = 0.0
    braces: int = 0
    cavities: int = 0
    visible: bool = False


@dataclass(frozen=True)
class Buying:
    """Make or buy, weighed: expected hours and prices before tax, with mark-up.

    `make_h` and `sheet` are what making the piece takes; `paid` (with freight) and `fit_h` what a bought panel takes,
    None and 0 where the shop book has none. From `even_h` hours of making on the bought one is the better; up to
    `most` paid for it, freight included, a bought panel would be.
    """

    make_h: float
    sheet: Decimal
    paid: Decimal | None
    fit_h: float
    even_h: float | None
    most: Decimal
    text: Step


@dataclass(frozen=True)
class Option:
    """One method for one panel: feasible or the reason why not; hours and price once scope has put them in."""

    panel: str
    method: Method
    findings: tuple[str, ...]
    geometry: Geometry
    feasible: bool
    why_not: Step | None = None
    rules: tuple[str, ...] = ()
    hours: Spread | None = None
    price: Decimal | None = None
    bought: bool = False
    buying: Buying | None = None


@dataclass(frozen=True)
class Loser:
    """An option that was not taken, and the reason in a translatable sentence."""

    option: Option
    reason: Step


@dataclass(frozen=True)
class Choice:
    """The method taken for one panel's findings, what else was possible, and why."""

    panel: str
    taken: Option
    reason: Step
    losers: tuple[Loser, ...]
    graded: tuple[Graded, ...] = field(repr=False, default=())

"""What grading says of a finding and of a zone: results only, never stored, always with the way they came about."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from soundmetal.record.models import Finding
from soundmetal.steps import Spread as Spread
from soundmetal.steps import Step as Step


class Level(StrEnum):
    """How bad a place is. The order of severity is in `SEVERITY`."""

    SOUND = "sound"
    SURFACE = "surface"
    THINNED = "thinned"
    SPENT = "spent"
    UNSAFE = "unsafe"
    NOT_SEEN = "not seen"


#: Rank for sorting, worst highest. Not seen ranks above sound: nobody knows.
SEVERITY = {
    Level.SOUND: 0,
    Level.NOT_SEEN: 1,
    Level.SURFACE: 2,
    Level.THINNED: 3,
    Level.SPENT: 4,
    Level.UNSAFE: 5,
}


@dataclass(frozen=True)
class MetalLeft:
    """Metal left as a share of the original thickness (0 to 1), and how that is known.

    `by` is "measured", "judged by eye" or "unknown". `original_mm`/`original_from` tell what it is held against
    ("reference reading", "nominal"). `least_mm` and `mean_mm` are of the readings that counted; None without any.
    """

    share: Spread
    by: str
    original_mm: float | None
    original_from: str
    least_mm: float | None
    mean_mm: float | None
    provable: bool
    ignored: tuple[str, ...] = ()


@dataclass(frozen=True)
class AreaGrade:
    """Rusted share in per cent with its ISO 4628-3 degree and ASTM D610 grade; `from_` says where it is from."""

    percent: float
    ri: int
    d610: int
    from_: str


@dataclass(frozen=True)
class ScorePart:
    """One part of the score: its rule id and points."""

    rule: str
    points: float


@dataclass(frozen=True)
class Graded:
    """One finding with its level, and how it came about.

    `also` are the other rules that hold; `urgency` is a translatable sentence; `book_notes` are the ids of the rule
    book's sentences that belong to this finding (`RuleBook.note(id)` gives text and source).
    """

    finding: Finding
    zone_id: str
    level: Level
    rule: str
    also: tuple[str, ...]
    suspect: bool
    metal_left: MetalLeft
    loss: float
    limit: float
    area: AreaGrade | None
    rusted_mm2: float
    score: float
    parts: tuple[ScorePart, ...]
    urgency: str
    why: tuple[Step, ...]
    near_mounting: bool
    book_notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class ZoneState:
    """One zone of the car: the worst of its findings, or sound, or not seen, with the reason.

    `rule` is the id of the rule that decided; `why` a translatable sentence; `missing` the checks that were not done.
    """

    zone_id: str
    level: Level
    rule: str
    why: Step
    findings: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class Grades:
    """The whole car graded: findings worst first, every zone in the order of the walk."""

    findings: tuple[Graded, ...]
    zones: tuple[ZoneState, ...]

    @property
    def by_id(self) -> dict[str, Graded]:
        """Graded findings by their id."""
        return {g.finding.id: g for g in self.findings}

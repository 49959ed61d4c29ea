"""Four marks round a cut, punched before it: their diagonals tell afterwards whether the opening has moved."""

from __future__ import annotations

from collections.abc import Sequence

from soundmetal.car.models import Shape, Zone
from soundmetal.scope.models import Blank

_ACROSS, _UP = ("front", "rear"), ("lower", "upper")


def marks_round(blanks: Sequence[Blank], zone: Zone, off_mm: float) -> tuple[float, float] | None:
    """Give the sides of the rectangle of marks round all cuts of one panel [mm], along it and up it.

    The marks stand `off_mm` outside the cuts; where a cut goes out to a side of the panel, beside the cut and that
    far inside the panel's edge. None where no four marks find steel: the cut takes a corner of the panel, the panel
    ends too near, or it curves both ways, so that a tape does not lie straight on it.
    """
    ends = {side for blank in blanks for side in blank.bent}
    corner = not ends.isdisjoint(_ACROSS) and not ends.isdisjoint(_UP)
    points = [point for blank in blanks for point in blank.outline_mm]
    if corner or not points or zone.shape is Shape.COMPOUND:
        return None
    along = _between([x for x, _ in points], zone.size_mm[0], off_mm, [side in ends for side in _ACROSS])
    up = _between([y for _, y in points], zone.size_mm[1], off_mm, [side in ends for side in _UP])
    return None if along is None or up is None else (along, up)


def _between(at_mm: Sequence[float], whole_mm: float, off_mm: float, out: Sequence[bool]) -> float | None:
    """From one mark to the other along one side of the panel, `out` where the cut goes out to that end of it."""
    first = off_mm if out[0] else min(at_mm) - off_mm
    last = whole_mm - off_mm if out[1] else max(at_mm) + off_mm
    return last - first if 0 <= first < last <= whole_mm else None

"""The usual profile of a panel across its length, cut down to one opening: what is bent where nobody measured it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from soundmetal.car.models import ProfileBend, Zone
from soundmetal.repair.models import Cutout

#: The sides that a profile can end at with a flange.
_ENDS = frozenset({"lower", "upper"})
_NEAR = 1e-6


@dataclass(frozen=True)
class Profile:
    """Legs [mm] and bends of one piece from its lower end up; `low_mm` is where that end lies on the panel.

    The panel's height is measured along its outside, leg by leg, so `low_mm` is below the opening by a flange that
    is bent from its lower edge.
    """

    legs_mm: tuple[float, ...]
    bends: tuple[ProfileBend, ...]
    low_mm: float


def profile_of(zone: Zone, cut: Cutout, flange_mm: float, least_mm: float = 0.0) -> Profile | None:
    """Give what has to be bent for an opening; None where the panel has no usual profile or the piece stays flat.

    An end leg of less than `least_mm`, which no brake could take, is left that long and trimmed after bending. An
    opening that runs out at the front or the rear has no profile either: its flanges stand the other way.
    """
    usual = zone.profile
    if usual is None or set(cut.ends) - _ENDS:
        return None
    _, low, _, high = cut.outline.bounds
    scale = zone.size_mm[1] / math.fsum(usual.legs_mm)
    edges = [scale * math.fsum(usual.legs_mm[:n]) for n in range(len(usual.legs_mm) + 1)]
    kept = [n for n in range(len(usual.legs_mm)) if min(edges[n + 1], high) - max(edges[n], low) > _NEAR]
    legs = [min(edges[n + 1], high) - max(edges[n], low) for n in kept]
    bends = [usual.bends[n] for n in kept[:-1]]
    start = max(edges[kept[0]], low) if kept else low
    lower, upper = "lower" in cut.ends, "upper" in cut.ends
    if not lower and legs and legs[0] < least_mm:
        start, legs[0] = start - (least_mm - legs[0]), least_mm
    if not upper and legs:
        legs[-1] = max(legs[-1], least_mm)
    if lower:
        legs, bends, start = [flange_mm, *legs], [usual.flanges[0], *bends], start - flange_mm
    if upper:
        legs, bends = [*legs, flange_mm], [*bends, usual.flanges[1]]
    return Profile(tuple(legs), tuple(bends), start) if bends else None

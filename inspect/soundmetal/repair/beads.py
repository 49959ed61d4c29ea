"""Beads of a new piece: the factory's where they were measured, else the shop's habit; where each one runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from soundmetal.car.models import Role, Zone
from soundmetal.record.models import Finding
from soundmetal.record.shapes import KeptOpening
from soundmetal.repair.flat import ARC_SEGMENTS
from soundmetal.repair.models import Cutout
from soundmetal.repair.practice import practice

Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Beads:
    """From bead to bead, width, depth [mm]; `upward` where they run up the panel's height, else along its length."""

    pitch_mm: float
    width_mm: float
    depth_mm: float
    upward: bool = False
    factory: bool = False


def beads_of(findings: Sequence[Finding], zone: Zone) -> Beads | None:
    """Give the beads of a new piece for some findings; None where the part has none."""
    told = next((finding.beads for finding in findings if finding.beads is not None), None)
    if told is not None:
        return Beads(told.pitch, told.width, told.depth, told.run == "up", factory=True)
    habit = practice().beads
    return Beads(habit.pitch_mm, habit.width_mm, habit.depth_mm) if Role(zone.role) in habit.roles else None


def opening_shape(kept: KeptOpening) -> Polygon:
    """Give an opening to keep as a polygon in the panel's own mm."""
    x, y = kept.at
    if kept.hole is not None:
        return LineString([(x, y), (x, y)]).centroid.buffer(kept.hole / 2, quad_segs=ARC_SEGMENTS)
    wide, tall = kept.size or (0.0, 0.0)
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return Polygon([(x + a * wide / 2, y + b * tall / 2) for a, b in corners])


def bead_lines(cut: Cutout, findings: Sequence[Finding], zone: Zone) -> tuple[Line, ...]:
    """Lay the beads of one opening: evenly about its middle, their ends short of every edge and opening."""
    mine = [finding for finding in findings if finding.id in cut.findings]
    beads = beads_of(mine, zone)
    if beads is None or any(finding.section is not None for finding in mine):
        return ()
    kept = unary_union([opening_shape(k) for finding in mine for k in finding.keep])
    clear = practice().beads.stop_short_mm + beads.width_mm / 2
    room = cut.outline.buffer(-clear).difference(kept.buffer(clear))
    if room.is_empty:
        return ()
    return tuple(line for at in _places(room, beads) if (line := _longest(room, at, upward=beads.upward)))


def _places(room: BaseGeometry, beads: Beads) -> list[float]:
    x0, y0, x1, y1 = room.bounds
    low, high = (x0, x1) if beads.upward else (y0, y1)
    count = math.floor((high - low) / beads.pitch_mm + 1e-9) + 1
    first = (low + high - (count - 1) * beads.pitch_mm) / 2
    return [first + n * beads.pitch_mm for n in range(count)]


def _longest(room: BaseGeometry, at: float, *, upward: bool) -> Line | None:
    x0, y0, x1, y1 = room.bounds
    whole = LineString([(at, y0 - 1), (at, y1 + 1)] if upward else [(x0 - 1, at), (x1 + 1, at)])
    inside = room.intersection(whole)
    parts = [part for part in getattr(inside, "geoms", [inside]) if part.length >= practice().beads.least_mm]
    if not parts:
        return None
    a, b, c, d = max(parts, key=lambda part: (round(part.length, 6), -part.bounds[0], -part.bounds[1])).bounds
    return (a, b), (c, d)

"""Cut-outs: visible rust grown by a margin to sound metal, corners rounded, joined where the bridge is too narrow.

All of it happens in the panel's own flat mm: 0,0 is the front lower corner, x runs along the length, y up. Sides of
the panel that end at an edge or a flange are `edges`; a cut-out that comes near one goes right out to it. Other sides
are only the border of the zone; the panel goes on beyond, so a seam is needed there.
"""

from __future__ import annotations

import math
from dataclasses import replace

from shapely.geometry import Polygon, box

from soundmetal.car.models import Zone
from soundmetal.record.models import Finding
from soundmetal.record.shopbook import Policies
from soundmetal.repair.flat import ARC_SEGMENTS, SIDE_ORDER, Box, Flat, flat_of
from soundmetal.repair.models import Cutout
from soundmetal.repair.practice import practice
from soundmetal.repair.shaped import kept_off, measured, mountings, rounded_shape, side_line

#: Places tried for rust whose place is not written down.
TRIED = 24
_NEAR = 1e-6


def rust_size(finding: Finding, flat: Flat) -> tuple[float, float]:
    """Length along the panel and height of a finding's rust in mm; from an area, a square that fits the panel.

    Where nobody wrote an extent down (an earlier repair that hides rust) the practice's own figure stands in.
    """
    if (size := finding.box_size) is not None:
        return min(size[0], flat.length_mm), min(size[1], flat.height_mm)
    if finding.area is None:
        length, width = practice().unknown_extent_mm
        return min(length, flat.length_mm), min(width, flat.height_mm)
    area = min(finding.area, flat.area_mm2)
    height = min(math.sqrt(area), flat.height_mm)
    return min(area / height, flat.length_mm), height


def rust_boxes(findings: tuple[Finding, ...], zone: Zone, clear_mm: float) -> tuple[Box, ...]:
    """Put every finding's rust on the panel: where it was written down, else where it keeps clear of the others."""
    flat = flat_of(zone)
    done: list[Box] = []
    for finding in sorted(findings, key=lambda f: (f.middle is None, findings.index(f))):
        if finding.outline is not None:
            done.append(_ending(measured(finding, flat), finding, flat))
        elif finding.at is not None:
            spot = finding.at
            done.append(_ending(_round_spot(finding, flat, spot), finding, flat))
        else:
            done.append(_unplaced(finding, flat, done, clear_mm))
    order = {finding.id: place for place, finding in enumerate(findings)}
    return tuple(sorted(done, key=lambda b: order[b.findings[0]]))


def cutouts(findings: tuple[Finding, ...], zone: Zone, policies: Policies) -> tuple[Cutout, ...]:
    """Give the openings to cut for some findings of one zone, from the front.

    Margin, corner radius and bridge are the shop's policies; 25 mm and 20 mm are common practice, from memory.
    """
    clear = 2 * policies.margin + policies.bridge
    rusts = rust_boxes(findings, zone, clear)
    off = mountings(findings, rusts, policies)
    boxes = [_on_sheet(replace(b.grown(policies.margin), off=off), flat_of(zone), policies) for b in rusts]
    return tuple(outline(b, zone, policies.corner_radius) for b in _joined(boxes, flat_of(zone), policies))


def to_edges(openings: tuple[Cutout, ...], zone: Zone, policies: Policies) -> tuple[Cutout, ...]:
    """Take each opening on to the panel's nearest edge where that makes its own seam no longer."""
    taken = (_no_longer(opening, zone, policies) for opening in openings)
    boxes = _joined([_as_box(one) for one in taken], flat_of(zone), policies)
    return tuple(outline(b, zone, policies.corner_radius) for b in boxes)


def one_section(openings: tuple[Cutout, ...], zone: Zone, policies: Policies) -> Cutout:
    """Join all openings into one section that goes to the edge with the shortest seam; closed where no edge is."""
    flat = flat_of(zone)
    whole = _as_box(openings[0])
    for other in openings[1:]:
        whole = whole.with_(_as_box(other))
    sides = [whole.taken_to(side, flat) for side in SIDE_ORDER if side in flat.edges] or [whole]
    sections = [outline(b, zone, policies.corner_radius) for b in (sides if not whole.ends else [whole])]
    return min(sections, key=lambda c: (c.seam_length_mm, c.area_mm2))


def outline(area: Box, zone: Zone, radius_mm: float) -> Cutout:
    """Round the corners that lie in the metal and measure edge and seam.

    Corners on the panel's border stay square: at an edge nothing is left to round, and where the zone ends without
    one, the rust may run right up to the border and a round corner would leave some of it standing.
    """
    flat = flat_of(zone)
    rounded = _rounded if area.shape is None else rounded_shape
    shape = kept_off(rounded(area, flat, radius_mm), area, radius_mm)
    edge = sum(_along(shape, side, flat) for side in _sides(area.ends))
    seam = max(float(shape.length) - edge, 0.0)
    return Cutout(shape, area.findings, edge, seam, area.placed, _sides(area.ends), area.shape, area.off)


def _rounded(area: Box, flat: Flat, radius_mm: float) -> Polygon:
    beyond = {side: 2 * radius_mm if area.room(side, flat) <= _NEAR else 0.0 for side in SIDE_ORDER}
    stretched = box(
        area.x0 - beyond["front"], area.y0 - beyond["lower"], area.x1 + beyond["rear"], area.y1 + beyond["upper"]
    )
    x0, y0, x1, y1 = stretched.bounds
    radius = min(radius_mm, (x1 - x0) / 2 - _NEAR, (y1 - y0) / 2 - _NEAR)
    rounded = stretched.buffer(-radius).buffer(radius, quad_segs=ARC_SEGMENTS) if radius > _NEAR else stretched
    return rounded.intersection(box(area.x0, area.y0, area.x1, area.y1))


def _along(shape: Polygon, side: str, flat: Flat) -> float:
    return float(shape.exterior.intersection(side_line(side, flat)).length)


def _round_spot(finding: Finding, flat: Flat, spot: tuple[float, float]) -> Box:
    """The rust round its written middle, moved just enough to lie on the panel."""
    width, height = rust_size(finding, flat)
    x = min(max(spot[0], width / 2), flat.length_mm - width / 2)
    y = min(max(spot[1], height / 2), flat.height_mm - height / 2)
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2, (finding.id,))


def _ending(area: Box, finding: Finding, flat: Flat) -> Box:
    """Take rust that is said to reach an edge to the nearest one."""
    if not finding.reaches_edge:
        return area
    sides = [side for side in SIDE_ORDER if side in flat.edges] or list(SIDE_ORDER)
    return area.taken_to(min(sides, key=lambda side: area.room(side, flat)), flat)


def _unplaced(finding: Finding, flat: Flat, others: list[Box], clear_mm: float) -> Box:
    """Find a spot for rust whose place nobody wrote down: the middle, or the nearest clear of the others."""
    width, height = rust_size(finding, flat)
    y = height / 2 if finding.reaches_edge and "lower" in (flat.edges or {"lower"}) else flat.height_mm / 2
    middle, travel = flat.length_mm / 2, (flat.length_mm - width) / 2
    steps = [k * travel / (TRIED // 2) for k in range(TRIED // 2 + 1)]
    spots = [middle + sign * step for step in steps for sign in (1, -1)]
    boxes = [
        Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2, (finding.id,), placed=False) for x in spots
    ]
    free = [b for b in boxes if all(b.gap_to(other) >= clear_mm for other in others)]
    return _ending(free[0] if free else boxes[0], finding, flat)


def _on_sheet(area: Box, flat: Flat, policies: Policies) -> Box:
    """Take an opening out to every panel edge it reaches or comes near, then keep to the panel."""
    for side in SIDE_ORDER:
        if side in flat.edges and area.room(side, flat) < policies.margin:
            area = area.taken_to(side, flat)
    return area.clipped(flat)


def _joined(boxes: list[Box], flat: Flat, policies: Policies) -> list[Box]:
    """Join openings that overlap or leave too narrow a bridge, until none are left."""
    todo = list(boxes)
    while (pair := _first_close(todo, policies.bridge)) is not None:
        one, other = pair
        todo = [b for b in todo if b is not one and b is not other]
        todo.append(_on_sheet(one.with_(other), flat, policies))
    return sorted(todo, key=lambda b: (b.x0, b.y0, b.findings))


def _first_close(boxes: list[Box], bridge_mm: float) -> tuple[Box, Box] | None:
    pairs = ((one, other) for i, one in enumerate(boxes) for other in boxes[i + 1 :])
    return next(((one, other) for one, other in pairs if one.gap_to(other) < bridge_mm), None)


def _as_box(opening: Cutout) -> Box:
    x0, y0, x1, y1 = opening.outline.bounds
    ends = frozenset(opening.ends)
    return Box(x0, y0, x1, y1, opening.findings, opening.placed, ends, opening.shape, opening.off)


def _no_longer(opening: Cutout, zone: Zone, policies: Policies) -> Cutout:
    if opening.ends:
        return opening
    flat = flat_of(zone)
    sides = [_as_box(opening).taken_to(side, flat) for side in SIDE_ORDER if side in flat.edges]
    best = min((outline(b, zone, policies.corner_radius) for b in sides), key=_seam, default=opening)
    return best if best.seam_length_mm <= opening.seam_length_mm else opening


def _sides(ends: frozenset[str]) -> tuple[str, ...]:
    return tuple(side for side in SIDE_ORDER if side in ends)


def _seam(opening: Cutout) -> float:
    return opening.seam_length_mm

"""What each method needs in the metal: lengths, areas and counts, from cut-outs and zone. No hours, no money."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from soundmetal.calc.plug import plug_row
from soundmetal.car.models import Shape, Zone
from soundmetal.record.models import Finding
from soundmetal.record.shapes import Section
from soundmetal.record.shopbook import Policies
from soundmetal.repair.beads import bead_lines
from soundmetal.repair.cutout import rust_boxes
from soundmetal.repair.flat import SIDE_ORDER, Flat, flat_of
from soundmetal.repair.models import Cutout, Geometry
from soundmetal.repair.practice import practice
from soundmetal.repair.profile import profile_of

_NEAR = 1e-6


def treated(findings: tuple[Finding, ...], zone: Zone, policies: Policies) -> Geometry:
    """Strip and coat the rust and a feather round it; a closed box gets its cavity waxed."""
    return Geometry(
        strip_mm2=_area_of(_feathered(findings, zone, policies)),
        cavities=_cavities(zone),
        visible=zone.visible,
    )


def let_in(
    openings: tuple[Cutout, ...],
    rest: tuple[Finding, ...],
    zone: Zone,
    policies: Policies,
    findings: tuple[Finding, ...] = (),
) -> Geometry:
    """Cut the openings and weld new metal in: butt seam in the metal, plug welds where a factory flange is reached.

    `rest` is rust on the same panel that is stripped and coated instead; `findings` are those in the openings, for
    the sections and beads that were measured there. Metal is stripped by the shop's feather
    round every opening as well, because nothing may be welded on paint, zinc or rust.
    """
    flat = flat_of(zone)
    seam = sum(c.seam_length_mm for c in openings)
    flanges = tuple(length for c in openings for length in flange_lengths(c))
    plugs = sum(plug_row(length, policies.plug_end, policies.plug_pitch).count for length in flanges)
    blank = sum(blank_area_mm2(c, findings, policies) for c in openings)
    share = sum(c.area_mm2 for c in openings) / flat.area_mm2
    bare = [*_feathered(rest, zone, policies), *(_round(c, flat, policies.feather) for c in openings)]
    return Geometry(
        cutouts=openings,
        strip_mm2=_area_of(bare),
        cut_mm=seam,
        curved=zone.shape is not Shape.FLAT,
        seam_mm=seam,
        factory_flange_mm=sum(flanges),
        plug_welds=plugs,
        drilled_spots=plugs,
        blank_mm2=blank,
        blanks=len(openings),
        bends=sum(_bends(c, findings, zone, policies) for c in openings),
        bead_mm=_beads(openings, findings, zone),
        braces=1 if practice().needs_brace(zone, share) else 0,
        cavities=_cavities(zone),
        visible=zone.visible,
    )


def whole_panel(findings: tuple[Finding, ...], zone: Zone, policies: Policies) -> Geometry:
    """Take the panel off at its factory seams and put a whole one on: drilled spots and plug welds, no butt seam."""
    flat = flat_of(zone)
    sides = tuple(side for side in SIDE_ORDER if side in flat.edges) or SIDE_ORDER
    flanges = [flat.side_length(side) for side in sides]
    plugs = sum(plug_row(length, policies.plug_end, policies.plug_pitch).count for length in flanges)
    blank = flat.area_mm2 + sum(flanges) * policies.flange
    panel = _whole(findings, flat, sides)
    return Geometry(
        cutouts=(panel,),
        strip_mm2=sum(flanges) * 2 * policies.margin,
        curved=zone.shape is not Shape.FLAT,
        factory_flange_mm=sum(flanges),
        plug_welds=plugs,
        drilled_spots=plugs,
        blank_mm2=blank,
        blanks=1,
        bends=_bends(panel, findings, zone, policies),
        bead_mm=_beads((panel,), findings, zone),
        braces=1 if practice().needs_brace(zone, 1.0) else 0,
        cavities=_cavities(zone),
        visible=zone.visible,
    )


def visible_seam_mm(geometry: Geometry) -> float:
    """Butt seam that lies on finished skin, in mm."""
    return geometry.seam_mm if geometry.visible else 0.0


def flange_lengths(opening: Cutout) -> tuple[float, ...]:
    """Length of every factory flange that one opening goes out to."""
    width, height = opening.size_mm
    return tuple(width if side in ("lower", "upper") else height for side in opening.ends)


def _whole(findings: tuple[Finding, ...], flat: Flat, sides: tuple[str, ...]) -> Cutout:
    panel = box(0, 0, flat.length_mm, flat.height_mm)
    ids = tuple(finding.id for finding in findings)
    return Cutout(panel, ids, sum(flat.side_length(side) for side in sides), 0.0, True, sides)


def _feathered(findings: tuple[Finding, ...], zone: Zone, policies: Policies) -> list[Polygon]:
    flat = flat_of(zone)
    grown = [b.grown(policies.feather).clipped(flat) for b in rust_boxes(findings, zone, 2 * policies.feather)]
    return [box(b.x0, b.y0, b.x1, b.y1) for b in grown]


def _round(opening: Cutout, flat: Flat, by_mm: float) -> Polygon:
    x0, y0, x1, y1 = opening.outline.bounds
    whole = box(x0 - by_mm, y0 - by_mm, x1 + by_mm, y1 + by_mm)
    return whole.intersection(box(0, 0, flat.length_mm, flat.height_mm))


def _area_of(shapes: list[Polygon]) -> float:
    return float(unary_union(shapes).area) if shapes else 0.0


def section_of(opening: Cutout, findings: Sequence[Finding]) -> Section | None:
    """Give the bent section that was measured at one of an opening's findings, the first of them."""
    told = (f.section for f in findings if f.id in opening.findings and f.section is not None)
    return next(told, None)


def blank_area_mm2(opening: Cutout, findings: Sequence[Finding], policies: Policies) -> float:
    """Give about the area of an opening's blank: with its flanges, or the outside legs of its section."""
    section = section_of(opening, findings)
    if section is not None:
        return opening.size_mm[0] * sum(section.legs)
    return opening.area_mm2 + opening.edge_length_mm * policies.flange


def _bends(opening: Cutout, findings: Sequence[Finding], zone: Zone, policies: Policies) -> int:
    told = section_of(opening, findings) or profile_of(zone, opening, policies.flange)
    return len(told.bends) if told is not None else len(opening.ends)


def _beads(openings: Sequence[Cutout], findings: Sequence[Finding], zone: Zone) -> float:
    lines = [line for opening in openings for line in bead_lines(opening, findings, zone)]
    return sum(math.dist(*line) for line in lines)


def _cavities(zone: Zone) -> int:
    return 1 if zone.construction in practice().cavity else 0

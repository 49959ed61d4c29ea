"""Bent sections from a list of outside legs and angles: hat, step, box, outer rocker."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import transform
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from soundmetal.calc.profile import FlatStrip, fold_up, lay_flat
from soundmetal.errors import RecordError
from soundmetal.record.shapes import Section
from soundmetal.repair.bending import Bending
from soundmetal.repair.profile import Profile
from soundmetal.scope.models import BendLine
from soundmetal.scope.patterns.flat import Flat, Straight

#: Straight parts that one bend is followed with.
_CHORDS = 6
#: Neutral lines of an end that butts against a face are half a thickness apart; a little less for its slant.
_BUTTED = 0.45
_STEP_MM = 5.0


def bent_section(opening: Polygon, section: Section, bending: Bending, findings: Sequence[str]) -> Flat:
    """Give the flat piece of a section as long as the opening, its lower edge where the opening's is.

    RecordError with the findings' ids for a bend of 180 degrees or more, an end leg shorter than the brake can take,
    a leg that its bends use up, and legs that run into each other.
    """
    laid = _laid(section, bending, ", ".join(findings))
    x0, y0, x1, _ = opening.bounds
    whole = box(x0, y0, x1, y0 + laid.length_mm)
    straights = tuple(_straights(laid, section.legs, bending, y0))
    return Flat(whole, "section", _bends(laid, (x0, x1), y0), fold_up(laid), section.legs, straights=straights)


def usual_section(opening: Polygon, profile: Profile, bending: Bending) -> Flat | None:
    """Give the flat piece of an opening in a panel that is usually bent like this; None where that cannot be.

    The opening keeps its shape: what lies on a leg is moved with the leg, and its round corners stay round.
    """
    try:
        folds = [bending.fold(bend.through, None, up=bend.way == "up") for bend in profile.bends]
        laid = lay_flat(profile.legs_mm, folds, bending.thickness_mm)
    except ValueError:
        return None
    low = profile.low_mm
    straights = tuple(_straights(laid, profile.legs_mm, bending, low))
    # Slanting edges are followed piece by piece where they cross a bend.
    flat = transform(opening.segmentize(_STEP_MM), lambda points: [(x, _on_flat(y, straights)) for x, y in points])
    x0, y0, x1, y1 = flat.bounds
    top = low + laid.length_mm
    more = [box(x0, low, x1, y0)] if y0 > low + 1e-6 else []
    more += [box(x0, y1, x1, top)] if top > y1 + 1e-6 else []
    whole = unary_union([flat, *more])
    outline = whole if isinstance(whole, Polygon) else whole.convex_hull
    return Flat(
        outline, "section", _bends(laid, (x0, x1), low), fold_up(laid), profile.legs_mm, straights=straights
    )  # fmt: skip


def onto_legs(shape: Polygon, flat: Flat) -> Polygon | None:
    """Lay an opening to keep, whose height is measured along the outside, on the flat piece.

    None where it is not wholly on one leg, between the bends, or reaches beyond the piece: it is taken from the car.
    """
    _, low, _, high = shape.bounds
    on = next((one for one in flat.straights if one.low_mm <= low and high <= one.high_mm), None)
    if on is None:
        return None
    moved = transform(shape, lambda points: [(x, y + on.shift_mm) for x, y in points])
    return moved if flat.outline.buffer(-1e-6).contains(moved) else None


def _straights(laid: FlatStrip, legs: Sequence[float], bending: Bending, low_mm: float) -> Iterator[Straight]:
    """The straight part of every leg: where it lies on the panel's outside, and by how much the flat one is off."""
    backs = [0.0, *(bending.setback_mm(at.fold.bent_deg, at.fold.radius_mm) for at in laid.folds), 0.0]
    ends = [0.0, *(at.end_mm for at in laid.folds)]
    outside = 0.0
    for number, leg in enumerate(legs):
        start, end = outside + backs[number], outside + leg - backs[number + 1]
        yield Straight(low_mm + start, low_mm + end, ends[number] - start)
        outside += leg


def _on_flat(y: float, straights: Sequence[Straight]) -> float:
    """Where a height on the panel's outside lies on the flat piece; within a bend in proportion."""
    for number, one in enumerate(straights):
        if y <= one.high_mm + 1e-9:
            if y >= one.low_mm or number == 0:
                return y + one.shift_mm
            before = straights[number - 1]
            share = (y - before.high_mm) / (one.low_mm - before.high_mm)
            start, end = before.high_mm + before.shift_mm, one.low_mm + one.shift_mm
            return start + share * (end - start)
    return y + straights[-1].shift_mm


def _bends(laid: FlatStrip, ends: tuple[float, float], low_mm: float) -> tuple[BendLine, ...]:
    (left, right), lines = ends, ((low_mm + at.at_mm, at.fold) for at in laid.folds)
    return tuple(BendLine((left, y), (right, y), fold.bent_deg, fold.radius_mm, fold.up) for y, fold in lines)


def _collides(line: Sequence[tuple[float, float]], legs: int, thickness_mm: float) -> bool:
    """Tell whether legs that are no neighbours come nearer than the sheet allows; an end may butt against a face."""
    step = _CHORDS + 1
    straights = [LineString([line[n * step], line[n * step + 1]]) for n in range(legs)]
    pairs = ((one, other) for n, one in enumerate(straights) for other in straights[n + 2 :])
    return any(one.distance(other) < _BUTTED * thickness_mm for one, other in pairs)


def _laid(section: Section, bending: Bending, ids: str) -> FlatStrip:
    ends = {1: section.legs[0], len(section.legs): section.legs[-1]}
    short = next((number for number, leg in ends.items() if leg < bending.least_flange_mm), None)
    if short is not None:
        raise RecordError(
            f"{ids}: leg {short} of the section is {ends[short]:g} mm, shorter than the brake can take "
            f"({bending.least_flange_mm:g} mm)",
            todo="Make it longer and trim it after bending, or put your brake's least flange into the shop book.",
        )
    try:
        folds = [bending.fold(bend.through, bend.radius, up=bend.way == "up") for bend in section.bends]
        laid = lay_flat(section.legs, folds, bending.thickness_mm)
    except ValueError as error:
        raise RecordError(f"{ids}: the section cannot be bent: {error}", todo="Measure the section again.") from error
    if _collides(fold_up(laid, _CHORDS), len(section.legs), bending.thickness_mm):
        raise RecordError(f"{ids}: the legs of the section run into each other", todo="Measure the section again.")
    return laid

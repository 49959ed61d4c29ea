"""Bent sections from a list of outside legs and angles: hat, step, box, outer rocker."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import LineString, Polygon, box

from soundmetal.calc.profile import FlatStrip, fold_up, lay_flat
from soundmetal.errors import RecordError
from soundmetal.record.shapes import Section
from soundmetal.repair.bending import Bending
from soundmetal.scope.models import BendLine
from soundmetal.scope.patterns.flat import Flat

#: Straight parts that one bend is followed with.
_CHORDS = 6
#: Neutral lines of an end that butts against a face are half a thickness apart; a little less for its slant.
_BUTTED = 0.45


def bent_section(opening: Polygon, section: Section, bending: Bending, findings: Sequence[str]) -> Flat:
    """Give the flat piece of a section as long as the opening, its lower edge where the opening's is.

    RecordError with the findings' ids for a bend of 180 degrees or more, an end leg shorter than the brake can take,
    a leg that its bends use up, and legs that run into each other.
    """
    laid = _laid(section, bending, ", ".join(findings))
    x0, y0, x1, _ = opening.bounds
    bends = tuple(
        BendLine((x0, y0 + at.at_mm), (x1, y0 + at.at_mm), at.fold.bent_deg, at.fold.radius_mm, at.fold.up)
        for at in laid.folds
    )
    return Flat(box(x0, y0, x1, y0 + laid.length_mm), "section", bends, fold_up(laid), section.legs)


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

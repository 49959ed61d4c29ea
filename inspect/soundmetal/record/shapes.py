"""Shapes as people measure them at the car: an outline, an opening to keep, a bent section, the factory's beads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator
from shapely.geometry import Polygon
from shapely.validation import explain_validity

from soundmetal.record.quantities import LengthMm, SizeMm
from soundmetal.record.written import Name, Written

#: A corner, in mm from the zone's front (or left) edge and from its lower edge.
Corner = tuple[LengthMm, LengthMm]
#: How steel is formed at one place; the words are the catalogue's.
Form = Literal["flat", "single curve", "compound"]
#: An outline with more corners than this was not measured by hand; it only makes the work slow.
MOST_CORNERS = 500


def ring(corners: Sequence[tuple[float, float]]) -> Polygon:
    """Give an outline as a polygon.

    >>> ring(((0, 0), (100, 0), (100, 50))).area
    2500.0
    """
    return Polygon(corners)


def crossing(corners: Sequence[tuple[float, float]]) -> str:
    """Say what is wrong with an outline; nothing where it runs once round without crossing itself.

    >>> crossing(((0, 0), (100, 50), (100, 0), (0, 50)))
    'crosses itself near 50 x 25 mm'
    >>> crossing(((0, 0), (50, 0), (100, 0)))
    'has no area'
    >>> crossing(((0, 0), (100, 0), (50, 40)))
    ''
    """
    if not 3 <= len(corners) <= MOST_CORNERS:
        return f"has {len(corners)} corners: it needs 3 to {MOST_CORNERS}"
    shape = ring(corners)
    if shape.is_valid and shape.area > 0:
        return ""
    where = explain_validity(shape).partition("[")[2].rstrip("]").split()
    if not where or not shape.convex_hull.area:
        return "has no area"
    return f"crosses itself near {' x '.join(f'{float(one):.0f}' for one in where)} mm"


class KeptOpening(Written):
    """An opening that the new piece must have again (lamp, filler, drain): a round `hole`, or a `size`."""

    at: SizeMm = Field(
        description="where its middle lies: from the front (or left) edge x from the lower edge, "
        "on a bent section along its outside"
    )
    hole: Annotated[LengthMm, Field(gt=0)] | None = Field(default=None, description="diameter of a round opening")
    size: SizeMm | None = None
    name: Name = ""

    @model_validator(mode="after")
    def _is_round_or_square(self) -> Self:
        if (self.hole is None) is (self.size is None):
            raise ValueError("say how large the opening is: hole: 25 mm (round), or size: 60 x 40 mm")
        return self


class SectionBend(Written):
    """One bend of a section: the angle bent through (0 is flat, 90 a flange), up or down, its inside radius."""

    through: Annotated[float, Field(gt=0, lt=360, allow_inf_nan=False)]
    way: Literal["up", "down"] = "up"
    radius: LengthMm | None = None


class Section(Written):
    """A bent section as it is measured on the outside, from its lower edge upward: hat, step, box, rocker."""

    kind: Literal["hat", "step", "box", "rocker", "other"] = "other"
    legs: Annotated[tuple[Annotated[LengthMm, Field(gt=0)], ...], Field(min_length=2, max_length=20)]
    bends: Annotated[tuple[SectionBend, ...], Field(min_length=1, max_length=19)]

    @model_validator(mode="after")
    def _one_leg_more(self) -> Self:
        if len(self.legs) != len(self.bends) + 1:
            raise ValueError(
                f"{len(self.legs)} legs and {len(self.bends)} bends do not fit: there is one leg more than bends"
            )
        return self


class FactoryBeads(Written):
    """Beads as the factory rolled them: from bead to bead, width, depth, and which way they run."""

    pitch: Annotated[LengthMm, Field(gt=0)]
    width: Annotated[LengthMm, Field(gt=0)]
    depth: Annotated[LengthMm, Field(gt=0)]
    run: Literal["along", "up"] = Field(default="along", description="along the zone's length, or up its height")

    @model_validator(mode="after")
    def _fit_each_other(self) -> Self:
        if self.depth > self.width / 2:
            raise ValueError("a bead is at most half as deep as it is wide")
        if self.width > self.pitch:
            raise ValueError("beads are no wider than the distance from one to the next")
        return self

"""Marks on a photograph, and the photographs of a finding, as they are written down."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from soundmetal.record.quantities import LengthMm
from soundmetal.record.terms import MarkKind, TakenWhen
from soundmetal.record.written import Name, Written

Relative = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
_NUMBERS = {2: "two", 3: "three"}


class CallOut(Written):
    """A mark on a photograph, in parts of the upright picture: 0,0 top left, 1,1 bottom right.

    Points: one for `point` and `circle` (with `radius`, in parts of the picture's width), two for `box`, `arrow`
    (tail, then head) and `line`, three or more for `polygon`. `length` is what a `line` was measured to be. A `cover`
    is a box or a polygon without a number; what lies under it (a face, a number plate) is taken away in every copy.
    """

    kind: MarkKind
    points: Annotated[tuple[tuple[Relative, Relative], ...], Field(min_length=1, max_length=200)]
    radius: Annotated[float, Field(gt=0, le=1)] | None = None
    length: LengthMm | None = None
    text: Annotated[str, Field(max_length=120)] = ""

    @model_validator(mode="after")
    def _points_fit_the_kind(self) -> Self:
        exact = {MarkKind.POINT: 1, MarkKind.CIRCLE: 1, MarkKind.BOX: 2, MarkKind.ARROW: 2, MarkKind.LINE: 2}
        count = len(self.points)
        least = {MarkKind.POLYGON: 3, MarkKind.COVER: 2}.get(self.kind, 0)
        if least:
            if count < least:
                raise ValueError(f"a {self.kind.value} needs {_NUMBERS[least]} points or more, not {count}")
        elif count != exact[self.kind]:
            raise ValueError(f"a {self.kind.value} needs {exact[self.kind]} point(s), not {count}")
        if self.kind is MarkKind.CIRCLE and self.radius is None:
            raise ValueError("a circle needs a radius, in parts of the picture's width")
        return self


class PhotoUse(Written):
    """A photograph that shows a finding, with its call-outs."""

    file: Name
    when: TakenWhen = TakenWhen.BEFORE
    marks: tuple[CallOut, ...] = ()
    caption: Annotated[str, Field(max_length=300)] = ""

    @property
    def call_outs(self) -> tuple[CallOut, ...]:
        """The marks that are drawn and numbered: all but covers."""
        return tuple(mark for mark in self.marks if mark.kind is not MarkKind.COVER)

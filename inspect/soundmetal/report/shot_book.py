"""What an owner is asked to photograph, family by family: `data/shots.yaml`, validated once."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError

FILE = "shots.yaml"


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Letter(_Part):
    """The sentences round the list."""

    title: str
    hello: str
    hello_nobody: str
    ask: str
    how: tuple[str, ...]
    caution: str
    left: str
    right: str
    middle: str
    same: str
    again: str
    again_more: str
    rest_one: str
    rest_many: str
    enough: str
    thanks: str


class Shot(_Part):
    """How to photograph one family of zones: where to stand, how close and what helps (by name)."""

    view: str
    distance: str
    hint: str


class ShotBook(_Part):
    """All of it; `order` says which families come first, `most` how many places fit on the page.

    `most_again` is how many photographs are asked for once more.
    """

    most: Annotated[int, Field(ge=1, le=100)]
    most_again: Annotated[int, Field(ge=1, le=20)]
    order: tuple[str, ...]
    letter: Letter
    distances: dict[str, str]
    hints: dict[str, str]
    shots: dict[str, Shot]

    @model_validator(mode="after")
    def _names_lead_somewhere(self) -> Self:
        for family, shot in self.shots.items():
            if shot.distance not in self.distances or shot.hint not in self.hints:
                raise ValueError(f"{family}: no such distance or hint")
        unknown = sorted(set(self.order) - set(self.shots))
        if unknown:
            raise ValueError(f"order: nothing is said of {unknown[0]}")
        return self


@cache
def shot_book() -> ShotBook:
    """Give the book. SettingsError names what is wrong in the data file.

    >>> shot_book().shots["rocker"].distance
    'arm'
    """
    try:
        return ShotBook.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct this value.") from error

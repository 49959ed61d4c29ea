"""Settings and learnt weights of `data/rust.yaml`, validated once."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError

FILE = "rust.yaml"
#: Length of `segment.features`: brightness, two colours, then grain and the two colours around, near and wide.
FEATURES = 9

Weight = Annotated[float, Field(ge=-100, le=100, allow_inf_nan=False)]
Part = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]


class _Settings(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class WorkSettings(_Settings):
    """The size at which a picture is judged, and what is judged at all; lengths in pixels of that size."""

    long_side_px: Annotated[int, Field(ge=100, le=2000)]
    near_px: Annotated[int, Field(ge=1, le=20)]
    wide_px: Annotated[int, Field(ge=1, le=100)]
    black_below: Annotated[int, Field(ge=0, le=100)]
    bright_quantile: Annotated[float, Field(gt=0.5, le=1)]
    min_outline_px: Annotated[int, Field(ge=1)]


class WeightSettings(_Settings):
    """The learnt weights: a constant, one weight a feature, one for each pair of features (upper triangle)."""

    constant: Weight
    single: Annotated[tuple[Weight, ...], Field(min_length=FEATURES, max_length=FEATURES)]
    pairs: Annotated[tuple[tuple[Weight, ...], ...], Field(min_length=FEATURES, max_length=FEATURES)]
    rust_above: Weight
    max_chroma: Annotated[float, Field(gt=0, le=200)]

    @model_validator(mode="after")
    def _rows_make_a_triangle(self) -> Self:
        lengths = [len(row) for row in self.pairs]
        if lengths != list(range(FEATURES, 0, -1)):
            raise ValueError(f"the rows of pairs have {lengths} weights: they need {FEATURES}, {FEATURES - 1} ... 1")
        return self


class RangeSettings(_Settings):
    """The half-width of the range, as an angle whose squared sine is a share, and the part of cases it holds."""

    half_width_rad: Annotated[float, Field(gt=0, lt=1.5708)]
    holds: Part


class NoteSettings(_Settings):
    """From which part of the area on something is said of it (0 to 1)."""

    dark: Part
    glare: Part
    glare_from: Annotated[int, Field(ge=1, le=255)]
    nearly_all: Part
    trace: Part


class NoteTexts(_Settings):
    """What is said, as whole English sentences."""

    suggestion: str
    whole_picture: str
    dark: str
    glare: str
    nearly_all: str
    trace: str


class RustSettings(_Settings):
    """All settings of the rust share."""

    method: str
    work: WorkSettings
    weights: WeightSettings
    range: RangeSettings
    note_from: NoteSettings
    notes: NoteTexts


@cache
def settings() -> RustSettings:
    """Give the settings.

    Raises SettingsError when the data file is wrong.

    >>> len(settings().weights.single)
    9
    """
    try:
        return RustSettings.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct this value.") from error

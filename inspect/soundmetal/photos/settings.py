"""Limits and thresholds of `data/photos.yaml`, validated once."""

from __future__ import annotations

from functools import cache
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.photos.quality_settings import QualitySettings

FILE = "photos.yaml"


class _Settings(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ScanSettings(_Settings):
    """What is too large to be opened."""

    max_pixels: Annotated[int, Field(gt=0)]
    max_bytes: Annotated[int, Field(gt=0)]
    max_parts: Annotated[int, Field(ge=1000)]
    max_scans: Annotated[int, Field(ge=20)]
    min_preview_px: Annotated[int, Field(ge=100, le=10_000)]


class SourceSettings(_Settings):
    """How much may come out of what is packed, and how long its names may be."""

    max_unpacked_bytes: Annotated[int, Field(gt=0)]
    max_packed_bytes: Annotated[int, Field(gt=0)]
    max_members: Annotated[int, Field(gt=0)]
    max_ratio: Annotated[int, Field(ge=10)]
    ratio_from_bytes: Annotated[int, Field(ge=0)]
    max_depth: Annotated[int, Field(ge=1, le=10)]
    max_log_bytes: Annotated[int, Field(gt=0)]
    max_name_bytes: Annotated[int, Field(ge=100)]
    max_part_bytes: Annotated[int, Field(ge=20, le=255)]
    caption_letters: Annotated[int, Field(ge=20, le=4000)]
    rows_at_once: Annotated[int, Field(ge=1)]


class CopySettings(_Settings):
    """How a copy for the pages is made."""

    long_side_px: Annotated[int, Field(ge=100, le=10_000)]
    quality: Annotated[int, Field(ge=50, le=95)]
    workers: Annotated[int, Field(ge=1, le=64)]


class TagSettings(_Settings):
    """How much spelling help a tag gets."""

    min_likeness: Annotated[float, Field(gt=0.5, le=1)]
    min_letters: Annotated[int, Field(ge=3)]
    best: Annotated[int, Field(ge=1, le=10)]
    caption_letters: Annotated[int, Field(ge=20, le=4000)]
    between_s: Annotated[float, Field(ge=0, le=3600)]
    skip_words: frozenset[str]


class PhotoSettings(_Settings):
    """All settings of the photographs."""

    scan: ScanSettings
    sources: SourceSettings
    copies: CopySettings
    tags: TagSettings
    quality: QualitySettings


@cache
def settings() -> PhotoSettings:
    """Give the settings.

    Raises SettingsError when the data file is wrong.

    >>> settings().copies.long_side_px
    1600
    """
    try:
        return PhotoSettings.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct this value.") from error

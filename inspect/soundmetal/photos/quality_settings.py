"""Limits of a photograph's quality and of near-doubles: the section `quality` of `data/photos.yaml`."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

_Share = Annotated[float, Field(gt=0, lt=1)]
_Level = Annotated[int, Field(ge=1, le=255)]


class _Section(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class DoubleSettings(_Section):
    """When two photographs show the same, and when one of them is no better than the other.

    `covered_bits` and `covered_frames` (shares of the sides) are for the doubles of a photograph with a cover.
    """

    max_bits: Annotated[int, Field(ge=0, le=31)]
    equal_sharpness: _Share
    equal_light: _Share
    covered_bits: Annotated[int, Field(ge=0, le=31)]
    covered_frames: tuple[_Share, ...]


class QualitySettings(_Section):
    """What a photograph has to be like. Shares are from 0 to 1, grey levels from 0 to 255."""

    grey_px: Annotated[int, Field(ge=100, le=2000)]
    min_sharpness: _Share
    edge_share: _Share
    edge_swing: _Level
    min_edges: Annotated[int, Field(ge=1)]
    min_light: _Share
    max_clipped: _Share
    clipped_from: _Level
    min_structure: _Share
    pinhole_mm: Annotated[float, Field(gt=0)]
    pinhole_px: Annotated[float, Field(ge=1)]
    doubles: DoubleSettings

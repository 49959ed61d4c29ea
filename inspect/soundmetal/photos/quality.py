"""Whether a photograph shows what it should: blurred, too dark, washed out, too few pixels, nothing to see."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soundmetal.errors import PhotoError
from soundmetal.photos import quality_signals as signals
from soundmetal.photos.pixels import Grey, grey
from soundmetal.photos.quality_settings import QualitySettings
from soundmetal.photos.settings import settings
from soundmetal.steps import Step

_SOURCE: Final = "photos.yaml: quality"


class Kind(StrEnum):
    """What can be wrong with a photograph."""

    BLUR = "blurred"
    DARK = "too dark"
    WASHED_OUT = "washed out"
    SMALL = "too small"
    BACKGROUND = "nothing to see"


@dataclass(frozen=True)
class Problem:
    """One thing wrong: its figure, the limit it passed, and what to do, in one sentence.

    Shares from 0 to 1, but pixels across a pinhole for `SMALL`.
    """

    kind: Kind
    value: float
    limit: float
    advice: Step


@dataclass(frozen=True)
class Quality:
    """How a photograph was taken, in shares from 0 to 1, and what is wrong with it, worst first.

    `sharpness`: of the strongest edges, None where there are too few to tell; `mean` brightness; `bright`: the level
    that all but the brightest twentieth stay under; `clipped`: share as good as white; `structure`: share with
    something in it. `long_side_px`: pixels of the picture along its long side.
    """

    sharpness: float | None
    mean: float
    bright: float
    clipped: float
    structure: float
    long_side_px: int
    problems: tuple[Problem, ...] = ()


def assess(
    source: Path | bytes | NDArray[np.uint8] | Grey, size_mm: float | None = None, *, long_side_px: int | None = None
) -> Quality:
    """Judge one photograph, best by its copy for the pages.

    `size_mm` is the longer side of the finding it shows, None where it shows none. `long_side_px` is the original's
    when the source is a smaller copy. Whether a pinhole can show is told for a picture that the finding just fills:
    one taken from further away shows less. Raises PhotoError when it cannot be decoded or the size is none.

    >>> rng = np.random.default_rng(1)
    >>> noise = rng.integers(0, 200, (300, 400), dtype=np.uint8)
    >>> [problem.kind.value for problem in assess(noise, size_mm=900).problems]
    ['too small']
    """
    rules = settings().quality
    small = grey(source)
    seen = signals.light(small.levels, rules.clipped_from)
    quality = Quality(
        sharpness=signals.sharpness(small.levels, rules),
        mean=seen.mean,
        bright=seen.bright,
        clipped=seen.clipped,
        structure=signals.structure(small.levels, rules),
        long_side_px=long_side_px or small.long_side_px,
    )
    problems = (*_of_picture(quality, rules), *_of_size(quality.long_side_px, size_mm, rules))
    return Quality(**{**vars(quality), "problems": problems})


def _of_picture(quality: Quality, rules: QualitySettings) -> Iterator[Problem]:
    """Tell what is wrong with the picture itself. Of one that shows nothing, only light is told besides."""
    if quality.structure < rules.min_structure:
        yield Problem(Kind.BACKGROUND, quality.structure, rules.min_structure, _nothing_to_see())
    elif quality.sharpness is not None and quality.sharpness < rules.min_sharpness:
        yield Problem(Kind.BLUR, quality.sharpness, rules.min_sharpness, _blurred())
    if quality.bright < rules.min_light:
        yield Problem(Kind.DARK, quality.bright, rules.min_light, _too_dark())
    if quality.clipped > rules.max_clipped:
        yield Problem(Kind.WASHED_OUT, quality.clipped, rules.max_clipped, _washed_out())


def _of_size(long_side_px: int, size_mm: float | None, rules: QualitySettings) -> Iterator[Problem]:
    """Tell whether the least hole covers too few pixels when the finding fills the picture."""
    if size_mm is None:
        return
    if not (math.isfinite(size_mm) and size_mm > 0):
        raise PhotoError(f"a finding cannot be {size_mm} mm long", todo="Measure it again.")
    across_px = rules.pinhole_mm * long_side_px / size_mm
    if across_px < rules.pinhole_px:
        parts = math.ceil(rules.pinhole_px / across_px)
        yield Problem(Kind.SMALL, across_px, rules.pinhole_px, _too_small(rules.pinhole_mm, parts))


def _nothing_to_see() -> Step:
    return Step(
        "Hardly anything can be seen here: move closer until the metal fills the picture, and make sure that nothing "
        "covers the lens.",
        {},
        _SOURCE,
    )


def _blurred() -> Step:
    return Step(
        "Blurred: hold the phone with both hands, keep still for two seconds, and light the place from the side.",
        {},
        _SOURCE,
    )


def _too_dark() -> Step:
    return Step("Too dark: light the place with a lamp held to one side, and take the photograph again.", {}, _SOURCE)


def _washed_out() -> Step:
    return Step("Washed out: turn the flash off or move the lamp aside, and take the photograph again.", {}, _SOURCE)


def _too_small(pinhole_mm: float, parts: int) -> Step:
    return Step(
        "Too few pixels to show a pinhole of {pinhole_mm} everywhere: take the place in {parts_count} photographs, "
        "each from closer.",
        {"pinhole_mm": pinhole_mm, "parts_count": parts},
        _SOURCE,
    )

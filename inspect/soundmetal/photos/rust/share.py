"""The rusted share of an outlined area, as a range, with the degrees of ISO 4628-3 and ASTM D610 that go with it.

It is a suggestion: nothing in the program takes it over by itself. A person looks at the place, accepts the figure or
writes another, and that is what counts. What it cannot do stands in docs/rust-share.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from soundmetal.errors import PhotoError
from soundmetal.handbook import area_grades
from soundmetal.photos import pictures
from soundmetal.photos.rust.segment import Bools, Judged, judge, working
from soundmetal.photos.rust.settings import settings
from soundmetal.steps import Spread

#: Corners of the area in parts of the upright picture: 0,0 top left, 1,1 bottom right.
Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class RustShare:
    """What a photograph suggests of an area: share in per cent, Ri 0 to 5 and D610 grade 10 to 0 of the likely share.

    `notes` are whole English sentences without fields, for translation: what to bear in mind, always at least one.
    """

    percent: Spread
    ri: int
    d610: int
    method: str
    notes: tuple[str, ...]


def rust_share(upright_copy: Path, outline: Outline | None = None) -> RustShare:
    """Suggest how much of an area looks rusted; without an outline the whole picture is the area.

    Parameters: `upright_copy`, a picture with no turn left to do; `outline`, three corners or more, in order.
    Points that are all but black count neither as rust nor as area. Same picture, same answer.
    Raises PhotoError when the picture cannot be read, is not upright or is all black there, or when the outline
    leaves it or is too small.
    """
    with pictures.open_picture(upright_copy) as picture:
        if pictures.turn(picture) != 1:
            raise PhotoError("the picture still has to be turned", todo="Give its upright copy.")
        side = settings().work.long_side_px
        picture.draft("RGB", (side, side))
        pixels = working(picture.convert("RGB"))
    inside = _inside(outline, pixels.shape[1], pixels.shape[0])
    return _share_of(judge(pixels), inside, whole=outline is None)


def _inside(outline: Outline | None, width: int, height: int) -> Bools:
    """Tell which points lie inside the outline, which is checked first."""
    if outline is None:
        return np.ones((height, width), dtype=np.bool_)
    if len(outline) < 3:
        raise PhotoError(f"an outline of {len(outline)} corner(s) holds no area", todo="Give three corners or more.")
    for x, y in outline:
        if not (0 <= x <= 1 and 0 <= y <= 1):
            todo = "Give parts of the upright picture, from 0,0 top left to 1,1 bottom right."
            raise PhotoError(f"the outline's corner {x:g},{y:g} lies outside the picture", todo=todo)
    inside = filled(outline, width, height)
    least = settings().work.min_outline_px
    if np.count_nonzero(inside) < least or _area(outline) * width * height < least:
        raise PhotoError(
            "the outlined area is too small to judge", todo="Outline more, or photograph it from nearer."
        )
    return inside


def filled(outline: Outline, width: int, height: int) -> Bools:
    """Tell which points of a picture have their middle inside an outline, so that neighbours share no point.

    Counts, along each row, the edges passed: an odd number is inside (even-odd rule, from memory).

    >>> filled(((0, 0), (0.5, 0), (0.5, 1), (0, 1)), 4, 1).tolist()
    [[True, True, False, False]]
    """
    passed = np.zeros((height, width + 1), dtype=np.int64)
    for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        top, foot = sorted((y1, y2))
        rows = np.arange(math.ceil(top * height - 0.5), math.ceil(foot * height - 0.5))
        if rows.size:
            across = x1 + ((rows + 0.5) / height - y1) / (y2 - y1) * (x2 - x1)
            np.add.at(passed, (rows, np.ceil(across * width - 0.5).astype(int).clip(0, width)), 1)
    inside: Bools = passed.cumsum(axis=1)[:, :width] % 2 == 1
    return inside


def _area(outline: Outline) -> float:
    """Give the area inside an outline as a part of the picture (0 to 1), by the trapezoid sum; 0 for a mere line.

    >>> _area(((0, 0), (1, 0), (1, 1)))
    0.5
    """
    pairs = zip(outline, (*outline[1:], outline[0]), strict=True)
    return abs(math.fsum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def _share_of(judged: Judged, inside: Bools, *, whole: bool) -> RustShare:
    counted = int(np.count_nonzero(inside & judged.counts))
    if not counted:
        raise PhotoError("all of the area is black", todo="Photograph it again with more light.")
    share = int(np.count_nonzero(inside & judged.rusted)) / counted
    percent = spread_of(share)
    dark = 1 - counted / int(np.count_nonzero(inside))
    glare = int(np.count_nonzero(inside & judged.glare)) / counted
    return RustShare(
        percent=percent,
        ri=area_grades.ri(percent.likely),
        d610=area_grades.d610(percent.likely),
        method=settings().method,
        notes=_notes(share, dark, glare, whole=whole),
    )


def spread_of(share: float) -> Spread:
    """Give the range round a measured share (0 to 1), in per cent.

    The half-width is one angle whose squared sine is a share: wide in the middle, narrow at the ends, never outside
    0 to 100. It is the size of error that was not passed in the stated part of the cases left out of the learning.

    >>> spread_of(0.0).low, spread_of(1.0).high
    (0.0, 100.0)
    """
    if not 0 <= share <= 1:
        raise ValueError(f"a share of {share} cannot be: give 0 to 1")
    angle, half = math.asin(math.sqrt(share)), settings().range.half_width_rad
    low, high = max(0.0, angle - half), min(math.pi / 2, angle + half)
    return Spread(100 * math.sin(low) ** 2, 100 * share, 100 * math.sin(high) ** 2)


def _notes(share: float, dark: float, glare: float, *, whole: bool) -> tuple[str, ...]:
    since, say = settings().note_from, settings().notes
    told = (
        (True, say.suggestion),
        (whole, say.whole_picture),
        (dark >= since.dark, say.dark),
        (glare >= since.glare, say.glare),
        (share >= since.nearly_all, say.nearly_all),
        (share < since.trace, say.trace),
    )
    return tuple(text for applies, text in told if applies)

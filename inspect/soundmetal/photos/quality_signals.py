"""Figures of how a photograph was taken, from its grey copy: sharpness at the edges, light, structure.

All are shares. Sharpness looks at the strongest edges alone and asks how sudden they are, so that plain sheet metal,
which has few, is not taken for a blurred picture; how strong they are does not matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from soundmetal.photos.pixels import Levels
from soundmetal.photos.quality_settings import QualitySettings

#: An edge is looked at across so many steps from pixel to pixel: three on either side of the middle one.
SPAN: Final = 7
#: Among the strongest edges, that many per cent are less sudden than the figure that counts.
_PERCENTILE: Final = 75
#: Structure is a change within so many pixels.
_REACH: Final = 3
_WHITE: Final = 255
#: Share of the picture that may be brighter than the figure that stands for its light.
_BRIGHTEST: Final = 0.05


@dataclass(frozen=True)
class Light:
    """Mean brightness, brightness that all but the brightest twentieth stay under, share as good as white."""

    mean: float
    bright: float
    clipped: float


def light(levels: Levels, clipped_from: int) -> Light:
    """Tell how light a picture is, in shares of white.

    >>> light(np.full((30, 40), 51, dtype=np.uint8), 245)
    Light(mean=0.2, bright=0.2, clipped=0.0)
    """
    counts = np.bincount(levels.ravel(), minlength=_WHITE + 1)
    mean = float(counts @ np.arange(_WHITE + 1)) / levels.size
    below = np.cumsum(counts)
    bright = int(np.searchsorted(below, (1 - _BRIGHTEST) * levels.size))
    return Light(mean / _WHITE, bright / _WHITE, float(counts[clipped_from:].sum()) / levels.size)


def sharpness(levels: Levels, rules: QualitySettings) -> float | None:
    """Tell how sudden the strongest edges are, 1 for a change from one pixel to the next; None with too few edges.

    Across every edge the largest step between neighbours is held against the whole change over 7 steps; of both
    directions, across and down, the softer counts, because a moved camera leaves edges along the movement sharp.
    A straight edge blurred by a normal curve of standard deviation s pixels gives P(|Z| < 0.5/s) / P(|Z| < 3.5/s);
    one smeared evenly over n pixels, n up to 7, gives 1/n. Grain and the ringing of a sharpened picture may give more
    than 1.

    >>> from soundmetal.photos.settings import settings
    >>> halves = np.zeros((40, 60), dtype=np.uint8)
    >>> halves[:, 30:] = 200
    >>> sharpness(halves, settings().quality)
    1.0
    >>> sharpness(np.zeros((40, 60), dtype=np.uint8), settings().quality) is None
    True
    """
    told = [sudden for way in (levels, levels.T) if (sudden := _suddenness(way, rules)) is not None]
    return min(told, default=None)


def _suddenness(levels: Levels, rules: QualitySettings) -> float | None:
    """Do it across the rows of a picture."""
    if levels.shape[1] <= SPAN:
        return None
    swing = _apart(levels[:, SPAN:], levels[:, :-SPAN])
    strong = swing >= _strong_from(swing, rules)
    if np.count_nonzero(strong) < rules.min_edges:
        return None
    step = _largest_of_span(_apart(levels[:, 1:], levels[:, :-1]))
    return float(np.percentile(step[strong] / swing[strong], _PERCENTILE))


def _apart(one: Levels, other: Levels) -> Levels:
    """Give how far grey levels lie apart; eight bits are enough for it, and four times as fast as more."""
    apart: Levels = np.maximum(one, other) - np.minimum(one, other)
    return apart


def _largest_of_span(step: Levels) -> Levels:
    """Give the largest of every 7 steps in a row: of 2, of 4, and of two times 4 that share one."""
    of_two = np.maximum(step[:, :-1], step[:, 1:])
    of_four = np.maximum(of_two[:, :-2], of_two[:, 2:])
    largest: Levels = np.maximum(of_four[:, :-3], of_four[:, 3:])
    return largest


def _strong_from(swing: Levels, rules: QualitySettings) -> int:
    """Give the change in grey levels from which an edge belongs to the strongest."""
    counts = np.bincount(swing.ravel(order="K"), minlength=_WHITE + 1)
    at_least = np.cumsum(counts[::-1])[::-1]
    enough = np.nonzero(at_least >= rules.edge_share * swing.size)[0]
    return max(rules.edge_swing, int(enough[-1]))


def structure(levels: Levels, rules: QualitySettings) -> float:
    """Tell which share of the picture has something in it: brightness that changes within 3 pixels.

    >>> from soundmetal.photos.settings import settings
    >>> structure(np.full((30, 40), 90, dtype=np.uint8), settings().quality)
    0.0
    """
    if min(levels.shape) <= _REACH:
        return 0.0
    across = _apart(levels[:-_REACH, _REACH:], levels[:-_REACH, :-_REACH])
    down = _apart(levels[_REACH:, :-_REACH], levels[:-_REACH, :-_REACH])
    return float(np.count_nonzero(np.maximum(across, down) >= rules.edge_swing)) / across.size

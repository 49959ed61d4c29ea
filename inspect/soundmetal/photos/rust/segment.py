"""Which points of a picture look rusted: colour and grain, weighed by a small logistic model.

A point is told by its brightness beside the brightest parts of the same picture, its colour in CIE Lab, and the grain
and mean colour around it at two distances. The weights are in `data/rust.yaml`; they were learnt by
`tests/bench/bench_rust.py`, which also measures them against other methods on pictures left out of the learning.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from soundmetal.photos.rust.settings import FEATURES, WorkSettings, settings

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]

#: Linear sRGB to CIE XYZ, each row over the white point D65 (IEC 61966-2-1; from memory).
_TO_XYZ: Final = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
#: Features are brought to about the same size, so that one penalty fits all of them.
_L_UNIT, _COLOUR_UNIT, _GRAIN_UNIT = 50.0, 25.0, 2.0


@dataclass(frozen=True)
class Judged:
    """A picture at working size, point by point: does it count at all, does it look rusted, is it washed out."""

    counts: Bools
    rusted: Bools
    glare: Bools


def working(picture: Image.Image) -> Bytes:
    """Bring an upright RGB picture to the working size, its shape kept: rows x columns x 3."""
    side = settings().work.long_side_px
    factor = side / max(picture.size)
    size = max(1, round(picture.width * factor)), max(1, round(picture.height * factor))
    way = Image.Resampling.BOX if factor < 1 else Image.Resampling.BILINEAR
    return np.asarray(picture.resize(size, way) if size != picture.size else picture)


def judge(pixels: Bytes) -> Judged:
    """Judge every point of a picture at working size."""
    chosen = settings()
    brightest = pixels.max(axis=2)
    counts = brightest >= chosen.work.black_below
    lab = to_lab(pixels)
    chroma = np.hypot(lab[..., 1], lab[..., 2])
    rusted = counts & (score(features(lab, counts, chosen.work)) > chosen.weights.rust_above)
    rusted &= chroma <= chosen.weights.max_chroma
    return Judged(counts, rusted, brightest >= chosen.note_from.glare_from)


def to_lab(pixels: Bytes) -> Floats:
    """Turn sRGB bytes into CIE L*a*b* (1976) under D65.

    Source: IEC 61966-2-1 for sRGB, CIE 15 for Lab (formulas from memory).

    >>> [round(float(value)) for value in to_lab(np.array([[[255, 0, 0]]], "uint8"))[0, 0]]
    [53, 80, 67]
    """
    linear = _linear()[pixels]
    white = (_TO_XYZ / _TO_XYZ.sum(axis=1, keepdims=True)).astype(np.float32)
    xyz = linear @ white.T
    curved = np.where(xyz > 216 / 24389, np.cbrt(xyz), xyz * np.float32(841 / 108) + np.float32(4 / 29))
    x, y, z = curved[..., 0], curved[..., 1], curved[..., 2]
    return np.stack((116 * y - 16, 500 * (x - y), 200 * (y - z)), axis=-1)


@cache
def _linear() -> Floats:
    value = np.arange(256) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4).astype(np.float32)


def features(lab: Floats, counts: Bools, work: WorkSettings) -> Floats:
    """Give what a point is told by: rows x columns x 9, each near 1 in size.

    Brightness over that of the picture's brightest parts, a*, b*; then grain (spread of brightness), mean a* and mean
    b* in a square near the point, and the same in a wider one. Points that do not count are left out of the brightest
    parts only.
    """
    light, red, yellow = lab[..., 0] / _L_UNIT, lab[..., 1] / _COLOUR_UNIT, lab[..., 2] / _COLOUR_UNIT
    told = [light - _brightest(light, counts, work.bright_quantile), red, yellow]
    for radius in (work.near_px, work.wide_px):
        mean = box_mean(light, radius)
        spread = np.sqrt(np.maximum(box_mean(light * light, radius) - mean * mean, 0)) * _L_UNIT
        told += [np.log1p(spread) / _GRAIN_UNIT, box_mean(red, radius), box_mean(yellow, radius)]
    return np.stack(told, axis=-1)


def _brightest(light: Floats, counts: Bools, quantile: float) -> float:
    counted = light[counts]
    return float(np.quantile(counted, quantile)) if counted.size else 0.0


def box_mean(field: Floats, radius: int) -> Floats:
    """Give the mean of the square of `2 radius + 1` points round each point; the border is repeated outward.

    >>> box_mean(np.array([[0, 0, 9, 0, 0]], "float32"), 1).tolist()
    [[0.0, 3.0, 3.0, 3.0, 0.0]]
    """
    side = 2 * radius + 1
    padded = np.pad(field, ((radius + 1, radius), (radius + 1, radius)), mode="edge").astype(np.float64)
    sums = padded.cumsum(axis=0).cumsum(axis=1)
    rows = sums[side:] - sums[:-side]
    mean: Floats = ((rows[:, side:] - rows[:, :-side]) / side**2).astype(np.float32)
    return mean


def score(told: Floats) -> Floats:
    """Weigh the features of every point: the higher, the more like rust."""
    constant, single, pairs = _weights()
    weighed: Floats = np.einsum("...i,...i->...", told, told @ pairs + single) + np.float32(constant)
    return weighed


@cache
def _weights() -> tuple[float, Floats, Floats]:
    chosen = settings().weights
    pairs = np.zeros((FEATURES, FEATURES), np.float32)
    for row, weights in enumerate(chosen.pairs):
        pairs[row, row:] = weights
    # told @ pairs.T gives, for each feature, its partners of the same row
    return chosen.constant, np.array(chosen.single, np.float32), np.ascontiguousarray(pairs.T)

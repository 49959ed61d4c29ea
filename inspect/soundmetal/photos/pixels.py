"""One small grey copy of a photograph: made once, shared by everything that judges how it was taken."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from soundmetal.errors import PhotoError
from soundmetal.photos.pictures import open_picture
from soundmetal.photos.settings import settings
from soundmetal.photos.shrink import sketch

#: Grey levels from 0 to 255, a row of the picture a row.
Levels = NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class Grey:
    """A grey copy; `long_side_px` is that of the picture it was made from."""

    levels: Levels
    long_side_px: int


def grey(source: Path | bytes | NDArray[np.uint8] | Grey) -> Grey:
    """Make the grey copy of a picture, upright, its long side no longer than the settings say; nothing is enlarged.

    A copy for the pages is the cheapest source: a decoder gives a quarter of it for nearly nothing. Grey is the luma
    of sRGB as stored (ITU-R BT.601 weights, from memory). Raises PhotoError when it cannot be decoded.

    >>> grey(np.full((1200, 1600), 90, dtype=np.uint8)).levels.shape
    (300, 400)
    """
    if isinstance(source, Grey):
        return source
    long_side_px = settings().quality.grey_px
    if isinstance(source, np.ndarray):
        return _of_numbers(source, long_side_px)
    with open_picture(source) as picture:
        whole_px = max(picture.size)
    return Grey(_levels(sketch(source, long_side_px)), whole_px)


def _of_numbers(numbers: NDArray[np.uint8], long_side_px: int) -> Grey:
    if not numbers.size or numbers.dtype != np.uint8 or not (numbers.ndim == 2 or numbers.shape[2:] == (3,)):
        raise PhotoError("these numbers are no picture", todo="Give rows of grey levels or of sRGB, 0 to 255.")
    whole_px = max(numbers.shape[:2])
    picture = Image.fromarray(numbers)
    if whole_px > long_side_px:
        factor = long_side_px / whole_px
        size = (max(1, round(picture.width * factor)), max(1, round(picture.height * factor)))
        picture = picture.resize(size, Image.Resampling.BICUBIC)
    return Grey(_levels(picture), whole_px)


def _levels(picture: Image.Image) -> Levels:
    return np.asarray(picture.convert("L"))

"""Pinholes of known size drawn into real photographs: does the limit of "too small" tell whether they can be seen?

A dark disc is drawn eight times finer than the picture's pixels, wherever it falls between them, softened as by a
lens, brought back to the pixels and encoded as JPEG. How much of its darkness any pixel of it has kept is then
measured; that is what is known, whatever the limit says. The disc is as dark as the inside of a box: it has 0.15 of
the light of the metal round it, in grey levels (chosen, no source).
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from degrade import SEED, Score
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from soundmetal.photos.quality import Kind, assess
from soundmetal.photos.settings import settings

ACROSS_PX = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 6.0)
HOLES, FINER, ROOM_PX = 4, 8, 96
LIGHT_INSIDE, LENS_PX, LEAST_LEVEL = 0.15, 0.5, 60
#: So much of a hole's darkness has to be left in its darkest pixel for the hole to show: half is the usual mark for
#: a width or a sharpness (common practice, no source), nine tenths that it shows as dark as it is.
HALF, NEARLY_ALL = 0.5, 0.9


@dataclass(frozen=True)
class Hole:
    """A hole drawn into a picture: pixels across, how much of its darkness is left (1: all), whether it was told."""

    picture: str
    across_px: float
    kept: float
    told: bool


def holes(name: str, taken: Image.Image) -> Iterator[Hole]:
    """Draw holes of every size where the picture is light enough to show one."""
    rng = np.random.default_rng([SEED, zlib.crc32(name.encode()), 2])
    luma = taken.convert("L")
    for across in ACROSS_PX:
        for _hole in range(HOLES):
            room = _light_room(luma, rng)
            if room is None:
                return
            drawn, kept = _drawn(room, across, rng)
            yield Hole(name, across, kept, _told(drawn, across, max(taken.size)))


def _light_room(luma: Image.Image, rng: np.random.Generator) -> Image.Image | None:
    """Cut a piece out at random whose middle is light."""
    for _try in range(60):
        left, top = (int(rng.integers(0, side - ROOM_PX + 1)) for side in luma.size)
        room = luma.crop((left, top, left + ROOM_PX, top + ROOM_PX))
        if np.median(_middle(np.asarray(room))) >= LEAST_LEVEL:
            return room
    return None


def _middle(levels: NDArray[np.uint8], reach: int = 8) -> NDArray[np.uint8]:
    half = ROOM_PX // 2
    return levels[half - reach : half + reach, half - reach : half + reach]


def _drawn(room: Image.Image, across: float, rng: np.random.Generator) -> tuple[NDArray[np.uint8], float]:
    """Draw one hole into a piece; give the piece as JPEG makes it, and how much of the darkness is left."""
    around = float(np.median(_middle(np.asarray(room))))
    inside = LIGHT_INSIDE * around
    fine = room.resize((ROOM_PX * FINER, ROOM_PX * FINER), Image.Resampling.BICUBIC)
    x, y = (ROOM_PX / 2 + rng.uniform(-0.5, 0.5, 2)) * FINER
    reach = across * FINER / 2
    ImageDraw.Draw(fine).ellipse((x - reach, y - reach, x + reach, y + reach), fill=round(inside))
    soft = fine.filter(ImageFilter.GaussianBlur(LENS_PX * FINER)).resize(room.size, Image.Resampling.BOX)
    buffer = io.BytesIO()
    soft.save(buffer, "JPEG", quality=settings().copies.quality)
    levels = np.asarray(Image.open(buffer))
    rows, columns = np.mgrid[:ROOM_PX, :ROOM_PX] + 0.5
    within = np.hypot(columns - x / FINER, rows - y / FINER) <= max(across / 2, 0.5**0.5)
    return levels, (around - float(levels[within].min())) / (around - inside)


def _told(levels: NDArray[np.uint8], across: float, long_side_px: int) -> bool:
    """Say whether the picture is called too small where a finding of such a length fills it."""
    size_mm = settings().quality.pinhole_mm * long_side_px / across
    quality = assess(levels, size_mm, long_side_px=long_side_px)
    return any(problem.kind is Kind.SMALL for problem in quality.problems)


def counted(drawn: list[Hole], kept: float, limit_px: float | None = None) -> Score:
    """Count how often "too small" was right, by the limit of the settings or by another."""
    total = Score()
    for hole in drawn:
        told = hole.told if limit_px is None else hole.across_px < limit_px
        what = f"{hole.across_px:g} px: {hole.picture}"
        if hole.kept >= kept:
            total.good += 1
            total.false += [what] if told else []
        elif told:
            total.hits += 1
        else:
            total.missed.append(what)
    return total

"""The skin of one piece of steel, unrolled: colour, roughness, height and label on a grid of known scale."""

from __future__ import annotations

import zlib
from dataclasses import dataclass, field

import numpy as np

from . import noise
from .noise import Field
from .tone import Colour, linear

#: Labels of the truth. Stained or dirty paint is sound: the steel below has not rusted.
BACKGROUND, SOUND, SURFACE, SCALE, HOLE = range(5)


@dataclass
class Skin:
    """Grid over `width_mm` x `height_mm` at `fine` pixels a mm; u runs right, v runs down, both in mm."""

    width_mm: float
    height_mm: float
    fine: float
    seed: int
    car: str = "pickup"
    u: Field = field(init=False)
    v: Field = field(init=False)
    colour: np.ndarray = field(init=False)
    rough: Field = field(init=False)
    height: Field = field(init=False)  # mm, outwards: what coats, dirt and rust add or take
    form: Field = field(init=False)  # mm, outwards: what the press stamped
    gloss: Field = field(init=False)  # how much of a clear wet film lies on top, 0 to 1
    metal: Field = field(init=False)  # bare metal, 0 to 1
    eaten: Field = field(init=False)  # above 0: no steel is left
    label: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        shape = (int(self.height_mm * self.fine), int(self.width_mm * self.fine))
        rows, columns = np.indices(shape, np.float32)
        self.u, self.v = (columns + 0.5) / self.fine, (rows + 0.5) / self.fine
        self.colour = np.full((*shape, 3), 0.2, np.float32)
        self.rough, self.height, self.gloss, self.metal, self.form = (
            np.full(shape, x, np.float32) for x in (0.6, 0, 0, 0, 0)
        )
        self.eaten = np.full(shape, -1, np.float32)
        self.label = np.full(shape, SOUND, np.uint8)

    @property
    def shape(self) -> tuple[int, int]:
        return self.u.shape

    def chance(self, name: str) -> np.random.Generator:
        """A generator of its own for each purpose, so that one layer more does not change the others."""
        return np.random.default_rng([self.seed, zlib.crc32(name.encode())])

    def clouds(self, name: str, mm: float | tuple[float, float], octaves: int = 5, gain: float = 0.55) -> Field:
        """Noise of mean 0, deviation 1, with bumps of `mm` (or across, down)."""
        cell = tuple(m * self.fine for m in mm) if isinstance(mm, tuple) else mm * self.fine
        return noise.clouds(self.chance(name), self.shape, cell, octaves, gain)

    def cells(self, name: str, mm: float) -> tuple[Field, Field, Field]:
        return noise.cells(self.chance(name), self.shape, mm * self.fine)

    def blur(self, what: Field, mm: float) -> Field:
        return noise.blur(what, mm * self.fine)

    def lay(
        self, cover: Field, colour: Colour | np.ndarray, rough: float | Field, gloss: float = 0.0, metal: float = 0.0
    ) -> None:
        """Lay a film over the skin where `cover` (0 to 1) is."""
        c = linear(colour) if isinstance(colour, tuple) else colour
        self.colour += cover[..., None] * (c - self.colour)
        for mine, new in ((self.rough, rough), (self.gloss, gloss), (self.metal, metal)):
            mine += cover * (new - mine)

"""The picture while it is drawn: parts laid one over the other under one lamp, in linear light and millimetres."""

from __future__ import annotations

import copy
import zlib
from dataclasses import dataclass, field, replace

import numpy as np

from .noise import Field, blur, fbm, shifted, smooth

#: Drawn beyond each edge, so that turning and tilting the camera never shows an empty corner.
OVERSCAN = 0.09


@dataclass(frozen=True)
class Lamp:
    """One lamp and the grey light of the room."""

    toward: tuple[float, float, float] = (-0.42, -0.58, 0.70)
    centre: tuple[float, float] = (0.42, 0.36)
    reach: float = 0.62
    power: float = 1.05
    room: float = 0.34
    warm: tuple[float, float, float] = (1.0, 0.955, 0.87)
    cool: tuple[float, float, float] = (0.93, 0.985, 1.05)


@dataclass(frozen=True)
class Part:
    """One piece of steel (or ground, rubber, ruler): where it is, its colour, its relief in mm, its shine."""

    mask: Field
    albedo: Field
    relief: Field
    gloss: Field

    def raised(self, by_mm: Field) -> Part:
        """Same part with relief added."""
        return replace(self, relief=self.relief + by_mm)


@dataclass(frozen=True)
class Mark:
    """A place worth a call-out, in mm of the scene."""

    what: str
    points: tuple[tuple[float, float], ...]


@dataclass
class Canvas:
    """A scene of `width_mm` across the upright picture."""

    name: str
    width_mm: float
    width_px: int = 1600
    height_px: int = 1200
    lamp: Lamp = field(default_factory=Lamp)
    origin: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        self.rng = np.random.default_rng(zlib.crc32(self.name.encode()))
        self.mm = self.width_mm / self.width_px
        self.height_mm = self.height_px * self.mm
        self.border = round(self.width_px * OVERSCAN)
        self.shape = (self.height_px + 2 * self.border, self.width_px + 2 * self.border)
        rows, columns = np.mgrid[0 : self.shape[0], 0 : self.shape[1]].astype("float32")
        self.x = (columns + 0.5 - self.border) * self.mm + self.origin[0]
        self.y = (rows + 0.5 - self.border) * self.mm + self.origin[1]
        self.light = np.zeros((*self.shape, 3), "float32")
        self.marks: list[Mark] = []

    def window(self, at: tuple[float, float], half_mm: float) -> Canvas:
        """A small part of this canvas, square about a place: what is drawn there is drawn here, only faster."""
        middle = [(at[1] - self.y[0, 0]) / self.mm, (at[0] - self.x[0, 0]) / self.mm]
        spans = []
        for centre, length in zip(middle, self.shape, strict=True):
            low = int(np.clip(centre - half_mm / self.mm, 0, length - 8))
            spans.append(slice(low, int(np.clip(centre + half_mm / self.mm, low + 8, length))))
        part = copy.copy(self)
        area = tuple(spans)
        part.x, part.y, part.light = self.x[area], self.y[area], self.light[area]
        part.shape = part.x.shape
        return part

    def noise(self, cell_mm: float, rough: float = 0.55, stretch: tuple[float, float] = (1, 1)) -> Field:
        """Fractal noise about 0.5 whose largest lumps are `cell_mm` wide."""
        cell = (cell_mm / self.mm * stretch[0], cell_mm / self.mm * stretch[1])
        return fbm(self.rng, self.shape, cell, rough)

    def full(self, value: float) -> Field:
        """A field of one value."""
        return np.full(self.shape, value, "float32")

    def inside(self, distance: Field) -> Field:
        """Cover (0 to 1, soft over a pixel) of a shape from its signed distance in mm."""
        return np.clip(0.5 - distance / self.mm, 0, 1).astype("float32")

    def mark(self, what: str, *points: tuple[float, float]) -> None:
        """Note a place for call-outs."""
        self.marks.append(Mark(what, points))

    def falloff(self) -> Field:
        """How much of the lamp reaches each place."""
        cx = self.origin[0] + self.lamp.centre[0] * self.width_mm
        cy = self.origin[1] + self.lamp.centre[1] * self.height_mm
        far = np.hypot(self.x - cx, self.y - cy) / (self.lamp.reach * self.width_mm)
        return (0.30 + 0.85 * np.exp(-(far**2))).astype("float32")

    def shaded(self, part: Part) -> Field:
        """Light that leaves a part toward the camera."""
        down, across = np.gradient(part.relief, self.mm)
        facing = 1 / np.sqrt(1 + across**2 + down**2)
        lx, ly, lz = self.lamp.toward
        lambert = np.clip((-across * lx - down * ly + lz) * facing, 0, None) * self.falloff()
        sky = 0.72 + 0.5 * down * facing
        room = self.lamp.room * np.clip(sky, 0.2, 1.3) * self.hollows(part.relief)
        half = np.array([lx, ly, lz + 1]) / np.sqrt(lx**2 + ly**2 + (lz + 1) ** 2)
        shine = np.clip((-across * half[0] - down * half[1] + half[2]) * facing, 0, 1)
        mirror = smooth(2 * facing * facing * down, 0.15, 1.1)
        glint = part.gloss * (0.40 * shine**60 * self.falloff() + 0.035 * shine**9 + 0.16 * mirror)
        warm, cool = np.array(self.lamp.warm, "float32"), np.array(self.lamp.cool, "float32")
        lit = part.albedo * (lambert[..., None] * self.lamp.power * warm + room[..., None] * cool)
        return (lit + glint[..., None] * warm).astype("float32")

    def hollows(self, relief: Field) -> Field:
        """Less room light in what lies lower than its surroundings, on three scales."""
        open_sky = self.full(1.0)
        for radius_mm, deep in ((1.2, 0.55), (4.0, 0.6), (14.0, 0.6)):
            sigma = max(1.0, radius_mm / self.mm)
            sunk = (blur(relief, sigma) - relief) / (sigma * self.mm)
            open_sky *= 1 - deep * np.clip(sunk * 1.6, 0, 1)
        return open_sky

    def lay(self, part: Part, lift_mm: float = 0.0, dark: float = 0.78) -> None:
        """Lay a part over what is there; `lift_mm` above it, it throws a shadow."""
        if lift_mm > 0:
            lx, ly, lz = self.lamp.toward
            right, below = (round(-v / lz * lift_mm / self.mm) for v in (lx, ly))
            cast = blur(shifted(part.mask, right, below), max(0.8, 0.35 * lift_mm / self.mm))
            near = blur(part.mask, max(1.0, 0.5 * lift_mm / self.mm))
            self.light *= (1 - dark * np.clip(np.maximum(cast, 0.7 * near), 0, 1))[..., None]
        self.light += (self.shaded(part) - self.light) * part.mask[..., None]

    def dim(self, shade: Field) -> None:
        """Darken by a field (1 leaves as it is)."""
        self.light *= shade[..., None]

    def soften(self, sigma_px: float) -> None:
        """Put everything laid so far out of focus."""
        sigma = sigma_px * self.width_px / 1600
        self.light = np.stack([blur(self.light[..., band], sigma) for band in range(3)], -1)

"""What beads draw in: the flat piece is wider across them, and every bead line, edge and opening moves with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import transform
from shapely.geometry import Polygon

from soundmetal.calc.bead import flat_inertia_mm4, stiffness_ratio, take_up_mm
from soundmetal.calc.plate import orthotropic_deflection_mm
from soundmetal.repair.beads import Beads, Line

#: Poisson's ratio of steel (textbook); it makes flat plate stiffer than a strip by 1 / (1 - nu^2).
_PLATE = 1 / (1 - 0.3**2)


@dataclass(frozen=True)
class Drawn:
    """How far each bead draws the sheet in, and where the beads lie across their run [mm]."""

    per_bead_mm: float
    at_mm: tuple[float, ...]
    upward: bool

    @property
    def total_mm(self) -> float:
        """What all beads together draw in."""
        return self.per_bead_mm * len(self.at_mm)

    def shape(self, opening: Polygon) -> Polygon:
        """Give a shape before the beads are rolled."""
        return transform(opening, lambda points: [self._point(x, y) for x, y in points])

    def line(self, line: Line) -> Line:
        """Give a bead's own line before rolling: in the middle of what it draws in."""
        half = self.per_bead_mm / 2
        (a, b), (c, d) = (self._point(x, y) for x, y in line)
        return ((a + half, b), (c + half, d)) if self.upward else ((a, b + half), (c, d + half))

    def _point(self, x: float, y: float) -> tuple[float, float]:
        across = x if self.upward else y
        more = self.per_bead_mm * sum(at < across - 1e-9 for at in self.at_mm)
        return (x + more, y) if self.upward else (x, y + more)


def drawn_in(lines: Sequence[Line], beads: Beads | None) -> Drawn:
    """Give what the beads of one piece draw in."""
    if beads is None or not lines:
        return Drawn(0.0, (), False)
    at = tuple(a if beads.upward else b for (a, b), _ in lines)
    return Drawn(take_up_mm(beads.width_mm, beads.depth_mm), at, beads.upward)


@dataclass(frozen=True)
class Stiffness:
    """A beaded field against flat sheet: times as stiff along the beads, flat sheet as stiff as that [mm], and how
    much of the flat field's deflection is left (0 to 1). Across the beads nothing is gained.
    """

    ratio: float
    flat_mm: float
    deflection_share: float


def stiffness_of(beads: Beads, size_mm: tuple[float, float], thickness_mm: float) -> Stiffness:
    """Compare the unsupported field of an opening, held at its edges, with beads and without.

    >>> found = stiffness_of(Beads(76.2, 12.7, 6.35), (400, 400), 1.21412)
    >>> round(found.ratio, 1), round(found.flat_mm, 2), round(found.deflection_share, 2)
    (35.6, 3.99, 0.1)
    """
    ratio = stiffness_ratio(beads.pitch_mm, beads.width_mm, beads.depth_mm, thickness_mm)
    flat = flat_inertia_mm4(1.0, thickness_mm) * _PLATE
    sides = size_mm[::-1] if beads.upward else size_mm
    plain = orthotropic_deflection_mm(sides, 1.0, (flat, flat, flat))
    ribbed = orthotropic_deflection_mm(sides, 1.0, (flat * ratio, flat, flat))
    return Stiffness(ratio, thickness_mm * ratio ** (1 / 3), ribbed / plain)

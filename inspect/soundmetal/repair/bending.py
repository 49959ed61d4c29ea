"""How this shop's brake bends one sheet: what a bend takes, by the rule the shop chose, and the least flange."""

from __future__ import annotations

from dataclasses import dataclass

from soundmetal.calc.bend import AnsiK, NeutralAxis, bend_allowance_mm, setback_mm
from soundmetal.calc.bend_din import din_k
from soundmetal.calc.bend_rules import Stock, handbook_stock_mm, y_to_k
from soundmetal.calc.profile import Fold
from soundmetal.handbook.shop_tables import nearest_bend
from soundmetal.record.shopbook import Policies

#: A flange is at least so many times the sheet's thickness on a leaf brake (from memory).
FLANGE_PER_THICKNESS = 4.0
#: From a hole's edge to the start of a bend: this times the thickness, and the radius (from memory).
HOLE_PER_THICKNESS = 2.0
#: Least relief hole where two flanges meet: 1/8 in, or the bend's radius where that is larger (from memory).
RELIEF_MM = 3.175


@dataclass(frozen=True)
class Bending:
    """Sheet and inside radius [mm], and the rule for what a bend takes: `tested`, `handbook` or `din`."""

    thickness_mm: float
    radius_mm: float
    rule: str
    brake_mm: float

    def neutral(self, radius_mm: float) -> NeutralAxis:
        """Give the neutral axis for a radius, its convention in its type.

        Tested: deductions that a shop measured in cold-rolled steel; beyond 15 % of their thicknesses the handbook's.
        """
        if self.rule == "din":
            return din_k(radius_mm, self.thickness_mm)
        if self.rule == "tested":
            try:
                return nearest_k(self.thickness_mm, radius_mm)
            except ValueError:
                pass
        return y_to_k(Stock.COLD_ROLLED.value)

    def allowance_mm(self, bent_deg: float, radius_mm: float | None = None) -> float:
        """Give what a bend takes of the flat length."""
        radius = self.radius_mm if radius_mm is None else radius_mm
        if self.rule == "handbook":
            return handbook_stock_mm(bent_deg, radius, self.thickness_mm, Stock.COLD_ROLLED)
        return bend_allowance_mm(bent_deg, radius, self.thickness_mm, self.neutral(radius))

    def setback_mm(self, bent_deg: float, radius_mm: float | None = None) -> float:
        """Give how far the start of the bend lies from where the outer faces would meet."""
        return setback_mm(bent_deg, self.radius_mm if radius_mm is None else radius_mm, self.thickness_mm)

    def deduction_mm(self, bent_deg: float) -> float:
        """Give what is taken off two outside sizes."""
        return 2 * self.setback_mm(bent_deg) - self.allowance_mm(bent_deg)

    def fold(self, bent_deg: float, radius_mm: float | None, *, up: bool) -> Fold:
        """Give one bend of a profile. ValueError for an angle that cannot be bent."""
        radius = self.radius_mm if radius_mm is None else radius_mm
        if not 0 < bent_deg < 180:
            raise ValueError(f"a bend through {bent_deg:g} degrees: it must be over 0 and under 180")
        return Fold(bent_deg, radius, self.allowance_mm(bent_deg, radius), up)

    @property
    def least_flange_mm(self) -> float:
        """The shortest flange that the brake takes, measured outside."""
        return max(self.brake_mm, FLANGE_PER_THICKNESS * self.thickness_mm)

    @property
    def hole_clear_mm(self) -> float:
        """How far the edge of a hole stays from the start of a bend."""
        return HOLE_PER_THICKNESS * self.thickness_mm + self.radius_mm

    @property
    def relief_mm(self) -> float:
        """Diameter of the relief hole where two flanges meet."""
        return max(RELIEF_MM, self.radius_mm)


def nearest_k(thickness_mm: float, radius_mm: float) -> NeutralAxis:
    """Give the neutral axis of the nearest measured bend. ValueError beyond the tested thicknesses.

    >>> nearest_k(1.2, 0.8)
    AnsiK(value=0.4891)
    """
    return AnsiK(nearest_bend(thickness_mm, radius_mm).k)


def bending_of(policies: Policies, thickness_mm: float) -> Bending:
    """Give how a sheet of that thickness [mm] is bent; without a radius of the shop's own, round once its thickness.

    One thickness is the conservative least radius of annealed sheet (trade press, published-read).
    """
    radius = thickness_mm if policies.bend_radius is None else policies.bend_radius
    return Bending(thickness_mm, radius, policies.bend_rule, policies.brake_flange)

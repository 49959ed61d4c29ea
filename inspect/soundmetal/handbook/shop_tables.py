"""Bench tables: least spacing of resistance spots, plasma kerf, tested bend deductions, least flange in a die."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from soundmetal.handbook.reading import rows

#: Exact by definition (international yard and pound agreement, 1959).
MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class SpotRow:
    """Resistance spots in two sheets of SAE 1010: least spacing avoids shunting, it is not the pitch to build to."""

    thickness_mm: float
    weld_diameter_mm: float
    min_spacing_mm: float
    min_overlap_mm: float


@dataclass(frozen=True, slots=True)
class MeasuredBend:
    """One bend of 90 degrees in cold-rolled steel that a shop measured; `k` acts on the full thickness."""

    thickness_mm: float
    radius_mm: float
    deduction_mm: float
    k: float


@dataclass(frozen=True, slots=True)
class Die:
    """What a die opening gives in air bending of mild steel."""

    opening_mm: float
    min_flange_mm: float
    inside_radius_mm: float


@cache
def spot_rows() -> tuple[SpotRow, ...]:
    """Give the spacing table, thinnest first, in mm (printed in inches)."""
    columns = ("thickness_inch", "weld_diameter_inch", "min_spacing_inch", "min_overlap_inch")
    return tuple(SpotRow(*(row.number(c) * MM_PER_INCH for c in columns)) for row in rows("spot_spacing"))


def kerf_mm(amperes: float) -> tuple[float, float]:
    """Give the usual kerf [mm] of a plasma cutter on mild steel, low and high, at one of the printed currents [A].

    Raises ValueError between and outside the printed bands (25-30, 40-50, 65-80 A): measure a test cut then.
    Source: a plasma training course (published-read); consumables for fine cuts cut narrower.

    >>> kerf_mm(45)
    (1.7, 2.0)
    """
    for row in rows("kerf"):
        if row.number("amp_low") <= amperes <= row.number("amp_high"):
            return row.number("kerf_low_mm"), row.number("kerf_high_mm")
    bands = ", ".join(f"{row.text('amp_low')}-{row.text('amp_high')}" for row in rows("kerf"))
    raise ValueError(f"no kerf printed for {amperes:g} A (only {bands} A): measure a test cut")


@cache
def measured_bends() -> tuple[MeasuredBend, ...]:
    """Give the measured bends in mm (printed in inches), in the order of the table."""
    return tuple(
        MeasuredBend(
            thickness_mm=row.number("thickness_inch") * MM_PER_INCH,
            radius_mm=row.number("radius_inch") * MM_PER_INCH,
            deduction_mm=row.number("bend_deduction_inch") * MM_PER_INCH,
            k=row.number("k"),
        )
        for row in rows("bend_deductions")
    )


def nearest_bend(thickness_mm: float, radius_mm: float) -> MeasuredBend:
    """Give the measured bend whose thickness [mm], then inside radius [mm], is nearest.

    Raises ValueError where no tested thickness lies within 15 % (own choice): bend a test strip then.

    >>> nearest_bend(1.2, 0.8).k
    0.4891
    """
    best = min(measured_bends(), key=lambda b: (abs(b.thickness_mm - thickness_mm), abs(b.radius_mm - radius_mm)))
    if not abs(best.thickness_mm - thickness_mm) <= 0.15 * thickness_mm:
        raise ValueError(f"no tested bend near {thickness_mm:g} mm: bend a test strip and measure it")
    return best


@cache
def dies() -> tuple[Die, ...]:
    """Give the air-bending chart, narrowest die first."""
    columns = ("die_opening_mm", "min_flange_mm", "inside_radius_mm")
    return tuple(Die(*(row.number(column) for column in columns)) for row in rows("air_bend"))


def die(opening_mm: float) -> Die:
    """Give the row of one die opening [mm]; ValueError for one the chart does not print.

    >>> die(8).min_flange_mm
    5.5
    """
    for one in dies():
        if one.opening_mm == opening_mm:
            return one
    raise ValueError(f"no die of {opening_mm:g} mm in the chart: {', '.join(f'{d.opening_mm:g}' for d in dies())}")

"""Welding tables: MAG and TIG settings by thickness, wire, and the EN ISO 5817 limits of a butt weld.

Settings are a starting point from machine makers' manuals for continuous runs; skins are normally welded as separate
tacks, and every shop tries them on scrap first. Of two thicknesses as near, the thinner (less heat) is taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, TypeVar

from soundmetal.handbook.reading import Row, rows

Range = tuple[float, float]
Level = Literal["B", "C", "D"]
_Setting = TypeVar("_Setting", "MagSetting", "TigSetting")


@dataclass(frozen=True, slots=True)
class MagSetting:
    """MAG short-arc butt weld of one thickness; every pair is low and high of what is printed."""

    thickness_mm: float
    gap_mm: Range
    wire_mm: Range
    amperes: Range
    volts: Range
    travel_mm_min: Range
    gas_l_min: Range


@dataclass(frozen=True, slots=True)
class TigSetting:
    """TIG butt weld of mild steel, direct current, of one thickness."""

    thickness_mm: float
    amperes: Range
    tungsten_mm: float
    filler_mm: float
    argon_l_min: float


@dataclass(frozen=True, slots=True)
class Wire:
    """One solid wire; `inch_per_lb` is the printed length, up to 1.2 % under plain geometry."""

    name_inch: str
    diameter_mm: float
    amperes: Range
    inch_per_minute_per_amp: float
    inch_per_lb: float


@dataclass(frozen=True, slots=True)
class ButtLimits:
    """What a butt weld in sheet of 0.5 to 3 mm may show at one quality level [mm]."""

    undercut_mm: float
    excess_weld_metal_mm: float
    excess_penetration_mm: float


@cache
def mag_settings() -> tuple[MagSetting, ...]:
    """Give all rows, thinnest first."""
    names = (("gap", "mm"), ("wire", "mm"), ("amp", ""), ("volt", ""), ("travel", "mm_min"), ("gas", "l_min"))
    return tuple(
        MagSetting(row.number("thickness_mm"), *(_pair(row, name, unit) for name, unit in names))
        for row in rows("mag_settings")
    )


@cache
def tig_settings() -> tuple[TigSetting, ...]:
    """Give all rows, thinnest first."""
    return tuple(
        TigSetting(
            row.number("thickness_mm"),
            _pair(row, "amp", ""),
            *(row.number(column) for column in ("tungsten_mm", "filler_mm", "argon_l_min")),
        )
        for row in rows("tig_settings")
    )


def mag(thickness_mm: float) -> MagSetting:
    """Give the MAG row of the nearest thickness printed [mm]; ValueError over 10 % outside 0.6 to 3.2 mm.

    >>> mag(0.9).thickness_mm, mag(0.9).amperes
    (0.8, (30.0, 40.0))
    """
    return _nearest(thickness_mm, mag_settings(), "MAG")


def tig(thickness_mm: float) -> TigSetting:
    """Give the TIG row of the nearest thickness printed [mm]; ValueError over 10 % outside 1.0 to 3.2 mm.

    >>> tig(1.2).amperes
    (45.0, 55.0)
    """
    return _nearest(thickness_mm, tig_settings(), "TIG")


@cache
def wires() -> tuple[Wire, ...]:
    """Give all wires, thinnest first."""
    return tuple(
        Wire(
            row.text("name_inch"),
            row.number("diameter_mm"),
            _pair(row, "amp", ""),
            row.number("inch_per_minute_per_amp"),
            row.number("inch_per_lb"),
        )
        for row in rows("wire")
    )


def wire(diameter_mm: float) -> Wire:
    """Give the wire of this diameter [mm], within 0.05 mm; ValueError for a size that is not in the table.

    >>> wire(0.6).amperes
    (30.0, 90.0)
    """
    best = min(wires(), key=lambda one: abs(one.diameter_mm - diameter_mm))
    if not abs(best.diameter_mm - diameter_mm) <= 0.05:
        known = ", ".join(f"{one.diameter_mm:g}" for one in wires())
        raise ValueError(f"no wire of {diameter_mm:g} mm: {known} are known")
    return best


def butt_limits(level: Level, thickness_mm: float, bead_width_mm: float) -> ButtLimits:
    """Give what EN ISO 5817 lets a butt weld show at level B (strict), C or D (lenient).

    Parameters: `thickness_mm`, 0.5 to 3; `bead_width_mm`, over 0. ValueError outside.
    Source: EN ISO 5817:2007 Table 1, rows 1.7, 1.9, 1.11 (published-read in an excerpt). Cracks and lack of fusion
    are allowed at no level. The printed upper limit of penetration for thin sheet was not read, so none is applied.

    >>> butt_limits("C", 1.0, 4.0)
    ButtLimits(undercut_mm=0.1, excess_weld_metal_mm=1.6, excess_penetration_mm=2.2)
    """
    if not 0.5 <= thickness_mm <= 3:
        raise ValueError(f"{thickness_mm:g} mm is outside the rows read from EN ISO 5817 (0.5 to 3 mm)")
    if not bead_width_mm > 0:
        raise ValueError(f"a bead {bead_width_mm:g} mm wide cannot be judged")
    row = _level(level)
    excess = row.number("excess_base_mm") + row.number("excess_per_width") * bead_width_mm
    return ButtLimits(
        undercut_mm=row.number("undercut_per_t") * thickness_mm,
        excess_weld_metal_mm=min(excess, row.number("excess_max_mm")),
        excess_penetration_mm=row.number("penetration_base_mm") + row.number("penetration_per_width") * bead_width_mm,
    )


def _level(level: str) -> Row:
    for row in rows("iso_5817"):
        if row.text("level") == level:
            return row
    raise ValueError(f'no quality level "{level}": EN ISO 5817 knows B, C and D')


def _pair(row: Row, name: str, unit: str) -> Range:
    tail = f"_{unit}" if unit else ""
    return row.number(f"{name}_low{tail}"), row.number(f"{name}_high{tail}")


def _nearest(thickness_mm: float, settings: tuple[_Setting, ...], what: str) -> _Setting:
    first, last = settings[0].thickness_mm, settings[-1].thickness_mm
    if not 0.9 * first <= thickness_mm <= 1.1 * last:
        raise ValueError(f"no {what} setting for {thickness_mm:g} mm: the table goes from {first:g} to {last:g} mm")
    return min(settings, key=lambda one: round(abs(one.thickness_mm - thickness_mm), 6))

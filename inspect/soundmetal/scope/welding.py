"""What one seam takes: weld metal, wire, gas, and the heat that goes into the work at the published setting."""

from __future__ import annotations

from soundmetal.calc.heat import heat_input_kj_mm
from soundmetal.calc.plug import min_spot_spacing_mm
from soundmetal.calc.wire import wire_m_per_kg
from soundmetal.handbook.shop_tables import spot_rows
from soundmetal.handbook.welding import mag, tig
from soundmetal.record.shopbook import ShopBook
from soundmetal.repair.models import Geometry
from soundmetal.repair.practice import practice
from soundmetal.scope.consumables import gas_litres, wire_kg
from soundmetal.scope.models import WeldPlan

#: Share of the arc's energy that goes into the work (TWI, heat input, published-read).
MIG_EFFICIENCY, TIG_EFFICIENCY = 0.8, 0.6
#: Bead and wire loss are a model from memory; settings are machine makers' tables for continuous runs.
SOURCE = "bead sizes from memory, of the right size; settings from machine makers' tables (published-read)"


def weld_plan(seam_mm: float, plugs: int, thickness_mm: float, shop: ShopBook) -> WeldPlan:
    """Give what a butt seam, or a row of plug welds, takes in steel of one thickness.

    Heat is from low volts and amperes at fast travel to high ones at slow travel, for a continuous run; tacks put in
    less. Published TIG tables give amperes alone: volts and travel are the shop book's, and without them there is no
    heat; none for plugs either, nor outside the tables.
    """
    plan = Geometry(seam_mm=seam_mm, plug_welds=plugs)
    kg = wire_kg(plan, thickness_mm, shop)
    heat, setting = _heat(thickness_mm, shop) if seam_mm else (None, None)
    return WeldPlan(
        thickness_mm=thickness_mm,
        gap_mm=practice().bead_on(thickness_mm).gap_mm if seam_mm else 0.0,
        metal_g=kg * 1000 * shop.policies.deposition,
        wire_m=kg * wire_m_per_kg(_wire_mm(thickness_mm, shop)),
        gas_l=gas_litres(plan, thickness_mm, shop),
        heat_kj_mm=heat,
        setting_mm=setting,
        source=SOURCE,
    )


def spot_pitch_mm(thickness_mm: float, sheets: int = 2) -> float | None:
    """Give the least distance between resistance spots in this steel; None outside the published table.

    >>> spot_pitch_mm(1.016)
    19.05
    """
    table = [(row.thickness_mm, row.min_spacing_mm) for row in spot_rows()]
    try:
        return min_spot_spacing_mm(thickness_mm, table, sheets)
    except ValueError:
        return None


def _heat(thickness_mm: float, shop: ShopBook) -> tuple[tuple[float, float] | None, float | None]:
    try:
        if shop.policies.process == "TIG":
            return _tig_heat(thickness_mm, shop), tig(thickness_mm).thickness_mm
        row = mag(thickness_mm)
    except ValueError:
        return None, None
    (volts, more_volts), (amps, more_amps), (slow, fast) = row.volts, row.amperes, row.travel_mm_min
    least = heat_input_kj_mm(volts, amps, fast, MIG_EFFICIENCY)
    most = heat_input_kj_mm(more_volts, more_amps, slow, MIG_EFFICIENCY)
    return (least, most), row.thickness_mm


def _tig_heat(thickness_mm: float, shop: ShopBook) -> tuple[float, float] | None:
    volts, travel = shop.policies.tig_volts, shop.policies.tig_travel_mm_min
    if volts is None or travel is None:
        return None
    least, most = (heat_input_kj_mm(volts, amps, travel, TIG_EFFICIENCY) for amps in tig(thickness_mm).amperes)
    return least, most


def _wire_mm(thickness_mm: float, shop: ShopBook) -> float:
    """Diameter of what is melted in: the shop's wire, or with TIG the rod of the published table where it has one."""
    if shop.policies.process != "TIG":
        return shop.policies.wire
    try:
        return tig(thickness_mm).filler_mm
    except ValueError:
        return shop.policies.wire

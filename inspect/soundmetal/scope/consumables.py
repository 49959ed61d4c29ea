"""What is used up: wire and gas computed from the seam, the rest by the shop book's use for one of each driver."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Decimal

from soundmetal.calc.plug import plug_volume_mm3
from soundmetal.calc.seam import butt_area_mm2, weld_metal_g_per_m
from soundmetal.calc.sheet import mass_kg
from soundmetal.calc.wire import arc_minutes, gas_l, wire_mass_g
from soundmetal.errors import SettingsError
from soundmetal.handbook.welding import mag, mag_settings
from soundmetal.record.shopbook import ShopBook
from soundmetal.repair.models import Geometry
from soundmetal.repair.practice import practice
from soundmetal.scope.blanks import Stock
from soundmetal.scope.models import Blank, Consumable
from soundmetal.scope.money import cents

#: Consumables that are computed and not looked up by use.
WIRE, GAS = "wire", "gas"


def consumables_of(plan: Geometry, stock: Stock, shop: ShopBook) -> tuple[Consumable, ...]:
    """Give what one option uses up for what can be seen now, prices before mark-up, in the shop book's order."""
    amounts = _by_use(plan, shop)
    if plan.seam_mm or plan.plug_welds:
        amounts[WIRE] = wire_kg(plan, stock.thickness_mm, shop)
        amounts[GAS] = gas_litres(plan, stock.thickness_mm, shop)
    return _in_order({name: amount for name, amount in amounts.items() if amount > 0}, shop)


def wire_kg(plan: Geometry, thickness_mm: float, shop: ShopBook) -> float:
    """Wire to feed for butt seam and plugs, in kg: weld metal over the share of the wire that ends up in it."""
    bead = practice().bead_on(thickness_mm)
    section = butt_area_mm2(thickness_mm, bead.gap_mm, *bead.face_mm, *bead.root_mm)
    seam_g = weld_metal_g_per_m(section) * plan.seam_mm / 1000
    hole = shop.policies.plug_hole
    over, height = practice().plug_cap_mm
    plug_g = 1000 * mass_kg(plug_volume_mm3(hole, thickness_mm, hole + over, height), 1.0) * plan.plug_welds
    return wire_mass_g(seam_g + plug_g, shop.policies.deposition) / 1000


def gas_litres(plan: Geometry, thickness_mm: float, shop: ShopBook) -> float:
    """Shielding gas in litres: arc time at the published travel speed nearest in thickness, times flow and overhead.

    Steel thicker or thinner than the published table takes the speed of the table's end, which is the nearest known.
    """
    rows = mag_settings()
    known = min(max(thickness_mm, rows[0].thickness_mm), rows[-1].thickness_mm)
    slow, fast = mag(known).travel_mm_min
    seam = arc_minutes(plan.seam_mm, (slow + fast) / 2) if plan.seam_mm else 0.0
    minutes = seam + plan.plug_welds * practice().plug_arc_s / 60
    return gas_l(minutes, shop.policies.gas_l_min, shop.policies.gas_overhead)


def together(parts: Iterable[Sequence[Consumable]], shop: ShopBook) -> tuple[Consumable, ...]:
    """Add up what several panels use, in the shop book's order."""
    amounts: dict[str, float] = {}
    for part in parts:
        for one in part:
            amounts[one.id] = amounts.get(one.id, 0.0) + one.amount
    return _in_order(amounts, shop)


def sheets_needed(blanks: Sequence[Blank], shop: ShopBook) -> tuple[Consumable, ...]:
    """Count whole sheets to lay out by area and waste, thinnest first; one that is not in stock has price 0."""
    areas: dict[tuple[float, str], float] = {}
    for blank in blanks:
        key = (blank.thickness_mm, blank.sheet)
        areas[key] = areas.get(key, 0.0) + blank.width_mm * blank.height_mm
    return tuple(_sheets(thickness, name, areas[thickness, name], shop) for thickness, name in sorted(areas))


def _sheets(thickness_mm: float, name: str, area_mm2: float, shop: ShopBook) -> Consumable:
    stocked = next((sheet for sheet in shop.sheets if sheet.id == name), None)
    length, width = stocked.size if stocked else shop.sheets[0].size
    needed = math.ceil(area_mm2 * (1 + shop.policies.sheet_waste) / (length * width))
    price = cents(needed * stocked.price) if stocked else cents(0)
    return Consumable(f"sheet {name or f'{thickness_mm:.2f} mm'}", needed, "sheet", price, "shop book")


def _by_use(plan: Geometry, shop: ShopBook) -> dict[str, float]:
    drivers = {
        "seam_m": plan.seam_mm / 1e3,
        "flange_m": plan.factory_flange_mm / 1e3,
        "cut_m": plan.cut_mm / 1e3,
        "strip_m2": plan.strip_mm2 / 1e6,
        "protect_m2": plan.strip_mm2 / 1e6,
        "plug": float(plan.plug_welds),
        "cavity": float(plan.cavities),
    }
    return {
        name: sum(per * drivers[use] for use, per in entry.uses.items()) for name, entry in shop.consumables.items()
    }


def _in_order(amounts: dict[str, float], shop: ShopBook) -> tuple[Consumable, ...]:
    for name in amounts:
        if name not in shop.consumables:
            raise SettingsError(f'the shop book has no consumable "{name}"', todo="Add it, or keep the defaults.")
    return tuple(_priced(name, amounts[name], shop) for name in shop.consumables if name in amounts)


def _priced(name: str, amount: float, shop: ShopBook) -> Consumable:
    entry = shop.consumables[name]
    return Consumable(name, amount, entry.unit, cents(Decimal(repr(amount)) * entry.price), entry.source)

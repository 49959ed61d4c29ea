"""Nominal thicknesses lie inside the ranges that the trade gives. The ranges stand here apart from the data files."""

from __future__ import annotations

import pytest

from soundmetal.car import catalogue
from soundmetal.car.reading import shared

#: Manufacturers' Standard Gauge in mm, from a published gauge table (second-hand, re-derived as lb/ft2 over 41.82).
MSG_MM = {12: 2.657, 14: 1.897, 16: 1.519, 18: 1.214, 20: 0.912}

#: steel -> least and greatest mm, where from and how sure.
RANGES = {
    "outer_skin": (0.9, 1.2, "skins of the 1930s-60s 0.9-1.1 (memory), 1960s 1.0-1.2 (second-hand)"),
    "pickup_lower_skin": (MSG_MM[20], MSG_MM[18], "cab corners, lower doors 18-20 ga (memory)"),
    "rocker_outer": (0.9, MSG_MM[18], "outer rocker 0.9-1.2 mm, 18-20 ga (memory)"),
    "rocker_inner": (1.2, MSG_MM[16], "inner rocker 1.2-1.5 mm, 16-18 ga (memory)"),
    "floor": (0.8, MSG_MM[18], "floor pans 0.8-1.2 mm; classics 18-20 ga (second-hand; memory)"),
    "inner_panel": (0.8, MSG_MM[18], "as the floor (memory)"),
    "pillar": (MSG_MM[18], MSG_MM[14], "inner pillars of classics 14-18 ga (memory)"),
    "brace": (1.5, 2.0, "braces, torque boxes, seat mounts 1.5-2.0 mm (memory)"),
    "heavy_brace": (1.5, MSG_MM[12], "torque boxes 14-16 ga and 12-14 ga (memory)"),
    "unibody_rail": (1.5, MSG_MM[12], "as a heavy brace (memory)"),
    "truck_rail": (3.0, 6.0, "truck rails 3-6 mm (second-hand, low weight)"),
    "truck_crossmember": (2.0, 4.0, "truck crossmembers 2-4 mm (second-hand, low weight)"),
    "bracket": (2.0, 3.0, "truck brackets 2-3 mm (second-hand, low weight)"),
    "car_frame": (0.095 * 25.4, 4.8, "perimeter 0.095-0.120 in. (memory), flat stock to 4.8 mm (second-hand)"),
}


def test_every_steel_has_a_range_to_stand_against() -> None:
    assert shared().steels.keys() == RANGES.keys()


@pytest.mark.parametrize("steel", sorted(RANGES))
def test_nominal_lies_within_the_trade_range(steel: str) -> None:
    low, high, _source = RANGES[steel]
    assert low <= shared().steels[steel].mm <= high


def test_fourteen_gauge_is_rounded_as_the_table_prints_it() -> None:
    assert shared().steels["heavy_brace"].mm == round(MSG_MM[14], 1)


def test_frames_are_thicker_than_sheet() -> None:
    for name, structures in catalogue.bodies():
        for structure in structures:
            ids = catalogue.body(name, structure).by_id
            rail = ids["frame_rail.left.front"].thickness.mm
            assert rail > ids["rocker.left.inner"].thickness.mm > ids["floor.left.front"].thickness.mm
    assert catalogue.body("pickup", "frame").by_id["frame_rail.left.front"].thickness.mm == 4.0

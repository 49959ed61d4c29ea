"""The scenes: each is a function that builds one on a stage. Importing this needs no `bpy`; building does."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from typing import Any

_BY_MODULE = {
    "rail": ["rail_left_over_axle", "rail_left_over_axle_hole", "rail_right_centre", "spring_hanger_left_front"],
    "side": ["rocker_left_outer", "rocker_left_outer_close", "rocker_right_outer"],
    "floor_pan": ["floor_left_front", "floor_left_front_close", "floor_right_front", "floor_left_rear"],
    "corner": [
        "cab_corner_left_outer",
        "cab_corner_left_outer_close",
        "cab_corner_left_inner",
        "cab_corner_right_outer",
    ],
    "skins": ["fender_left_rear", "bedside_left_rear", "tailgate", "door_left_bottom"],
    "cab": ["toe_board_left", "kick_panel_right", "firewall", "cowl_top", "drip_rail_left", "core_support"],
    "frame": [
        "crossmember",
        "cab_mount_left_front",
        "rocker_left_inner",
        "rocker_right_inner",
        "floor_from_below",
        "wheelhouse",
        "bed_floor_front",
    ],
    "elsewhere": ["bench", "shop_floor"],
    "coupe": ["quarter_left_arch", "boot_floor", "battery_tray", "strut_tower", "rear_window_channel"],
}

#: Scene -> module. A scene's function has the scene's name.
WHERE = {name: module for module, names in _BY_MODULE.items() for name in names}


def scene(name: str) -> Callable[[Any], None]:
    """The function that builds a scene."""
    found: Callable[[Any], None] = getattr(importlib.import_module(f"{__package__}.{WHERE[name]}"), name)
    return found

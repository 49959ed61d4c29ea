"""The walk round the car: which scene became which file, when, how it was tagged, how the telephone was held."""

from __future__ import annotations

from dataclasses import dataclass, field

from .phone import Take

MID_OCEAN = (28.5, -145.25)


@dataclass(frozen=True)
class Shot:
    """One file below `photos/`: scene, zone, finding, minutes after 09:12, tags, how it was taken."""

    file: str
    scene: str
    zone: str
    minute: float
    finding: str = ""
    iptc: tuple[str, ...] = ()
    xmp: tuple[str, ...] = ()
    orientation: int = 1
    place: tuple[float, float] | None = None
    take: Take = field(default_factory=Take)


def _taken(seed: int, **how: float) -> Take:
    return Take(seed=seed, **how)  # type: ignore[arg-type]


ALBUM: tuple[Shot, ...] = (
    Shot("fender.left.rear/IMG_0101.jpg", "fender_left_rear", "fender.left.rear", 0, "F13", take=_taken(1)),
    Shot(
        "IMG_0102.jpg", "door_left_bottom", "door.left.bottom", 2, "F14", ("door left bottom", "rust"), take=_taken(2)
    ),
    Shot("rocker.left.outer/IMG_0103.jpg", "rocker_left_outer", "rocker.left.outer", 3, "F1", take=_taken(3)),
    Shot(
        "rocker.left.outer/IMG_0104.jpg", "rocker_left_outer", "rocker.left.outer", 3.06, "F1",
        take=_taken(4, stops=0.1, shake=1.1),
    ),
    Shot("rocker.left.outer/IMG_0107.jpg", "rocker_left_outer_close", "rocker.left.outer", 4, "F1", take=_taken(5)),
    Shot(
        "IMG_0108.jpg", "rocker_left_inner", "rocker.left.inner", 6, "F2", ("estribo izquierdo interior",),
        take=_taken(6, noise=1.3),
    ),
    Shot("cab corner left outer.jpg", "cab_corner_left_outer", "cab_corner.left.outer", 8, "F3", take=_taken(7)),
    Shot(
        "cab corner left outer 2.jpg", "cab_corner_left_outer_close", "cab_corner.left.outer", 9, "F3",
        orientation=6, take=_taken(8),
    ),
    Shot(
        "cab corner left inner.HEIC", "cab_corner_left_inner", "cab_corner.left.inner", 11, "F4",
        take=_taken(9, stops=0.4, noise=1.5, warm=0.4),
    ),
    Shot(
        "bedside left rear.jpg", "bedside_left_rear", "bedside.left.rear", 13, "F20", place=MID_OCEAN, take=_taken(10)
    ),
    Shot("IMG_0113.jpg", "tailgate", "tailgate", 14, "F21", xmp=("tailgate", "portón trasero"), take=_taken(11)),
    Shot(
        "IMG_0114.jpg", "bed_floor_front", "bed_floor.front", 15, "F22", xmp=("bed floor front",),
        take=_taken(12, stops=0.3),
    ),
    Shot(
        "cab corner right outer.jpg", "cab_corner_right_outer", "cab_corner.right.outer", 18, "F16",
        orientation=3, take=_taken(13),
    ),
    Shot(
        "IMG_0116.jpg", "rocker_right_outer", "rocker.right.outer", 19, "F15", ("rocker right outer", "scale"),
        take=_taken(14),
    ),
    Shot(
        "estribo derecho interior.jpg", "rocker_right_inner", "rocker.right.inner", 20, "F24",
        take=_taken(15, noise=1.3, warm=0.5),
    ),
    Shot(
        "floor.left.front/IMG_0117.jpg", "floor_left_front", "floor.left.front", 22.8, "F5",
        take=_taken(16, stops=0.25, shake=26, soft=1.5),
    ),
    Shot(
        "floor.left.front/IMG_0118.jpg", "floor_left_front", "floor.left.front", 23, "F5",
        take=_taken(17, stops=0.25),
    ),
    Shot(
        "floor.left.front/IMG_0119.jpg", "floor_left_front_close", "floor.left.front", 24, "F5",
        orientation=6, take=_taken(18, stops=0.2),
    ),
    Shot(
        "piso delantero derecho.jpg", "floor_right_front", "floor.right.front", 26, "F6",
        take=_taken(19, stops=0.3, warm=0.3),
    ),
    Shot("floor left rear.jpg", "floor_left_rear", "floor.left.rear", 27, take=_taken(20, stops=0.7)),
    Shot("toe board left.jpg", "toe_board_left", "toe_board.left", 28, "F7", take=_taken(21, stops=0.5, noise=1.4)),
    Shot(
        "IMG_0123.HEIC", "kick_panel_right", "kick_panel.right", 29, "F23", xmp=("kick panel right",),
        take=_taken(22, stops=0.5),
    ),
    Shot(
        "frame_rail.left.over_axle/IMG_0124.jpg", "rail_left_over_axle", "frame_rail.left.over_axle", 33, "F8",
        take=_taken(23, stops=-0.4, noise=1.3, warm=0.4),
    ),
    Shot(
        "frame_rail.left.over_axle/IMG_0125.jpg", "rail_left_over_axle_hole", "frame_rail.left.over_axle", 34, "F8",
        take=_taken(24, stops=-0.4, noise=1.2, warm=0.4),
    ),
    Shot(
        "spring hanger left front.jpg", "spring_hanger_left_front", "spring_hanger.left.front", 35, "F12",
        place=(-31.75, -118.5), take=_taken(25, stops=-0.4, noise=1.3),
    ),
    Shot(
        "IMG_0126.jpg", "rail_right_centre", "frame_rail.right.centre", 36.7, "F9",
        take=_taken(26, stops=-4.2, noise=2.4),
    ),
    Shot(
        "IMG_0127.jpg", "rail_right_centre", "frame_rail.right.centre", 37, "F9", ("larguero derecho central",),
        take=_taken(27, stops=-0.4, noise=1.3),
    ),
    Shot(
        "crossmember.centre/IMG_0128.jpg", "crossmember", "crossmember.centre", 38, "F10",
        take=_taken(28, stops=-0.4, noise=1.3),
    ),
    Shot(
        "IMG_0129.jpg", "cab_mount_left_front", "cab_mount.left.front", 39, "F11", ("cab mount left front",),
        orientation=8, take=_taken(29, stops=-0.4, noise=1.4),
    ),
    Shot("IMG_0130.jpg", "floor_from_below", "floor.left.front", 40, "F5", ("floor left front",), take=_taken(30)),
    Shot(
        "IMG_0131.jpg", "wheelhouse", "wheelhouse.left.front", 41, iptc=("wheelhouse left front",),
        take=_taken(31, noise=1.3),
    ),
    Shot("drip rail left.jpg", "drip_rail_left", "drip_rail.left", 42, "F18", take=_taken(32)),
    Shot("IMG_0132.jpg", "cowl_top", "cowl.top", 43, "F19", xmp=("cowl top", "cubretablero"), take=_taken(33)),
    Shot("firewall.jpg", "firewall", "firewall", 45, "F17", take=_taken(34, stops=0.3)),
    Shot("IMG_0134.jpg", "core_support", "core_support", 47, "F25", ("core support",), take=_taken(35, stops=0.5)),
    Shot("IMG_0199.jpg", "bench", "", 52, take=_taken(36)),
    Shot("IMG_0200.jpg", "shop_floor", "", 52.4, take=_taken(37, shake=6, stops=0.3)),
)  # fmt: skip

#: What the owner of the second car sent in: ten pictures from a drive, all in one afternoon, named by hand.
COUPE: tuple[Shot, ...] = (
    Shot("fender left rear.jpg", "fender_left_rear", "fender.left.rear", 371, "F1", take=_taken(51)),
    Shot("rocker right outer.jpg", "rocker_right_outer", "rocker.right.outer", 373, "F2", take=_taken(52)),
    Shot("door left bottom.jpg", "door_left_bottom", "door.left.bottom", 374, "F3", take=_taken(53)),
    Shot("quarter left rear.jpg", "quarter_left_arch", "quarter.left.rear", 376, "F4", take=_taken(54)),
    Shot("trunk floor left.jpg", "boot_floor", "trunk_floor.left", 379, "F5", take=_taken(55, stops=0.2)),
    Shot("glass channel rear.jpg", "rear_window_channel", "glass_channel.rear", 380, "F6", take=_taken(56)),
    Shot(
        "spring tower left.jpg",
        "strut_tower",
        "spring_tower.left",
        384,
        "F7",
        orientation=3,
        take=_taken(57, stops=0.45),
    ),
    Shot("core support.jpg", "battery_tray", "core_support", 385, "F8", take=_taken(58, stops=0.45)),
    Shot("cowl top.jpg", "cowl_top", "cowl.top", 387, "F9", take=_taken(59)),
    Shot("floor left front.jpg", "floor_left_front", "floor.left.front", 391, "F10", take=_taken(60, stops=0.25)),
)

#: The two cars: their pictures, and the seed that makes one car's rust unlike the other's.
CARS: dict[str, tuple[int, tuple[Shot, ...]]] = {"pickup": (1, ALBUM), "coupe": (2, COUPE)}

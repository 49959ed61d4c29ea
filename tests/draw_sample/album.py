"""The walk round the car: which scene became which file, when, how it was tagged and how the telephone was held."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Shot:
    """One file of the sample: path below `photos/`, scene, zone, minutes after 09:12, tags, orientation, place."""

    file: str
    scene: str
    zone: str
    minute: int
    shows: str
    iptc: tuple[str, ...] = ()
    xmp: tuple[str, ...] = ()
    orientation: int = 1
    place: tuple[float, float] | None = None


MID_OCEAN = (28.5, -145.25)

ALBUM: tuple[Shot, ...] = (
    Shot(
        "fender.left.rear/IMG_0101.jpg",
        "fender_left_rear",
        "fender.left.rear",
        0,
        "scale at the lower edge behind the wheel opening",
    ),
    Shot(
        "IMG_0102.jpg",
        "door_left_bottom",
        "door.left.bottom",
        2,
        "pitted hem, pinholes inside the chalk arc",
        iptc=("door left bottom", "rust"),
    ),
    Shot(
        "rocker.left.outer/IMG_0103.jpg",
        "rocker_left_outer",
        "rocker.left.outer",
        3,
        "holed along the bottom edge, scale around",
    ),
    Shot(
        "rocker.left.outer/IMG_0107.jpg",
        "rocker_left_outer_close",
        "rocker.left.outer",
        4,
        "close-up of the holed edge with a steel rule",
    ),
    Shot(
        "IMG_0108.jpg",
        "rocker_left_inner",
        "rocker.left.inner",
        6,
        "inner side from below: rusted through at the lower flange, the rest dry",
        iptc=("estribo izquierdo interior",),
    ),
    Shot(
        "cab corner left outer.jpg",
        "cab_corner_left_outer",
        "cab_corner.left.outer",
        8,
        "holed lower corner with a steel rule",
    ),
    Shot(
        "cab corner left outer 2.jpg",
        "cab_corner_left_outer_close",
        "cab_corner.left.outer",
        9,
        "close-up of the hole, upright picture",
        orientation=6,
    ),
    Shot(
        "cab corner left inner.HEIC",
        "cab_corner_left_inner",
        "cab_corner.left.inner",
        11,
        "inside of the corner: scale over the spot-welded seam",
    ),
    Shot(
        "bedside left rear.jpg",
        "bedside_left_rear",
        "bedside.left.rear",
        13,
        "scale behind the wheel opening",
        place=MID_OCEAN,
    ),
    Shot(
        "IMG_0113.jpg",
        "tailgate",
        "tailgate",
        14,
        "surface rust along the lower seam",
        xmp=("tailgate", "portón trasero"),
    ),
    Shot(
        "IMG_0114.jpg",
        "bed_floor_front",
        "bed_floor.front",
        15,
        "surface rust at the front of the bed floor, between and over the ribs",
        xmp=("bed floor front",),
    ),
    Shot(
        "cab corner right outer.jpg",
        "cab_corner_right_outer",
        "cab_corner.right.outer",
        18,
        "earlier repair: sheet lapped over rust, screwed; rust creeps out all round",
        orientation=3,
    ),
    Shot(
        "IMG_0116.jpg",
        "rocker_right_outer",
        "rocker.right.outer",
        19,
        "scale at the lower edge, not holed",
        iptc=("rocker right outer", "scale"),
    ),
    Shot(
        "estribo derecho interior.jpg",
        "rocker_right_inner",
        "rocker.right.inner",
        20,
        "surface rust on the lower flange only",
    ),
    Shot(
        "floor.left.front/IMG_0118.jpg",
        "floor_left_front",
        "floor.left.front",
        23,
        "holed beside the seat mounting, seen from above",
    ),
    Shot(
        "floor.left.front/IMG_0119.jpg",
        "floor_left_front_close",
        "floor.left.front",
        24,
        "close-up: hole and seat mounting bolt, yellow tape, upright picture",
        orientation=6,
    ),
    Shot(
        "piso delantero derecho.jpg",
        "floor_right_front",
        "floor.right.front",
        26,
        "pitted between the ribs, chalk ring, not holed",
    ),
    Shot(
        "floor left rear.jpg",
        "floor_left_rear",
        "floor.left.rear",
        27,
        "sound under old paint and dust, one drain plug",
    ),
    Shot(
        "toe board left.jpg",
        "toe_board_left",
        "toe_board.left",
        28,
        "pinholes in a row at the seam to the floor pan",
    ),
    Shot(
        "IMG_0123.HEIC",
        "kick_panel_right",
        "kick_panel.right",
        29,
        "surface rust along the seam at its foot",
        xmp=("kick panel right",),
    ),
    Shot(
        "frame_rail.left.over_axle/IMG_0124.jpg",
        "rail_left_over_axle",
        "frame_rail.left.over_axle",
        33,
        "scale along the kick-up, web and lower flange",
    ),
    Shot(
        "frame_rail.left.over_axle/IMG_0125.jpg",
        "rail_left_over_axle_hole",
        "frame_rail.left.over_axle",
        34,
        "holed in the web close to the spring hanger, chalk arc",
    ),
    Shot(
        "spring hanger left front.jpg",
        "spring_hanger_left_front",
        "spring_hanger.left.front",
        35,
        "riveted hanger, scale on its lower half",
        place=(-31.75, -118.5),
    ),
    Shot(
        "IMG_0127.jpg",
        "rail_right_centre",
        "frame_rail.right.centre",
        37,
        "surface rust on the lower edge only",
        iptc=("larguero derecho central",),
    ),
    Shot(
        "crossmember.centre/IMG_0128.jpg",
        "crossmember",
        "crossmember.centre",
        38,
        "pitted at the lower edge, drain slots",
    ),
    Shot(
        "IMG_0129.jpg",
        "cab_mount_left_front",
        "cab_mount.left.front",
        39,
        "bracket's floor gone round the bolt, upright picture",
        iptc=("cab mount left front",),
        orientation=8,
    ),
    Shot("drip rail left.png", "drip_rail_left", "drip_rail.left", 42, "pitted gutter, pinholes in the seam"),
    Shot("IMG_0132.jpg", "cowl_top", "cowl.top", 43, "scale round the air slots", xmp=("cowl top", "cubretablero")),
    Shot(
        "firewall.jpg", "firewall", "firewall", 45, "earlier repair that is sound: panel let in edge to edge, primed"
    ),
    Shot(
        "IMG_0134.jpg",
        "core_support",
        "core_support",
        47,
        "surface rust on the lower bar",
        iptc=("core support",),
    ),
    Shot("IMG_0199.jpg", "bench", "", 52, "a bench with tools: belongs nowhere"),
)

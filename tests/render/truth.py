"""The truth of a picture: labels, scale of its main panel, outline and size of what has rusted. No `bpy`."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from .noise import Field, blur, stretched
from .skin import HOLE, SCALE, SURFACE

#: One folder a car: `truth.json` and one mask a scene.
FOLDER = Path(__file__).resolve().parent / "truth"
#: In the stored mask a pixel of the main panel has this added to its label.
MAIN = 8
_PALETTE = {0: (0, 0, 0), 1: (96, 104, 96), 2: (196, 96, 40), 3: (240, 200, 60), 4: (40, 80, 220)}


@dataclass(frozen=True)
class Seen:
    """What each pixel of a picture (upright) shows: label, whether it is on the main panel, and where on it (mm)."""

    label: np.ndarray
    main: np.ndarray
    u: Field
    v: Field

    @classmethod
    def of(cls, passes: np.ndarray) -> Seen:
        """From the truth as rendered: label + 10 on the main panel, u, v."""
        code = np.rint(passes[..., 0]).astype(np.uint8)
        return cls((code % 10).astype(np.uint8), code >= 10, passes[..., 1], passes[..., 2])


def pixel_area(seen: Seen) -> Field:
    """Area of steel on each pixel of the main panel, mm2; 0 elsewhere and where its neighbour is another thing."""
    (uy, ux), (vy, vx) = np.gradient(seen.u), np.gradient(seen.v)
    area = np.abs(ux * vy - uy * vx)
    fine = seen.main & (area > 0) & (area < 9 * np.median(area[seen.main]))
    return np.where(fine, area, 0)


def scale_at(seen: Seen, where: np.ndarray) -> tuple[float, float]:
    """mm a pixel across and down the picture, the median over the main panel's pixels that are chosen."""
    chosen = where & seen.main
    (uy, ux), (vy, vx) = np.gradient(seen.u), np.gradient(seen.v)
    return float(np.median(np.hypot(ux, vx)[chosen])), float(np.median(np.hypot(uy, vy)[chosen]))


def plane(seen: Seen, where: np.ndarray) -> tuple[np.ndarray, float]:
    """The homography from pixels (x, y, 1) to the panel's mm over the chosen pixels, and its median error in mm."""
    rows, columns = np.nonzero(where & seen.main)
    some = np.linspace(0, len(rows) - 1, min(len(rows), 1500)).astype(int)
    rows, columns = rows[some], columns[some]
    x, y = columns / seen.label.shape[1], rows / seen.label.shape[1]
    u, v = seen.u[rows, columns].astype(float), seen.v[rows, columns].astype(float)
    o, one, size = np.zeros_like(x), np.ones_like(x), 1000.0
    a = np.stack([x, y, one, o, o, o, -x * u / size, -y * u / size], -1)
    b = np.stack([o, o, o, x, y, one, -x * v / size, -y * v / size], -1)
    solved = np.linalg.lstsq(np.concatenate([a, b]), np.concatenate([u, v]) / size, rcond=None)[0]
    h = np.append(solved, 1.0).reshape(3, 3)
    h[:2] *= size
    h[:, :2] /= seen.label.shape[1]
    w = h @ np.stack([columns, rows, one])
    return h, float(np.median(np.hypot(w[0] / w[2] - u, w[1] / w[2] - v)))


def pieces(mask: np.ndarray) -> list[np.ndarray]:
    """The pieces of a mask that hang together, largest first, gaps of a few pixels bridged; told on a coarse grid."""
    step = max(mask.shape) / 160
    small = tuple(round(n / step) for n in mask.shape)
    near = stretched(blur(mask.astype(np.float32), step), small, Image.Resampling.BOX) > 0.12
    ids, before = np.where(near, np.arange(1, near.size + 1).reshape(near.shape), 0), None
    while before is None or (ids != before).any():
        before, wide = ids, np.pad(ids, 1)
        around = (ids, wide[:-2, 1:-1], wide[2:, 1:-1], wide[1:-1, :-2], wide[1:-1, 2:])
        ids = np.where(near, np.maximum.reduce(around), 0)
    whole = stretched(ids, mask.shape, Image.Resampling.NEAREST).round().astype(int)
    names, sizes = np.unique(whole[mask & (whole > 0)], return_counts=True)
    return [mask & (whole == name) for name in names[np.argsort(-sizes, kind="stable")]]


def largest(mask: np.ndarray) -> np.ndarray:
    """The largest piece of a mask; nothing of one that is all specks."""
    return next(iter(pieces(mask)), np.zeros_like(mask))


def outline(mask: np.ndarray, corners: int = 12) -> list[list[float]]:
    """A polygon of a few corners round a mask, in shares of the picture's width and height."""
    rows, columns = np.nonzero(mask)
    points = np.stack([columns / mask.shape[1], rows / mask.shape[0]], -1)
    middle, half = (points.max(0) + points.min(0)) / 2, np.maximum(np.ptp(points, axis=0) / 2, 1e-6)
    ways = [np.array([np.cos(a), np.sin(a)]) for a in 2 * np.pi * np.arange(corners) / corners]
    out: list[list[float]] = []
    for way in ways:
        far = points[np.argmax((points - middle) / half @ way)]  # or a long piece would lose its corners
        corner = [round(float(x), 3) for x in far]
        if corner not in out:
            out.append(corner)
    return out


def _extent(seen: Seen, mask: np.ndarray) -> dict[str, float]:
    u, v = seen.u[mask], seen.v[mask]
    across, down = (float(np.subtract(*np.percentile(k, (99.5, 0.5)))) for k in (u, v))
    return {
        "width_mm": round(across, 1),
        "height_mm": round(down, 1),
        "area_mm2": round(float(pixel_area(seen)[mask].sum()), 1),
    }


def described(seen: Seen) -> dict[str, Any]:
    """All that the truth says of a picture in few numbers: shares; and of its main panel scale, plane, places."""
    names = ("background", "sound", "surface", "scale", "hole")
    out: dict[str, Any] = {
        "pixels": list(seen.label.shape[::-1]),
        "share": {name: round(float((seen.label == k).mean()), 4) for k, name in enumerate(names)},
        "places": {},
    }
    if not seen.main.any():
        return out
    main_rust = (seen.label >= SURFACE) & seen.main
    focus = largest(main_rust) if main_rust.any() else seen.main
    homography, error = plane(seen, _around(focus))
    out["mm_per_pixel"] = [round(x, 4) for x in scale_at(seen, focus)]
    out["pixel_to_mm"] = [[float(f"{x:.6g}") for x in row] for row in homography]
    out["plane_error_mm"] = round(error, 2)
    for name, low in (("surface", SURFACE), ("scale", SCALE), ("hole", HOLE)):
        piece = largest((seen.label >= low) & seen.main)
        if piece.sum() > 40:
            out["places"][name] = {"outline": outline(piece), **_extent(seen, piece)}
    return out


def _around(focus: np.ndarray) -> np.ndarray:
    """The box round a piece; not less than a third of the picture, or a plane could not be told from it."""
    out = np.zeros_like(focus)
    spans = []
    for places, size in zip(np.nonzero(focus), focus.shape, strict=True):
        grow = max(size // 3 - int(np.ptp(places)), 0) // 2
        spans.append(slice(max(int(places.min()) - grow, 0), int(places.max()) + grow + 1))
    out[tuple(spans)] = True
    return out


def save(seen: Seen, path: Path) -> None:
    """Keep the labels as a small PNG: label, and `MAIN` more on the main panel."""
    image = Image.fromarray((seen.label + MAIN * seen.main).astype(np.uint8), "L").convert("P")
    image.putdata((seen.label + MAIN * seen.main).ravel().tolist())
    colours = [0, 0, 0] * 16
    for k, colour in _PALETTE.items():
        colours[3 * k : 3 * k + 3], colours[3 * (k + MAIN) : 3 * (k + MAIN) + 3] = colour, colour
    image.putpalette(colours)
    image.save(path, optimize=True, bits=4)


def labels(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Read a mask: each pixel's label (0 background, 1 sound, 2 surface, 3 scale, 4 hole); the main panel."""
    with Image.open(path) as image:
        code = np.asarray(image)
    return code % MAIN, code >= MAIN


def index(car: str) -> dict[str, Any]:
    """What is known of each picture of a car, by its file below `photos/`."""
    read: dict[str, Any] = json.loads((FOLDER / car / "truth.json").read_text(encoding="utf-8"))
    return read


def write_index(known: dict[str, Any], path: Path) -> None:
    """Keep what is known, one line a picture."""
    lines = (f"{json.dumps(k)}: {json.dumps(known[k], sort_keys=True)}" for k in sorted(known))
    path.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


def mask(car: str, file: str) -> tuple[np.ndarray, np.ndarray]:
    """Labels and main panel of a picture, turned as the upright picture is, however its file was stored."""
    return labels(FOLDER / car / f"{index(car)[file]['scene']}.png")

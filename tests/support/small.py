"""A small inspection, for whatever needs a whole folder."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

SMALL = """\
# A made-up pickup, looked at in a hurry.
soundmetal: 1
version: 1
vehicle: {year: 1971, make: "Tollgate", model: "Drover", body: pickup, structure: frame}
owner: {name: "Ana Quiroga"}
date: 2026-11-18
inspector: "R. Vane"
basis: lift
zones:
  cowl.top: {all: clear}
findings:
  - id: F1
    zone: rocker.left.outer
    seen: holed            # along the pinch weld
    size: 320 x 60 mm
    photos: [{file: rocker.left.outer/one.jpg}]
  - id: F2
    zone: floor.left.front
    seen: surface
    size: 100 x 80 mm
    photos: [{file: floor left front.jpg}]
photos: {}
"""


def sharp_picture(seed: int) -> Image.Image:
    """Draw specks on paint: sharp, neither dark nor bright, large enough for a pinhole, unlike other seeds."""
    specks = np.random.default_rng(seed).normal(0, 40, (48, 64, 1)).repeat(10, axis=0).repeat(10, axis=1)
    paint = np.array([96, 132, 104]) + specks
    return Image.fromarray(np.clip(paint, 0, 255).astype(np.uint8))


def write_small_inspection(home: Path) -> Path:
    """Write the small inspection into a folder of `home`, and give it."""
    folder = home / "drover"
    for number, name in enumerate(("rocker.left.outer/one.jpg", "floor left front.jpg")):
        path = folder / "photos" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        sharp_picture(number).save(path, "JPEG", quality=90)
    (folder / "inspection.yaml").write_text(SMALL, encoding="utf-8")
    return folder

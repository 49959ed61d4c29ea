"""What the program says of the rusted share of each rendered picture, beside what its mask says. No `bpy`.

python tests/render/sharing.py      # the table for docs/rust-share.md
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "inspect"))

from render import pointing, truth
from render.album import CARS
from render.finish import PHOTOS
from render.skin import HOLE, SOUND, SURFACE
from soundmetal.folder import store
from soundmetal.photos.rust import segment
from soundmetal.photos.rust.share import Outline, rust_share
from soundmetal.photos.shrink import shrunk
from soundmetal.record.terms import MarkKind, Seen
from soundmetal.steps import Spread

#: A hurried person's box round the rust: larger than it by this part on each side, as in bench_rust.py.
LARGER = 0.2
#: A place that covers less of the picture is nothing that somebody would outline.
LEAST = 0.002

LOOKS_RUSTED = {Seen.SURFACE, Seen.SCALE, Seen.PITTED}
#: What somebody may ask about: all of a picture, a hurried box, the first call-out round a place (as `check` does).
AREAS = ("picture", "box", "call-out")


@dataclass(frozen=True)
class Row:
    """One area of one picture: what was said and what is so, in per cent.

    `steel`: how many points of per cent were said too much of the labelled steel alone. Frame, floor and tools behind
    it have no label, and some of them look rusty; where it is rusted through there is no steel to look rusty.
    """

    car: str
    file: str
    area: str
    said: Spread
    rusted: float
    holes: float
    steel: float

    @property
    def error(self) -> float:
        """Points of per cent too much."""
        return self.said.likely - self.rusted

    @property
    def inside(self) -> bool:
        """Whether the range that was told holds the truth."""
        return self.said.low <= self.rusted <= self.said.high


def box(label: np.ndarray, main: np.ndarray) -> Outline | None:
    """A box round the largest rusted place of the main panel, larger than it as a hurried person's."""
    place = truth.largest((label >= SURFACE) & main)
    if place.mean() < LEAST:
        return None
    high, wide = label.shape
    (top, left), (low, right) = (f(np.argwhere(place), axis=0) / (high, wide) for f in (np.min, np.max))
    across, down = LARGER * (right - left), LARGER * (low - top)
    left, right = max(float(left - across), 0.0), min(float(right + across), 1.0)
    top, low = max(float(top - down), 0.0), min(float(low + down), 1.0)
    return (left, top), (right, top), (right, low), (left, low)


def called_out(car: str) -> dict[str, Outline]:
    """The first polygon round a place on each picture of a finding that looks rusted; holes do not."""
    record = store.read(PHOTOS[car].parent).inspection
    return {
        use.file: mark.points
        for finding in record.findings
        if finding.seen in LOOKS_RUSTED
        for use in finding.photos
        for mark in reversed(use.marks)
        if mark.kind is MarkKind.POLYGON
    }


def _row(car: str, file: str, area: str, copy: Path, label: np.ndarray, outline: Outline | None) -> Row:
    inside = pointing.area("polygon", list(outline), 0, label.shape) if outline else np.ones(label.shape, bool)
    shares = [100 * float((label[inside] >= low).mean()) for low in (SURFACE, HOLE)]
    return Row(car, file, area, rust_share(copy, outline).percent, *shares, _on_steel(copy, inside, label))


def _on_steel(copy: Path, inside: np.ndarray, label: np.ndarray) -> float:
    """Error on the labelled steel of an area, point by point as the program judges them."""
    with Image.open(copy) as picture:
        pixels = segment.working(picture)
    judged, shape = segment.judge(pixels), (pixels.shape[1], pixels.shape[0])
    steel, rusty = (
        np.asarray(Image.fromarray(part).convert("L").resize(shape, Image.Resampling.BOX)) > 127
        for part in (inside & (label >= SOUND) & (label < HOLE), inside & (label >= SURFACE) & (label < HOLE))
    )
    said = judged.rusted[steel & judged.counts].mean()
    return 100 * float(said - rusty[steel].mean())


def rows(car: str, work: Path) -> Iterator[Row]:
    """Measure every picture of a car by its upright copy. `work`: a folder for the copies."""
    outlines = called_out(car)
    for number, shot in enumerate(CARS[car][1]):
        copy = work / f"{car}{number}.jpg"
        shrunk(PHOTOS[car] / shot.file, 1600).save(copy, quality=90)
        label, main = truth.mask(car, shot.file)
        asked = {"picture": None, "box": box(label, main), "call-out": outlines.get(shot.file)}
        for area in AREAS:
            if area == "picture" or asked[area]:
                yield _row(car, shot.file, area, copy, label, asked[area])


def summary(some: list[Row]) -> str:
    """How many, median and worst error, how often the range held; median and worst error on labelled steel alone."""
    worst, steel = max(some, key=lambda row: abs(row.error)), max(some, key=lambda row: abs(row.steel))
    return (
        f"{len(some)} | {median(abs(row.error) for row in some):.1f} | {worst.error:+.0f} ({worst.file}) | "
        f"{sum(row.inside for row in some)} | {median(abs(row.steel) for row in some):.1f} | "
        f"{steel.steel:+.0f} ({steel.file})"
    )


def main() -> None:
    with TemporaryDirectory() as folder:
        every = [row for car in CARS for row in rows(car, Path(folder))]
    for row in every:
        said = f"{row.said.likely:5.1f} ({row.said.low:.0f} to {row.said.high:.0f})"
        print(f"{row.car:7}{row.file:42}{row.area:9}{said:18} is {row.rusted:5.1f}, holes {row.holes:4.1f}, ", end="")
        print(f"error {row.error:+6.1f}, on steel {row.steel:+6.1f}")
    print("\n| asked of | answers | median error | worst | range held | on steel: median | worst |")
    print("|---|---|---|---|---|---|---|")
    for area in AREAS:
        print(f"| {area} | {summary([row for row in every if row.area == area])} |")


if __name__ == "__main__":
    main()

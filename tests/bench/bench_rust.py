"""How well the rust share is told, by three methods, on labelled pictures that each method never saw. Run by hand.

    python tests/bench/bench_rust.py [PICTURE ...]     the evaluation; pictures named here hold no rust
    python tests/bench/bench_rust.py --weights         weights and range for data/rust.yaml

The labelled pictures are no part of the project. They lie in the folder that the environment variable
SOUNDMETAL_SHARED names, or in `shared` beside the checkout: `rust/segmentation` (pictures with masks),
`rust/negatives` (traps without rust), `render` (drawn pictures with exact masks, never learnt from) and `photos`
(everyday photographs without rust). Each picture is judged by what was learnt from all others, pictures of one scene
left out together; `picture` counts all of it, `outline` a box round the labelled rust and a fifth of its size more.
"""

from __future__ import annotations

import math
import os
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))

from rust_learning import Case, Colours, Logistic, Method, Rule

from soundmetal.errors import PhotoError
from soundmetal.photos.rust import segment
from soundmetal.photos.rust.settings import settings
from soundmetal.photos.rust.share import rust_share
from soundmetal.photos.shrink import shrunk

SHARED = Path(os.environ.get("SOUNDMETAL_SHARED") or Path(__file__).resolve().parents[3] / "shared")
#: Two pictures of one plate.
SAME_SCENE = {"nat_train_000350": "plate", "nat_train_000352": "plate"}
EVERYDAY = ("camera", "phone", "keywords", "heic", "formats")
LEAST_PX = 300
METHODS: tuple[type[Any], ...] = (Rule, Colours, Logistic)
RUST, TRAP, DRAWN, EVERY = "rust", "trap", "drawn", "everyday"
HOLDS = 0.8
GOAL_FALSE, GOAL_MS, ROUNDS = 5.0, 150.0, 15


def case(picture: Path, kind: str, mask: Path | None = None) -> Case:
    """Read a picture and its mask at working size."""
    pixels = segment.working(shrunk(picture, 1600))
    truth = np.zeros(pixels.shape[:2], dtype=bool)
    if mask:
        drawn = np.asarray(Image.open(mask).convert("RGB")).max(axis=2) > 127
        small = Image.fromarray(drawn).convert("L").resize((pixels.shape[1], pixels.shape[0]), Image.Resampling.BOX)
        truth = np.asarray(small) > 127
    name = picture.stem.split("_jpg_")[0]
    return Case(name, SAME_SCENE.get(name, f"{kind} {picture.name}"), kind, pixels, truth)


def cases(more: list[Path]) -> list[Case]:
    """Read everything there is."""
    found = [case(path, RUST, _mask(path)) for path in sorted((SHARED / "rust/segmentation").glob("*.jpg"))]
    found += [case(path, TRAP) for path in [*sorted((SHARED / "rust/negatives").iterdir()), *more]]
    found += [case(path, DRAWN, _mask(path)) for path in sorted((SHARED / "render").glob("*.jpg"))]
    for path in sorted(path for folder in EVERYDAY for path in (SHARED / "photos" / folder).glob("*")):
        try:
            read = case(path, EVERY)
        except PhotoError:
            continue  # hostile files lie there as well
        if min(Image.open(path).size) >= LEAST_PX:
            found.append(read)
    return found


def _mask(path: Path) -> Path:
    return path.with_name(f"{path.stem}_mask.png")


@dataclass(frozen=True)
class Result:
    """Shares in per cent, said and true, and overlap over union, of one picture or outline."""

    case: Case
    said: float
    true: float
    overlap: float

    @property
    def error(self) -> float:
        """Points of per cent, never negative."""
        return abs(self.said - self.true)


def compare(tried: Case, rusted: Any, area: Any) -> Result:
    """Compare what a method says with the label inside an area."""
    inside = area & tried.counts
    both, either = rusted & tried.truth & inside, (rusted | tried.truth) & inside
    share = [100 * float((points & inside).sum()) / float(inside.sum()) for points in (rusted, tried.truth)]
    return Result(tried, share[0], share[1], float(both.sum()) / max(1.0, float(either.sum())))


def left_out(kind: type[Any], every: list[Case]) -> tuple[list[Result], list[Result]]:
    """Judge each case by what was learnt without it (and its scene); give results for pictures and for outlines."""
    pictures, outlines = [], []
    for group in dict.fromkeys(one.group for one in every):
        method: Method = kind()
        method.learn([one for one in every if one.group != group and one.kind != DRAWN])
        for one in (one for one in every if one.group == group):
            rusted = method.rusted(one)
            pictures.append(compare(one, rusted, np.ones_like(one.truth)))
            outlines.append(compare(one, rusted, one.outlined))
    return pictures, outlines


def rank_correlation(first: list[float], second: list[float]) -> float:
    """Give Spearman's rank correlation (no equal values expected)."""
    ranks = [np.argsort(np.argsort(values)) for values in (first, second)]
    return float(np.corrcoef(*ranks)[0, 1])


def angle(percent: float) -> float:
    """Give the angle whose squared sine is a share, on which errors are about alike everywhere."""
    return math.asin(math.sqrt(percent / 100))


def misses(results: list[Result]) -> list[float]:
    """Give the errors as angles, of pictures with rust."""
    return [abs(angle(one.said) - angle(one.true)) for one in results if one.case.kind == RUST]


def half_width(errors: list[float], holds: float = HOLDS) -> float:
    """Give the error that a new case stays within with the chance `holds` (split-conformal rank, from memory)."""
    return sorted(errors)[min(len(errors), math.ceil(holds * (len(errors) + 1))) - 1]


def summary(title: str, results: list[Result]) -> str:
    """Say in one line how good a method is on pictures with rust."""
    real = [one for one in results if one.case.kind == RUST]
    drawn = [one for one in results if one.case.kind == DRAWN]
    said, true = [one.said for one in real], [one.true for one in real]
    failures = sum(one.overlap < 0.2 for one in real)
    return (
        f"{title:28} {np.mean([one.error for one in real]):6.2f} {np.mean([one.overlap for one in real]):6.2f} "
        f"{rank_correlation(said, true):6.2f} {failures:8d} {np.mean([one.error for one in drawn]):7.2f} "
        f"{np.mean([one.overlap for one in drawn]):6.2f}"
    )


def false_rates(title: str, results: list[Result]) -> str:
    """Say in one line how much of pictures without rust reads as rust."""
    traps = [one for one in results if one.case.kind == TRAP]
    every = [one.said for one in results if one.case.kind == EVERY]
    over = sum(said > GOAL_FALSE for said in every)
    listed = "  ".join(f"{one.case.name} {one.said:.1f}" for one in traps)
    return f"{title:28} {listed}  everyday mean {np.mean(every):.1f}, {over} of {len(every)} over {GOAL_FALSE:.0f}"


def coverage(results: list[Result]) -> str:
    """Say how often the range holds the truth, its width taken each time from the other scenes only."""
    groups = dict.fromkeys(one.case.group for one in results if one.case.kind == RUST)
    held = tried = 0
    for group in groups:
        half = half_width(misses([one for one in results if one.case.group != group]))
        own = misses([one for one in results if one.case.group == group])
        held, tried = held + sum(error <= half for error in own), tried + len(own)
    drawn = [abs(angle(one.said) - angle(one.true)) for one in results if one.case.kind == DRAWN]
    half = half_width(misses(results))
    return (
        f"half-width {half:.3f} rad at {HOLDS:.0%}; held, width from other scenes: {held} of {tried}; "
        f"drawn pictures, never learnt from: {sum(error <= half for error in drawn)} of {len(drawn)}"
    )


def speed(folder: Path) -> str:
    """Measure the whole call on a 1600 px copy."""
    picture = sorted(folder.glob("*.jpg"))[0]
    taken = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        rust_share(picture)
        taken.append(1000 * (time.perf_counter() - start))
    return f"{min(taken):.0f} ms at best, {sorted(taken)[ROUNDS // 2]:.0f} ms in the middle (goal {GOAL_MS:.0f})"


def evaluate(every: list[Case]) -> None:
    """Print the whole evaluation."""
    print({kind: sum(one.kind == kind for one in every) for kind in (RUST, TRAP, DRAWN, EVERY)})
    found = {kind.title: left_out(kind, every) for kind in METHODS}
    for place, where in enumerate(("picture", "outline")):
        print(f"\n{where:28}  error    IoU   rank  IoU<0.2 drawn:error IoU")
        for title, both in found.items():
            print(summary(title, both[place]))
    print(f"\nper cent read as rust where there is none (goal {GOAL_FALSE:.0f})")
    for title, both in found.items():
        print(false_rates(title, both[0]))
    pictures, outlines = found[Logistic.title]
    print(f"\n{Logistic.title}, each left out: share said / true, IoU; picture, then outline")
    for one, other in zip(pictures, outlines, strict=True):
        if one.case.truth.any():
            print(f"  {one.case.name:24} {one.said:5.1f} / {one.true:5.1f} {one.overlap:5.2f}", end="")
            print(f"   {other.said:5.1f} / {other.true:5.1f} {other.overlap:5.2f}")
    print(f"\nrange: {coverage(pictures + outlines)}")
    print(f"settings in use: {settings().range.half_width_rad} rad")
    print(f"speed: {speed(SHARED / 'render')}")


def weights(every: list[Case]) -> None:
    """Print what was learnt from all pictures but the drawn ones, as it stands in the settings."""
    method = Logistic()
    method.learn([one for one in every if one.kind != DRAWN])
    rest = [float(value) for value in method.beta]
    print(f"  constant: {rest[0]:.4f}\n  single: {[round(value, 4) for value in rest[1:10]]}\n  pairs:")
    at = 10
    for length in range(9, 0, -1):
        print(f"    - {[round(value, 4) for value in rest[at : at + length]]}")
        at += length
    print(f"  rust_above: {method.limit:.1f}")


def main(words: list[str]) -> int:
    """Run what is asked for; say so where the labelled pictures are not here."""
    if not (SHARED / "rust" / "segmentation").is_dir():
        print(
            f'no labelled pictures in "{SHARED.name}": nothing was measured. Name their folder in SOUNDMETAL_SHARED.'
        )
        return 0
    every = cases([Path(word) for word in words if word != "--weights"])
    (weights if "--weights" in words else evaluate)(every)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

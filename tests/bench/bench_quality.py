"""How often photographs are judged rightly, and how fast. Run by hand: `python tests/bench/bench_quality.py`.

Every real photograph that is here is spoilt by known amounts (see degrade.py). Printed for each signal: recall (of
the spoilt ones, how many were found) and precision (of those found, how many were spoilt), at the limit of the
settings and at others; the usual measure of blur beside ours; near-doubles found and falsely found; the time of it
all. With `--all` every miss and every false alarm by name. What is said in docs/photographs.md was printed by this.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))

import degrade
from degrade import Case, Score, jpeg, score, told

from soundmetal.photos.doubles import distance, fingerprint
from soundmetal.photos.pixels import grey
from soundmetal.photos.quality import Kind, Quality, assess
from soundmetal.photos.settings import settings

Judged = list[tuple[Case, Quality]]
RULES = settings().quality
#: Of each signal: its figure, its limit, whether a larger figure is the worse one.
SIGNALS: dict[Kind, tuple[Callable[[Quality], float | None], float, bool]] = {
    Kind.BLUR: (lambda quality: quality.sharpness, RULES.min_sharpness, False),
    Kind.DARK: (lambda quality: quality.bright, RULES.min_light, False),
    Kind.WASHED_OUT: (lambda quality: quality.clipped, RULES.max_clipped, True),
    Kind.BACKGROUND: (lambda quality: quality.structure, RULES.min_structure, False),
}
GRAIN = (0, 5, 10, 20)
BITS = (8, 10, 12, 14, 16)


def main() -> None:
    index, beside = degrade.read(degrade.index_pictures()), degrade.read(degrade.pictures_beside())
    print(f"{len(index)} photographs of the package index, {len(beside)} beside the checkout, seed {degrade.SEED}\n")
    results = {"index": degrade.judged(index), "beside": degrade.judged(beside)}
    results["all"] = results["index"] + results["beside"]
    for kind in SIGNALS:
        print_signal(kind, results)
    print_usual_measure(index | beside)
    print_grain(index | beside)
    print_doubles(index | beside)
    print_speed(index | beside)


def print_signal(kind: Kind, results: dict[str, Judged]) -> None:
    figure, limit, larger_is_worse = SIGNALS[kind]
    print(f"{kind.value}: limit {limit:g}")
    for name, judged_ones in results.items():
        print(f"  {name:8}{line(score(kind, ((case, told(kind, quality)) for case, quality in judged_ones)))}")
    for factor in (0.7, 0.8, 0.9, 0.95, 1.05, 1.1, 1.2, 1.4):
        at = limit * factor
        counted = ((case, passed(figure(quality), at, larger_is_worse)) for case, quality in results["all"])
        print(f"    at {at:<8.3g}{line(score(kind, counted))}")
    whole = score(kind, ((case, told(kind, quality)) for case, quality in results["all"]))
    for title, listed in (("missed", whole.missed), ("false", whole.false)):
        shown = listed if "--all" in sys.argv else counted_by_done(listed)
        print(f"  {title}: {'; '.join(shown) or 'none'}")
    print()


def counted_by_done(listed: Sequence[str]) -> list[str]:
    return [f"{count} of {done}" for done, count in Counter(one.split(":")[0] for one in listed).items()]


def passed(value: float | None, limit: float, larger_is_worse: bool) -> bool:
    return value is not None and (value > limit if larger_is_worse else value < limit)


def line(counts: Score) -> str:
    return (
        f"recall {counts.recall:.3f} ({counts.hits} of {counts.bad})   precision {counts.precision:.3f} "
        f"({len(counts.false)} false of {counts.good} good)"
    )


def print_usual_measure(pictures: dict[str, Image.Image]) -> None:
    """The variance of the Laplacian on the same grey copy, at the limit that suits these very photographs best."""
    asked = [
        case for name, picture in pictures.items() for case in degrade.cases(name, picture) if Kind.BLUR in case.known
    ]
    figures = [laplacian_variance(grey(case.copy).levels) for case in asked]
    counted = [
        score(Kind.BLUR, ((case, value < limit) for case, value in zip(asked, figures, strict=True)))
        for limit in sorted(figures)[1:]
    ]
    best = max(counted, key=lambda counts: 2 * counts.hits / (counts.hits + len(counts.false) + counts.bad))
    print(f"for comparison, variance of the Laplacian at its best limit:\n  all     {line(best)}\n")


def laplacian_variance(levels: np.ndarray) -> float:
    numbers = levels.astype(np.float32)
    middle = 4 * numbers[1:-1, 1:-1]
    around = numbers[:-2, 1:-1] + numbers[2:, 1:-1] + numbers[1:-1, :-2] + numbers[1:-1, 2:]
    return float((middle - around).var())


def print_grain(pictures: dict[str, Image.Image]) -> None:
    """How many are called blurred when the camera adds grain, which looks like sharpness."""
    rng = np.random.default_rng(degrade.SEED)
    print(f"called blurred, of {len(pictures)}, with grain of so many grey levels on the copy")
    print(f"    {'':10}" + "".join(f"{level:>7}" for level in GRAIN))
    for sigma in (0.0, 1.0, 2.0):
        lumas = [degrade.blurred(picture.convert("L"), sigma) for picture in pictures.values()]
        counts = [
            sum(told(Kind.BLUR, assess(jpeg(degrade.grained(luma, level, rng)))) for luma in lumas) for level in GRAIN
        ]
        print(f"    blur {sigma:<5g}" + "".join(f"{count:7}" for count in counts))
    print()


def print_doubles(pictures: dict[str, Image.Image]) -> None:
    rng = np.random.default_rng(degrade.SEED)
    again: dict[str, list[int]] = {}
    firsts: list[int] = []
    for picture in pictures.values():
        firsts.append(fingerprint(grey(jpeg(picture)).levels))
        for done, small in degrade.alike(picture, rng):
            again.setdefault(done, []).append(distance(firsts[-1], fingerprint(small.levels)))
    apart = sorted(distance(one, other) for at, one in enumerate(firsts) for other in firsts[at + 1 :])
    print(f"near-doubles: limit {RULES.doubles.max_bits} of 64 bits")
    print(f"    nearest of {len(apart)} pairs of different scenes: {apart[:5]}")
    print(f"    {'bits allowed':26}" + "".join(f"{bits:>7}" for bits in BITS))
    for done, bits in again.items():
        print(f"    {done:26}" + "".join(f"{np.mean(np.array(bits) <= limit):7.2f}" for limit in BITS))
    print(
        f"    {'pairs falsely alike':26}"
        + "".join(f"{sum(bit <= limit for bit in apart):7}" for limit in BITS)
        + "\n"
    )


def print_speed(pictures: dict[str, Image.Image]) -> None:
    copies = [jpeg(one) for one in pictures.values() if max(one.size) == degrade.COPY_PX]
    small = [grey(one) for one in copies]
    print(f"time for one photograph, the best of 9 tries each, mean of {len(copies)} copies of 1600 px:")
    print(f"    {'grey copy from the JPEG copy':32}{mean_ms(grey, copies):6.2f} ms")
    print(f"    {'quality of a grey copy':32}{mean_ms(assess, small):6.2f} ms")
    print(f"    {'fingerprint of a grey copy':32}{mean_ms(lambda one: fingerprint(one.levels), small):6.2f} ms")


def mean_ms(work: Callable[[Any], object], photographs: Sequence[Any]) -> float:
    return 1000 * sum(best_time(work, one) for one in photographs) / len(photographs)


def best_time(work: Callable[[Any], object], photograph: Any) -> float:
    times = []
    for _try in range(9):
        start = time.perf_counter()
        work(photograph)
        times.append(time.perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    main()

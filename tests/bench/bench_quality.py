"""How often photographs are judged rightly, and how fast. Run by hand: `python tests/bench/bench_quality.py`.

Every real photograph that is here is spoilt by known amounts (see degrade.py). The limits of the settings are those
that one half of the photographs chooses (see halves.py); printed for each signal are recall (of the spoilt ones, how
many were found) and precision (of those found, how many were spoilt) on the other half, which had no part in it, and
in five folds; the usual measure of blur beside ours; pinholes of known size; near-doubles found and falsely found;
the time of it all. With `--all` every miss and every false alarm by name. docs/photographs.md says what this printed.
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
import halves
import pinholes
from degrade import Case, Score, jpeg, told
from halves import SIGNALS, at_limit, line, of

from soundmetal.photos.doubles import distance, fingerprint
from soundmetal.photos.pixels import grey
from soundmetal.photos.quality import Kind, assess
from soundmetal.photos.settings import settings
from soundmetal.photos.uncovered import apart, looks, looks_in_all_turns

RULES = settings().quality
GRAIN = (0, 5, 10, 20)
BITS = (8, 10, 12, 14, 16)


def main() -> None:
    index, beside = degrade.read(degrade.index_pictures()), degrade.read(degrade.pictures_beside())
    pictures = index | beside
    print(f"{len(index)} photographs of the package index, {len(beside)} beside the checkout, seed {degrade.SEED}")
    choosing, reporting = halves.halves(pictures)
    print(f"{len(choosing)} choose the limits, {len(reporting)} had no part in it\n")
    judged = degrade.judged(pictures)
    for kind in SIGNALS:
        print_signal(kind, judged, choosing, reporting)
    print_usual_measure(pictures, choosing, reporting)
    print_pinholes(pictures, choosing, reporting)
    print_grain(pictures)
    print_doubles(pictures)
    print_covered(pictures)
    print_speed(pictures)


def print_signal(kind: Kind, judged: halves.Judged, choosing: frozenset[str], reporting: frozenset[str]) -> None:
    signal = SIGNALS[kind]
    limit = signal.limit(RULES)
    chosen = halves.rounded(halves.best_limit(kind, of(judged, choosing), signal))
    print(f"{kind.value}: limit {limit:g}; the choosing half chooses {chosen:g}")
    print(f"  that half      {line(at_limit(kind, of(judged, choosing), signal, limit))}")
    reported = at_limit(kind, of(judged, reporting), signal, limit)
    print(f"  the other half {line(reported)}")
    ours = frozenset(name for name in reporting if name in degrade.INDEX)
    print(f"    index only   {line(at_limit(kind, of(judged, ours), signal, limit))}")
    crossed, limits = halves.crossed(kind, judged, signal)
    print(f"  five folds     {line(crossed)}; limits {min(limits):.3g} to {max(limits):.3g}")
    for factor in (0.7, 0.8, 0.9, 1.1, 1.2, 1.4):
        print(f"    at {limit * factor:<8.3g}{line(at_limit(kind, of(judged, reporting), signal, limit * factor))}")
    for title, listed in (("missed", reported.missed), ("false", reported.false)):
        shown = listed if "--all" in sys.argv else counted_by_done(listed)
        print(f"  {title}: {'; '.join(shown) or 'none'}")
    print()


def counted_by_done(listed: Sequence[str]) -> list[str]:
    return [f"{count} of {done}" for done, count in Counter(one.split(":")[0] for one in listed).items()]


def print_usual_measure(
    pictures: dict[str, Image.Image], choosing: frozenset[str], reporting: frozenset[str]
) -> None:
    """The variance of the Laplacian on the same grey copy, at the limit that the choosing half chooses by F alone."""
    asked = [
        (case, laplacian_variance(grey(case.copy).levels))
        for name, picture in pictures.items()
        for case in degrade.cases(name, picture)
        if Kind.BLUR in case.known
    ]
    by_half = [[(case, value) for case, value in asked if case.picture in half] for half in (choosing, reporting)]
    limits = sorted(value for _case, value in by_half[0])[1:]
    best = max(limits, key=lambda limit: halves.f1(laplacian_score(by_half[0], limit)))
    print(f"for comparison, variance of the Laplacian:\n  the other half {line(laplacian_score(by_half[1], best))}\n")


def laplacian_score(asked: Sequence[tuple[Case, float]], limit: float) -> Score:
    return degrade.score(Kind.BLUR, ((case, value < limit) for case, value in asked))


def laplacian_variance(levels: np.ndarray) -> float:
    numbers = levels.astype(np.float32)
    middle = 4 * numbers[1:-1, 1:-1]
    around = numbers[:-2, 1:-1] + numbers[2:, 1:-1] + numbers[1:-1, :-2] + numbers[1:-1, 2:]
    return float((middle - around).var())


def print_pinholes(pictures: dict[str, Image.Image], choosing: frozenset[str], reporting: frozenset[str]) -> None:
    """Whether "too small" is right of holes of known size; geometry has set its limit, so no half chooses it."""
    drawn = [hole for name, picture in pictures.items() for hole in pinholes.holes(name, picture)]
    print(f"too small: limit {RULES.pinhole_px:g} pixels across a pinhole; {len(drawn)} holes")
    for half, title in ((choosing, "the choosing half"), (reporting, "the other half")):
        here = [hole for hole in drawn if hole.picture in half]
        for kept in (pinholes.NEARLY_ALL, pinholes.HALF):
            print(f"  {title:18}shows with {kept:.0%} of its darkness: {line(pinholes.counted(here, kept))}")
            for limit in (1.75, 2.25, 2.75, 3.25, 3.75):
                print(f"    at {limit:<8.3g}{line(pinholes.counted(here, kept, limit))}")
    for across in pinholes.ACROSS_PX:
        kept_here = [hole.kept for hole in drawn if hole.across_px == across]
        print(f"    {across:g} px across: {np.median(kept_here):.2f} of the darkness left (median)")
    print()


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


def print_covered(pictures: dict[str, Image.Image]) -> None:
    """How surely a double of a covered photograph is held back, and how often another scene is."""
    rng = np.random.default_rng(degrade.SEED)
    again: dict[str, list[int]] = {}
    covered = {name: looks_in_all_turns(grey(jpeg(picture)).levels) for name, picture in pictures.items()}
    plain = {name: looks(grey(jpeg(picture)).levels) for name, picture in pictures.items()}
    for name, picture in pictures.items():
        for done, small in (*degrade.alike(picture, rng), *degrade.framed(picture)):
            again.setdefault(done, []).append(apart(covered[name], looks(small.levels)))
    names = sorted(pictures)
    others = [apart(covered[a], plain[b]) for at, a in enumerate(names) for b in names[at + 1 :]]
    print(f"doubles of a covered photograph: limit {RULES.doubles.covered_bits} of 64 bits")
    print(f"    {'bits allowed':32}" + "".join(f"{bits:>7}" for bits in BITS))
    for done, bits in again.items():
        print(f"    {done:32}" + "".join(f"{np.mean(np.array(bits) <= limit):7.2f}" for limit in BITS))
    told_apart = "".join(f"{sum(bit <= limit for bit in others):7}" for limit in BITS)
    print(f"    {f'falsely alike, of {len(others)} pairs':32}{told_apart}\n")


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

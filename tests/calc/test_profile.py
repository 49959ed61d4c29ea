"""A profile laid flat and folded back by plain geometry has the outside sizes that were asked for."""

from __future__ import annotations

import cmath
import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.bend import AnsiK, bend_allowance_mm
from soundmetal.calc.profile import FlatStrip, Fold, fold_up, lay_flat


def outside_legs(strip: FlatStrip, thickness: float, k: float) -> list[float]:
    """Fold a strip of real thickness and measure its legs between the apexes of the outer faces.

    Knows nothing of setbacks: the neutral line is walked, faces are drawn beside it, and the outer faces of
    neighbouring legs are made to meet.
    """
    way, here, along = 1 + 0j, 0j, 0.0
    legs = []
    for line in strip.folds:
        start, here = here, here + way * (line.start_mm - along)
        legs.append((start, here, way))
        angle = math.radians(line.fold.bent_deg)
        radius = (line.end_mm - line.start_mm) / angle
        inward = way * (1j if line.fold.up else -1j)
        centre = here + inward * radius
        turn = cmath.exp(1j * angle * (1 if line.fold.up else -1))
        here, way, along = centre - inward * turn * radius, way * turn, line.end_mm
    legs.append((here, here + way * (strip.length_mm - along), way))
    apexes = []
    for (_, end, first), (begin, _, second), line in zip(legs, legs[1:], strip.folds, strict=False):
        # From the neutral line to the outer face: the rest of the thickness.
        out = (-1j if line.fold.up else 1j) * (1 - k) * thickness
        a, b = end + first * out, begin + second * out
        cross = (first.conjugate() * second).imag
        apexes.append(a + first * (((b - a).conjugate() * second).imag / cross))
    ends = [legs[0][0], *apexes, legs[-1][1]]
    return [((b - a) * way.conjugate()).real for a, b, (*_, way) in zip(ends, ends[1:], legs, strict=False)]


BENDS = st.lists(st.tuples(st.floats(5, 150), st.floats(0.3, 4), st.booleans()), min_size=1, max_size=8)


@given(BENDS, st.floats(0.5, 3), st.floats(0.3, 0.5), st.lists(st.floats(0, 200), min_size=9, max_size=9))
def test_a_blank_folded_back_has_the_wanted_outside_legs(
    bends: list[tuple[float, float, bool]], thickness: float, k: float, extra: list[float]
) -> None:
    folds = [Fold(a, r, bend_allowance_mm(a, r, thickness, AnsiK(k)), up) for a, r, up in bends]
    need = [0.0, *(math.tan(math.radians(f.bent_deg) / 2) * (f.radius_mm + thickness) for f in folds), 0.0]
    legs = [need[n] + need[n + 1] + 0.1 + extra[n] for n in range(len(folds) + 1)]
    strip = lay_flat(legs, folds, thickness)
    assert outside_legs(strip, thickness, k) == pytest.approx(legs, abs=0.05)


@given(BENDS)
def test_the_drawn_line_keeps_its_length_and_turns_by_the_bends(bends: list[tuple[float, float, bool]]) -> None:
    folds = [Fold(a, r, bend_allowance_mm(a, r, 1, AnsiK(0.45)), up) for a, r, up in bends]
    strip = lay_flat([100.0] * (len(folds) + 1), folds, 1)
    points = [complex(x, y) for x, y in fold_up(strip, chords=40)]
    walked = sum(abs(b - a) for a, b in itertools.pairwise(points))
    assert walked == pytest.approx(strip.length_mm, rel=1e-3)
    turned = math.radians(sum(a if up else -a for a, _, up in bends))
    assert cmath.phase((points[-1] - points[-2]) * cmath.exp(-1j * turned)) == pytest.approx(0, abs=1e-6)


def test_bend_lines_lie_in_the_middle_of_what_the_bend_takes() -> None:
    """BND-19's angle: legs 2 and 1 in, deduction 0.0823 in; by symmetry the line is half of it short of each leg."""
    t = 0.0478 * 25.4
    strip = lay_flat([50.8, 25.4], [Fold(90, t, bend_allowance_mm(90, t, t, AnsiK(0.45)))], t)
    assert strip.length_mm / 25.4 == pytest.approx(2.9177, abs=0.0005)
    assert strip.folds[0].at_mm / 25.4 == pytest.approx(2 - 0.0823 / 2, abs=0.0005)


@pytest.mark.parametrize(
    ("legs", "deg", "words"),
    [
        ([50, 50], 180, "under 180"),
        ([50, 50], 200, "under 180"),
        ([50, 50], 0, "over 0"),
        ([50, 3], 90, "leg 2 of 3 mm is shorter"),
        ([50], 90, "one leg more"),
        ([50, -1], 90, "leg 2"),
    ],
)
def test_what_cannot_be_bent_is_refused(legs: list[float], deg: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        lay_flat(legs, [Fold(deg, 3, 5)], 1)

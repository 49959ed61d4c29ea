from __future__ import annotations

from itertools import pairwise

import pytest

from soundmetal.grade.waiting import waiting
from soundmetal.record.terms import Corrosivity

# ISO 9224 with B1 on the upper limit of each ISO 9223 category (second-hand; computed, rounded as printed there), um.
PRINTED = {
    "C1": (1.3, 1.9, 3.0, 4.3),
    "C2": (25, 36, 58, 83),
    "C3": (50, 72, 116, 167),
    "C4": (80, 115, 186, 267),
    "C5": (200, 287, 464, 667),
    "CX": (700, 1006, 1624, 2334),
}


@pytest.mark.parametrize("category", PRINTED)
def test_guiding_maxima(category):
    points = waiting(Corrosivity(category))
    assert [point.years for point in points] == [1, 2, 5, 10]
    within = 0.05 if category == "C1" else 0.5
    for point, printed in zip(points, PRINTED[category], strict=True):
        assert point.high_um == pytest.approx(printed, abs=within)


@pytest.mark.parametrize("category", list(Corrosivity))
def test_waiting_longer_or_somewhere_worse_never_costs_less(category):
    points = waiting(category, range(31))
    assert points[0].high_um == 0
    for sooner, later in pairwise(points):
        assert sooner.low_um <= later.low_um
        assert sooner.high_um < later.high_um
        assert later.low_um < later.high_um


def test_no_time_before_now():
    with pytest.raises(ValueError, match="years"):
        waiting(Corrosivity.C3, [-1])

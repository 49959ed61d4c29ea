"""Factors learned from hours spent: shrinkage of credibility theory and of the normal model (from memory)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.learning import log_shrunk_factor, log_weight, shrunk_factor

RATIOS = st.lists(st.floats(0.2, 5.0), min_size=1, max_size=30)


def test_est_13_six_jobs_that_ran_28_per_cent_over() -> None:
    # EST-13 (credibility Z = n / (n + k), computed): n 6, mean ratio 1.28, prior weight 4 -> 1.1680, 0.0005.
    assert shrunk_factor([1.18, 1.38, 1.28, 1.08, 1.48, 1.28], 4) == pytest.approx(1.1680, abs=0.0005)


def test_est_14_mean_log_ratio() -> None:
    # EST-14 (normal-normal posterior mean, computed): mean log 0.25, n 6, sd 0.35 within, 0.20 before
    # -> weight 0.6621, factor 1.1800, 0.0005.
    logs = [0.15, 0.35, 0.25, 0.05, 0.45, 0.25]
    assert log_weight(6, 0.35, 0.20) == pytest.approx(0.6621, abs=0.0005)
    assert log_shrunk_factor([math.exp(x) for x in logs], 0.35, 0.20) == pytest.approx(1.1800, abs=0.0005)


@given(RATIOS)
def test_the_factor_lies_between_the_book_and_what_was_seen(ratios: list[float]) -> None:
    mean = sum(ratios) / len(ratios)
    geometric = math.exp(sum(math.log(r) for r in ratios) / len(ratios))
    assert min(1, mean) - 1e-9 <= shrunk_factor(ratios) <= max(1, mean) + 1e-9
    assert min(1, geometric) - 1e-9 <= log_shrunk_factor(ratios) <= max(1, geometric) + 1e-9


@given(st.floats(0.2, 5.0), st.integers(1, 50))
def test_more_jobs_alike_come_nearer(ratio: float, count: int) -> None:
    for learned in (shrunk_factor, log_shrunk_factor):
        few, more = learned([ratio] * count), learned([ratio] * (count + 1))
        assert abs(more - ratio) <= abs(few - ratio) + 1e-9


def test_nothing_seen_nothing_learned() -> None:
    assert shrunk_factor([]) == log_shrunk_factor([]) == 1.0
    assert log_weight(0) == 0.0


@pytest.mark.parametrize("ratio", [0.0, -1.0, math.nan, math.inf])
def test_a_ratio_that_cannot_be_is_refused(ratio: float) -> None:
    for learned in (shrunk_factor, log_shrunk_factor):
        with pytest.raises(ValueError, match="more than 0"):
            learned([ratio])

"""The network: trouble is named, laws hold on made-up jobs. Published examples: test_cpm_examples.py."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.network import in_order, length, schedule


@st.composite
def jobs(draw: st.DrawFn) -> tuple[dict[str, float], dict[str, list[str]]]:
    names = [f"job {n}" for n in range(draw(st.integers(1, 9)))]
    durations = {name: float(draw(st.integers(0, 20))) for name in names}
    after = {
        name: draw(st.lists(st.sampled_from(names[:place]), unique=True)) for place, name in enumerate(names) if place
    }
    return durations, after


def longest_to(name: str, durations: dict[str, float], after: dict[str, list[str]]) -> float:
    """Walk every path back: slow, and another way to the same earliest finish."""
    return durations[name] + max((longest_to(one, durations, after) for one in after.get(name, [])), default=0.0)


@given(jobs())
def test_earliest_finish_is_the_longest_path(job: tuple[dict[str, float], dict[str, list[str]]]) -> None:
    durations, after = job
    plan = schedule(durations, after)
    for name, one in plan.items():
        assert one.earliest_finish == longest_to(name, durations, after)
    assert length(plan) == max(longest_to(name, durations, after) for name in durations)


@given(jobs())
def test_floats(job: tuple[dict[str, float], dict[str, list[str]]]) -> None:
    durations, after = job
    plan = schedule(durations, after)
    assert any(one.critical for one in plan.values())
    for one in plan.values():
        assert 0 <= one.free_float <= one.total_float
        assert one.latest_finish - one.latest_start == one.duration
        assert one.latest_finish <= length(plan)


@given(jobs())
def test_slipping_within_the_total_float_moves_no_end(job: tuple[dict[str, float], dict[str, list[str]]]) -> None:
    durations, after = job
    plan = schedule(durations, after)
    for name, one in plan.items():
        slower = {**durations, name: durations[name] + one.total_float}
        assert length(schedule(slower, after)) == length(plan)
        assert length(schedule({**slower, name: slower[name] + 1}, after)) == length(plan) + 1


def test_order_of_a_set_does_not_leak() -> None:
    durations = dict.fromkeys("zyxwvu", 1.0)
    expected = in_order(durations, {"z": ["u", "v", "w"]})
    assert expected == in_order(durations, {"z": {"w", "v", "u"}}) == ["y", "x", "w", "v", "u", "z"]


def test_nothing_to_do() -> None:
    assert schedule({}, {}) == {}
    assert length({}) == 0


def test_a_circle_is_named() -> None:
    with pytest.raises(ValueError, match="circle: b -> c -> d -> b"):
        schedule({"a": 1, "b": 1, "c": 1, "d": 1}, {"b": ["a", "d"], "c": ["b"], "d": ["c"]})


def test_an_activity_that_waits_for_itself() -> None:
    with pytest.raises(ValueError, match="circle: a -> a"):
        schedule({"a": 1}, {"a": ["a"]})


@pytest.mark.parametrize("after", [{"b": ["a"]}, {"a": ["b"]}])
def test_a_name_without_a_duration(after: dict[str, list[str]]) -> None:
    with pytest.raises(ValueError, match='"b" has no duration'):
        schedule({"a": 1}, after)


@pytest.mark.parametrize("duration", [-1.0, float("nan"), float("inf")])
def test_a_duration_that_cannot_be(duration: float) -> None:
    with pytest.raises(ValueError, match='duration of "a"'):
        schedule({"a": duration}, {})

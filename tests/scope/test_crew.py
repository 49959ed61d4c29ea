"""Slack in a crew's schedule, against moving a task by hand and letting the others follow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.network import schedule
from soundmetal.scope.crew import Turns, slack, starts, turns
from soundmetal.scope.network import Node

#: Hours in quarters and a slip of an eighth: sums stay exact.
STEP = 0.125
After = Mapping[str, Sequence[str]]


@st.composite
def jobs(draw: st.DrawFn) -> tuple[list[Node], dict[str, tuple[str, ...]], int]:
    """A network of up to twelve tasks, some away, some without hours, and a crew of one to three."""
    wanted = draw(st.lists(st.tuples(st.integers(0, 12), st.booleans()), min_size=1, max_size=12))
    nodes = [Node("cut", f"p{n}", quarters / 4, away=away) for n, (quarters, away) in enumerate(wanted)]
    names = [node.id for node in nodes]
    after = {
        name: tuple(draw(st.lists(st.sampled_from(names[:n]), unique=True, max_size=3)) if n else ())
        for n, name in enumerate(names)
    }
    return nodes, after, draw(st.integers(1, 3))


def moved(nodes: Sequence[Node], after: After, found: Turns, late: str, by_h: float) -> dict[str, float]:
    """Begin one task later and push whatever it runs into, until nothing starts too early; give all starts.

    Neither network nor floats are asked: a task is pushed by what it waits for and by the task before it in its row.
    """
    hours = {node.id: node.hours for node in nodes}
    start = {name: time[0] for name, time in found.times.items()}
    start[late] += by_h
    pairs = [(first, then) for then, firsts in after.items() for first in firsts]
    pairs += [pair for row in found.rows for pair in pairwise(row)]
    pushed = True
    while pushed:
        pushed = False
        for first, then in pairs:
            if start[then] < start[first] + hours[first]:
                start[then] = start[first] + hours[first]
                pushed = True
    return start


def end_of(nodes: Sequence[Node], start: Mapping[str, float]) -> float:
    return max(start[node.id] + node.hours for node in nodes)


@given(jobs())
def test_a_row_is_one_person_one_task_at_a_time(job: tuple[list[Node], dict[str, tuple[str, ...]], int]) -> None:
    nodes, after, crew = job
    found = turns(nodes, after, crew)
    assert len(found.rows) == crew
    assert sorted(name for row in found.rows for name in row) == sorted(
        node.id for node in nodes if node.hours and not node.away
    )
    for row in found.rows:
        assert all(found.times[one][1] <= found.times[other][0] for one, other in pairwise(row))
    assert starts(nodes, after, crew) == found.times


@given(jobs())
def test_the_levelled_network_begins_every_task_when_the_schedule_does(
    job: tuple[list[Node], dict[str, tuple[str, ...]], int],
) -> None:
    nodes, after, crew = job
    found = turns(nodes, after, crew)
    for name, activity in slack(nodes, after, found).items():
        assert (activity.earliest_start, activity.earliest_finish) == found.times[name]


@given(jobs())
def test_total_float_is_how_far_a_task_slips_before_the_end_moves(
    job: tuple[list[Node], dict[str, tuple[str, ...]], int],
) -> None:
    nodes, after, crew = job
    found = turns(nodes, after, crew)
    end = end_of(nodes, {name: time[0] for name, time in found.times.items()})
    for name, activity in slack(nodes, after, found).items():
        assert end_of(nodes, moved(nodes, after, found, name, activity.total_float)) == end
        assert end_of(nodes, moved(nodes, after, found, name, activity.total_float + STEP)) > end
        assert activity.critical == (activity.total_float == 0)


@given(jobs())
def test_free_float_is_how_far_a_task_slips_before_another_moves(
    job: tuple[list[Node], dict[str, tuple[str, ...]], int],
) -> None:
    nodes, after, crew = job
    found = turns(nodes, after, crew)
    planned = {name: time[0] for name, time in found.times.items()}
    end = end_of(nodes, planned)
    for name, activity in slack(nodes, after, found).items():
        by_all = moved(nodes, after, found, name, activity.free_float)
        assert {one: at for one, at in by_all.items() if one != name} == {
            one: at for one, at in planned.items() if one != name
        }
        assert end_of(nodes, by_all) == end
        more = moved(nodes, after, found, name, activity.free_float + STEP)
        assert end_of(nodes, more) > end or any(more[one] != planned[one] for one in planned if one != name)


def test_a_crew_of_one_has_less_slack_than_hands_without_end() -> None:
    """Two hours beside five: with two people three to spare, alone none at all."""
    nodes = [Node("cut", "a", 2.0), Node("cut", "b", 5.0)]
    after: dict[str, tuple[str, ...]] = {"a/cut": (), "b/cut": ()}
    two = slack(nodes, after, turns(nodes, after, 2))
    one = slack(nodes, after, turns(nodes, after, 1))
    assert (two["a/cut"].total_float, two["b/cut"].total_float) == (3.0, 0.0)
    assert (one["a/cut"].total_float, one["b/cut"].total_float) == (0.0, 0.0)


def test_with_hands_for_everybody_it_is_the_critical_path() -> None:
    """The solved exercise of eight activities (Render and Stair text): printed slack of H 3, of A 2 (computed)."""
    hours = {"A": 7.0, "B": 8.0, "C": 3.0, "D": 1.0, "E": 4.0, "F": 5.0, "G": 11.0, "H": 7.0}
    waits = {"C": "A", "D": "A", "E": "B", "F": "B", "G": "CE", "H": "DF"}
    nodes = [Node("cut", name, length) for name, length in hours.items()]
    after = {f"{name}/cut": tuple(f"{one}/cut" for one in waits.get(name, "")) for name in hours}
    found = slack(nodes, after, turns(nodes, after, 8))
    assert [found[f"{name}/cut"].total_float for name in hours] == [2, 0, 2, 8, 0, 3, 0, 3]
    plain = schedule({node.id: node.hours for node in nodes}, after)
    assert {name: one.free_float for name, one in found.items()} == {n: one.free_float for n, one in plain.items()}


def test_work_away_waits_for_nobody() -> None:
    nodes = [Node("cut", "a", 3.0), Node("away_after", "a", 14.0, work="paint", away=True)]
    after: dict[str, tuple[str, ...]] = {"a/cut": (), "a/away_after/paint": ()}
    found = turns(nodes, after, 1)
    assert found.rows == (("a/cut",),)
    assert slack(nodes, after, found)["a/cut"].total_float == pytest.approx(11.0)

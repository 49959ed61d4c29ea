from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.grade.nearness import nearness


def near(make_zone, make_finding, *, book_mm=300.0, mounting=None, **zone):
    finding = make_finding(seen="holed", mounting=mounting) if mounting else make_finding(seen="holed")
    return nearness(finding, make_zone(**zone), book_mm)


@pytest.mark.parametrize("kind", ["belt", "seat", "suspension", "steering", "brake"])
@pytest.mark.parametrize(("distance", "expected"), [("0 mm", True), ("300 mm", True), ("300.1 mm", False)])
def test_a_written_distance_is_held_against_the_book(kind, distance, expected, make_zone, make_finding):
    found = near(make_zone, make_finding, mounting={"kind": kind, "distance": distance}, role="load-bearing")
    assert (found.near, found.distance_known, found.mounting.value) == (expected, True, kind)


@pytest.mark.parametrize("kind", ["body", "jacking", "hinge", "tank", "engine"])
def test_other_mountings_do_not_count(kind, make_zone, make_finding):
    found = near(make_zone, make_finding, mounting={"kind": kind, "distance": "10 mm"}, role="load-bearing")
    assert not found.near


def test_a_far_nearest_mounting_of_any_kind_keeps_all_off(make_zone, make_finding):
    zone = {"role": "load-bearing", "mountings": ("belt", "hinge")}
    assert not near(make_zone, make_finding, mounting={"kind": "hinge", "distance": "400 mm"}, **zone).near
    assert near(make_zone, make_finding, mounting={"kind": "hinge", "distance": "100 mm"}, **zone).near


def test_nobody_measured(make_zone, make_finding):
    assert near(make_zone, make_finding, role="load-bearing", mountings=("suspension",)).near
    floor = near(make_zone, make_finding, role="floor", mountings=("seat",))
    assert (floor.near, floor.distance_known) == (False, False)
    assert not near(make_zone, make_finding, role="load-bearing", mountings=("body",)).near


def test_a_skin_counts_only_where_it_carries_the_mounting(make_zone, make_finding):
    written = {"kind": "belt", "distance": "100 mm"}
    assert near(make_zone, make_finding, mounting=written, role="skin", mountings=("belt",)).near
    assert not near(make_zone, make_finding, mounting=written, role="skin").near


def test_a_book_without_a_distance_takes_the_whole_part(make_zone, make_finding):
    written = {"kind": "suspension", "distance": "2 m"}
    found = near(make_zone, make_finding, book_mm=None, mounting=written, role="load-bearing")
    assert (found.near, found.distance_known, found.book_has_distance) == (True, False, False)


@given(
    distance=st.integers(0, 1000),
    nearer=st.integers(0, 1000),
    role=st.sampled_from(["inner", "floor", "load-bearing"]),
)
def test_nearer_is_never_less_near(distance, nearer, role, make_zone, make_finding):
    def at(mm):
        return near(make_zone, make_finding, mounting={"kind": "belt", "distance": f"{mm} mm"}, role=role).near

    assert at(min(distance, nearer)) >= at(distance)

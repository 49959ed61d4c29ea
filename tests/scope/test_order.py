from __future__ import annotations

import copy
import datetime as dt
import time
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.data import read_yaml
from soundmetal.errors import SettingsError
from soundmetal.grade.models import Spread
from soundmetal.record.models import Answer
from soundmetal.record.terms import Aim, Reply
from soundmetal.scope.crew import starts
from soundmetal.scope.models import Scope, Task
from soundmetal.scope.network import Node, bay, edges, side_order
from soundmetal.scope.order import days
from soundmetal.scope.order_rules import checked, order_rules


def by_id(scope: Scope) -> dict[str, Task]:
    return {task.id: task for task in scope.order}


def before(scope: Scope, first: str, then: str) -> bool:
    tasks = by_id(scope)
    return tasks[first].end_h <= tasks[then].start_h + 1e-9


def test_everything_a_task_waits_for_is_over(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        tasks = by_id(scope)
        for task in scope.order:
            assert all(tasks[name].end_h <= task.start_h + 1e-9 for name in task.after)


def test_one_pair_of_hands_does_one_thing_at_a_time(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        own = [task for task in scope.order if task.hours and not task.away]
        assert all(one.end_h <= other.start_h + 1e-9 for one, other in pairwise(own))


def test_hours_of_the_tasks_are_the_hours_told(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        assert sum(t.hours for t in scope.order if not t.away) == pytest.approx(scope.total.hours.likely)


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("record", "rocker.left.inner/access"),
        ("support", "rocker.left.outer/brace"),
        ("make_safe", "rocker.left.outer/weld"),
        ("rocker.left.outer/brace", "floor.left.front/cut"),  # bracing before any cut of that side
        ("rocker.left.outer/brace", "rocker.left.outer/cut"),  # workshop articles: bracing before any cut
        ("frame_rail.left.rear/away_before/frame_repair", "rocker.left.outer/cut"),  # frame before body
        ("floor.left.front/away_before/assessment", "floor.left.front/cut"),  # referred before it is cut
        ("rocker.left.inner/access", "floor.left.front/strip"),  # one access for the whole group
        ("rocker.left.outer/weld", "rocker.right.outer/cut"),  # one side complete before the other
        ("rocker.right.outer/weld", "unbrace"),
        ("unbrace", "rocker.left.outer/protect"),
        ("cab_corner.left.outer/weld", "rocker.left.outer/wax"),  # all welding before cavity wax (service text)
        ("floor.left.front/protect", "rocker.left.inner/refit"),
    ],
)
def test_what_comes_first(scopes: dict[Aim, Scope], first: str, then: str) -> None:
    assert before(scopes[Aim.SOUND], first, then)


def test_inner_structure_before_outer_skin(scopes: dict[Aim, Scope]) -> None:
    assert before(scopes[Aim.FACTORY], "rocker.left.inner/weld", "rocker.left.outer/weld")


def test_wax_after_paint(scopes: dict[Aim, Scope]) -> None:
    factory = scopes[Aim.FACTORY]
    paint = [task for task in factory.order if task.id.endswith("/paint")]
    assert paint
    assert all(before(factory, task.id, "rocker.left.outer/wax") for task in paint)


def test_outside_work_is_days_away_and_no_hours_of_the_crew(scopes: dict[Aim, Scope]) -> None:
    away = by_id(scopes[Aim.SOUND])["frame_rail.left.rear/away_before/frame_repair"]
    assert away.away
    assert away.hours == 4 * 7
    assert "repairer" in str(away.text.values["work_word"])


def test_more_people_are_never_slower(bench: Any, car: Any) -> None:
    alone = car.scope().days.likely
    two = type(car)(bench, car.body, car.inspection, bench.shop({"policies": {"crew": 2}})).scope().days.likely
    assert two <= alone


def test_days_of_nothing(bench: Any) -> None:
    assert days((), (), bench.shop(), Spread(0, 0, 0)) == Spread(0, 0, 0)


def test_a_car_with_hundreds_of_tasks_is_quick() -> None:
    zones = [f"p{n}.left" for n in range(60)]
    stages = ["access", "strip", "brace", "cut", "make", "weld", "dress", "protect"]
    nodes = [Node("record", "", 0.0), *(Node(stage, zone, 1.0) for stage in stages for zone in zones)]
    started = time.perf_counter()
    times = starts(nodes, edges(nodes, ()), 2)
    assert time.perf_counter() - started < 2  # 480 tasks; about 0.06 s alone, the machine may be busy
    assert max(end for _, end in times.values()) == pytest.approx(240)


@given(st.integers(1, 4), st.lists(st.tuples(st.floats(0, 9), st.booleans()), min_size=1, max_size=14), st.data())
def test_any_network_is_kept_by_any_crew(crew: int, wanted: list[tuple[float, bool]], data: st.DataObject) -> None:
    nodes = [Node("cut", f"p{n}", hours, away=away) for n, (hours, away) in enumerate(wanted)]
    after = {
        node.id: tuple(data.draw(st.lists(st.sampled_from([m.id for m in nodes[:n]]), unique=True)) if n else ())
        for n, node in enumerate(nodes)
    }
    times = starts(nodes, after, crew)
    assert set(times) == {node.id for node in nodes}
    for node in nodes:
        start, end = times[node.id]
        assert end == start + node.hours
        assert all(times[name][1] <= start for name in after[node.id])
        busy = [n for n in nodes if not n.away and n.hours and times[n.id][0] <= start < times[n.id][1]]
        assert len(busy) <= crew


def test_a_circle_is_refused() -> None:
    nodes = [Node("cut", "a", 1.0), Node("cut", "b", 1.0)]
    with pytest.raises(ValueError, match=r"a/cut|b/cut"):
        starts(nodes, {"a/cut": ("b/cut",), "b/cut": ("a/cut",)}, 1)


def test_bays_and_sides() -> None:
    assert bay("rocker.left.inner") == bay("rocker.left.outer") != bay("rocker.right.outer")
    assert side_order("rocker.left.outer")[0] == side_order("rocker.right.outer")[0]
    assert side_order("hood") == ("hood", -1)


def test_every_operation_of_the_shop_book_has_its_stage(bench: Any) -> None:
    shares: dict[str, float] = {}
    for stage in order_rules().stages.values():
        for kind, share in stage.operations.items():
            shares[kind] = shares.get(kind, 0.0) + share
    assert shares == pytest.approx(dict.fromkeys(bench.shop().operations, 1.0))


def test_the_critical_tasks_fill_the_time_from_start_to_end(scopes: dict[Aim, Scope]) -> None:
    """A levelled schedule has a chain of tasks without slack from its first hour to its last (textbook)."""
    for scope in scopes.values():
        end = max(task.end_h for task in scope.order)
        assert all(task.free_float_h <= task.total_float_h + 1e-9 for task in scope.order)
        reached = 0.0
        for task in sorted((t for t in scope.order if t.critical and t.hours), key=lambda t: t.start_h):
            assert task.start_h <= reached + 1e-9
            reached = max(reached, task.end_h)
        assert reached == pytest.approx(end)


def test_one_person_has_no_slack_while_everything_waits_for_that_person(scopes: dict[Aim, Scope]) -> None:
    """With a crew of one, own work that another own task follows at once cannot slip without moving that one."""
    for scope in scopes.values():
        own = [task for task in scope.order if task.hours and not task.away]
        for one, then in pairwise(own):
            assert one.free_float_h <= then.start_h - one.end_h + 1e-9


def test_every_task_names_the_rule_it_follows(scopes: dict[Aim, Scope]) -> None:
    known = {rule.id for rule in order_rules().rules}
    for scope in scopes.values():
        for task in scope.order:
            assert len(task.because) == len(task.after)
            assert set(task.because) <= known


def test_a_soft_rule_gives_way_to_a_hard_one(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Left before right is soft: where every cut must come before the first weld, it is dropped."""
    nodes = [Node("make_safe", "", 0.0), Node("weld", "a.left", 1.0), Node("cut", "a.right", 1.0)]
    zones = [bench.zone("a.left"), bench.zone("a.right")]
    assert "a.left/weld" in edges(nodes, zones)["a.right/cut"]
    data = copy.deepcopy(read_yaml("order.yaml"))
    rule = {"before": "cut", "then": "make_safe", "of": "all", "kind": "hard", "confidence": "from memory"}
    data["rules"].append({"id": "X1", "why": "made up", "source": "made up", **rule})
    monkeypatch.setattr("soundmetal.scope.network.order_rules", lambda: checked(data))
    assert edges(nodes, zones)["a.right/cut"] == ()
    assert edges(nodes, zones)["a.left/weld"] == ("make_safe",)


def test_hard_rules_in_a_circle_are_refused_with_tasks_and_findings(
    bench: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = copy.deepcopy(read_yaml("order.yaml"))
    rule = {"before": "cut", "then": "cut", "of": "side", "kind": "hard", "confidence": "from memory"}
    data["rules"].append({"id": "X1", "why": "made up", "source": "made up", **rule})
    monkeypatch.setattr("soundmetal.scope.network.order_rules", lambda: checked(data))
    nodes = [Node("cut", "a.left", 1.0, ("F1",)), Node("cut", "b.left", 1.0, ("F2",))]
    with pytest.raises(SettingsError, match=r"a\.left/cut.*F1, F2"):
        edges(nodes, [bench.zone("a.left"), bench.zone("b.left")])


def test_a_circle_of_stages_in_the_file_names_them() -> None:
    data = copy.deepcopy(read_yaml("order.yaml"))
    rule = {"before": "weld", "then": "fit", "of": "same", "kind": "hard", "confidence": "from memory"}
    data["rules"].append({"id": "X1", "why": "made up", "source": "made up", **rule})
    with pytest.raises(SettingsError, match=r"circle: .*fit.*weld|circle: .*weld.*fit"):
        checked(data)


@pytest.mark.parametrize(
    ("changed", "told"),
    [({"before": "welds"}, "welds"), ({"of": None}, "O2"), ({"kind": "soft"}, "O2")],
)
def test_a_wrong_rule_is_named(changed: dict[str, Any], told: str) -> None:
    data = copy.deepcopy(read_yaml("order.yaml"))
    place = next(n for n, rule in enumerate(data["rules"]) if rule["id"] == "O2")
    data["rules"][place] = {**data["rules"][place], **changed}
    with pytest.raises(SettingsError, match=told):
        checked(data)


def test_who_holds_what(scopes: dict[Aim, Scope]) -> None:
    """Nobody has answered: every panel's own task waits for the owner; the car's tasks do not."""
    for task in scopes[Aim.SOUND].order:
        assert task.held_by == ("owner" if task.panel else "")
        assert bool(task.hold) == bool(task.held_by)


def test_once_the_owner_agrees_referred_cuts_wait_for_a_repairer(bench: Any, car: Any) -> None:
    yes = {finding.id: Answer(reply=Reply.YES) for finding in car.inspection.findings}
    agreed = type(car)(bench, car.body, car.inspection.model_copy(update={"answers": yes}), car.shop)
    order = agreed.scope().order
    frame = [task for task in order if task.panel == "frame_rail.left.rear"]
    assert {task.stage for task in frame if not task.held_by} <= {"access", "strip", "away_before"}
    assert all(task.held_by in ("", "repairer") for task in order)
    assert any(task.held_by == "repairer" for task in order)


def test_days_become_dates_once_the_start_is_known(bench: Any, car: Any) -> None:
    """A Thursday before a Friday that is a holiday, in a shop that works Monday to Thursday and Saturday."""
    shop = bench.shop({"working": {"weekdays": ["mon", "tue", "wed", "thu", "sat"], "holidays": ["2026-11-26"]}})
    started = car.inspection.model_copy(update={"starts": dt.date(2026, 11, 25)})
    scope = type(car)(bench, car.body, started, shop).scope()
    assert [str(day) for day in scope.dates[:4]] == ["2026-11-25", "2026-11-28", "2026-11-30", "2026-12-01"]
    per_day = shop.policies.hours_per_day
    assert len(scope.dates) >= max(task.end_h for task in scope.order) / per_day
    assert car.scope().dates == ()

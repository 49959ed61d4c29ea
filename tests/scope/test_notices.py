from __future__ import annotations

from typing import Any

import pytest

from soundmetal.record.terms import Aim
from soundmetal.scope.models import Scope
from soundmetal.scope.notices import notices


def texts(steps: Any) -> list[str]:
    return [step.text.format(**step.values) for step in steps]


def has(steps: Any, word: str) -> bool:
    return any(word in text for text in texts(steps))


def test_every_scope_says_that_nothing_is_certified(scopes: dict[Aim, Scope], bench: Any, car_of: Any) -> None:
    empty = car_of(bench.zone()).scope()
    for scope in (*scopes.values(), empty):
        assert "certifies the car as safe" in scope.cautions[0].text
        assert "Local codes" in scope.cautions[0].text
        assert has(scope.cautions, "have the last word")  # the rule book's own


def test_welding_brings_its_cautions(scopes: dict[Aim, Scope]) -> None:
    found = scopes[Aim.SOUND].cautions
    for word in ("35 ft", "30 minutes", "battery", "airbags", "lead", "Zinc", "phosgene", "jacking", "Brace"):
        assert has(found, word), word


def test_no_waiting_time_of_an_airbag_is_named(scopes: dict[Aim, Scope]) -> None:
    (airbag,) = (text for text in texts(scopes[Aim.SOUND].cautions) if "airbags" in text)
    assert "the time that its maker gives" in airbag
    assert "minutes" not in airbag


def test_treating_alone_needs_no_fire_watch(bench: Any, car_of: Any) -> None:
    found = car_of(bench.zone(), bench.finding(seen="surface")).scope().cautions
    assert not has(found, "35 ft")
    assert has(found, "lead")


@pytest.mark.parametrize(("mountings", "warned"), [((), False), (("tank",), True)])
def test_a_tank_nearby_is_warned_of(bench: Any, car_of: Any, mountings: tuple[str, ...], warned: bool) -> None:
    found = car_of(bench.zone(mountings=mountings), bench.finding()).scope().cautions
    assert has(found, "Fuel tank") is warned


def test_a_written_mounting_counts_as_well(bench: Any, car_of: Any) -> None:
    near = bench.finding(mounting={"kind": "tank", "distance": "200 mm"})
    assert has(car_of(bench.zone(), near).scope().cautions, "Fuel tank")


def test_foam_from_an_earlier_repair_is_warned_of(bench: Any, car_of: Any) -> None:
    foam = bench.finding(repair={"kind": "foam", "state": "hides rust"})
    assert has(car_of(bench.zone(), foam).scope().cautions, "isocyanates")
    assert not has(car_of(bench.zone(), bench.finding()).scope().cautions, "isocyanates")


def test_belts_seats_and_frames(scopes: dict[Aim, Scope]) -> None:
    assert has(scopes[Aim.SOUND].cautions, "Belt anchorages")
    assert has(scopes[Aim.SOUND].cautions, "heat-treated rails")


def test_nothing_is_cut_before_an_answer(scopes: dict[Aim, Scope]) -> None:
    assert texts(scopes[Aim.SOUND].holds)[0] == "Nothing is cut before there is an answer."
    assert {task.hold for task in scopes[Aim.SOUND].order if task.panel} == {"waits for an answer"}


@pytest.mark.parametrize(
    ("reply", "hold", "short"),
    [
        ("yes", None, ""),
        ("no", "fender.left.rear: the owner said no; this work is left out.", "the owner said no"),
        ("talk to me", "fender.left.rear: the owner wants to talk about it first.", "the owner wants to talk"),
    ],
)
def test_answers_hold_or_free_the_work(bench: Any, car_of: Any, reply: str, hold: str | None, short: str) -> None:
    scope = car_of(bench.zone(), bench.finding(), answers={"F1": {"reply": reply}}).scope()
    assert texts(scope.holds) == ([hold] if hold else [])
    assert {task.hold for task in scope.order if task.panel} == {short}


def test_a_no_does_not_change_the_choice_or_the_price(bench: Any, car_of: Any) -> None:
    plain = car_of(bench.zone(), bench.finding()).scope()
    refused = car_of(bench.zone(), bench.finding(), answers={"F1": {"reply": "no"}}).scope()
    assert refused.total == plain.total
    assert refused.panels == plain.panels


def test_a_no_to_what_carries_the_car_says_so(bench: Any, car_of: Any) -> None:
    zone = bench.zone(role="load-bearing", mountings=("belt",))
    near = bench.finding(mounting={"kind": "belt", "distance": "50 mm"})
    scope = car_of(zone, near, answers={"F1": {"reply": "no"}}).scope()
    assert "stays unsafe" in texts(scope.holds)[0]


@pytest.mark.parametrize(
    ("role", "seen", "unsafe"),
    [("load-bearing", "holed", True), ("load-bearing", "scale", False), ("skin", "holed", False)],
)
def test_a_no_to_spent_steel_that_carries_load_says_so_away_from_a_mounting(
    bench: Any, car_of: Any, role: str, seen: str, unsafe: bool
) -> None:
    scope = car_of(bench.zone(role=role), bench.finding(seen=seen), answers={"F1": {"reply": "no"}}).scope()
    (told,) = texts(scope.holds)
    assert ("stays unsafe" in told) is unsafe


def test_only_what_was_refused_is_told_as_unsafe(bench: Any, car_of: Any) -> None:
    zone = bench.zone(role="load-bearing")
    found = (bench.finding(id="A", at="200 x 250 mm"), bench.finding(id="B", seen="surface", at="700 x 250 mm"))
    scope = car_of(zone, *found, answers={"A": {"reply": "yes"}, "B": {"reply": "no"}}).scope()
    assert texts(scope.holds) == ["fender.left.rear: the owner said no; this work is left out."]


def test_some_answered_some_not(bench: Any, car_of: Any) -> None:
    found = (bench.finding(id="A", at="200 x 250 mm"), bench.finding(id="B", at="700 x 250 mm"))
    scope = car_of(bench.zone(), *found, answers={"A": {"reply": "yes"}}).scope()
    assert texts(scope.holds) == ["fender.left.rear: waits for an answer."]


def test_referred_work_waits_after_it_was_opened(bench: Any, car_of: Any) -> None:
    zone = bench.zone("frame_rail.left.rear", role="load-bearing", frame_part=True)
    rail = bench.finding(zone="frame_rail.left.rear")
    scope = car_of(zone, rail, answers={"F1": {"reply": "yes"}}).scope()
    held = {task.id: task.hold for task in scope.order}
    assert held["frame_rail.left.rear/strip"] == ""
    assert held["frame_rail.left.rear/protect"] == "waits for a qualified structural repairer"
    assert "qualified structural repairer decides first" in texts(scope.holds)[0]


def test_what_an_aim_leaves_undone(scopes: dict[Aim, Scope]) -> None:
    arrest, sound, factory = (texts(scopes[aim].leaves_undone) for aim in Aim)
    assert any("stays thinner" in text for text in arrest)
    assert any("seam in the skin stays to be seen" in text for text in arrest)
    assert not any("seam in the skin" in text for text in sound)
    assert any("Paint is not in this price" in text for text in sound)
    assert not any("thinner" in text or "Paint" in text for text in factory)
    for told in (arrest, sound, factory):
        assert any("others decide and price" in text for text in told)
        assert any("were not seen" in text for text in told)


def test_every_caution_has_a_source_and_a_way_to_apply() -> None:
    for caution in notices().cautions:
        assert caution.source
        assert caution.text.endswith(".")
        assert caution.when
        assert all(caution.when)

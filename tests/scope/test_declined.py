"""What the owner said no to leaves hours, price and calendar; safety is told; nothing is closed over it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from soundmetal.grade.car import grade_car
from soundmetal.record.models import Answer
from soundmetal.record.terms import Aim, Reply
from soundmetal.scope.declined import CUT
from soundmetal.scope.models import Scope
from soundmetal.scope.offer import identity, offer_of
from soundmetal.scope.work import all_aims, work_out


def heeding(car: Any, **replies: Reply) -> Scope:
    answers = {name: Answer(reply=reply) for name, reply in replies.items()}
    inspection = car.inspection.model_copy(update={"answers": answers})
    rules = car.bench.book()
    grades = grade_car(inspection, car.body, rules)
    return work_out(inspection, car.body, car.shop, rules, grades, Aim.SOUND, heed=True)


def of_zone(car: Any, zone: str) -> list[str]:
    return [finding.id for finding in car.inspection.findings if finding.zone == zone]


def test_a_no_takes_the_work_out(car: Any) -> None:
    (name,) = of_zone(car, "cab_corner.left.outer")
    all_of_it, less = car.scope(), heeding(car, **{name: Reply.NO})
    assert "cab_corner.left.outer" in {work.panel for work in all_of_it.panels}
    assert "cab_corner.left.outer" not in {work.panel for work in less.panels}
    assert less.total.likely < all_of_it.total.likely
    assert less.total.hours.likely < all_of_it.total.hours.likely
    assert not any(task.panel == "cab_corner.left.outer" for task in less.order)
    assert not any(blank.panel == "cab_corner.left.outer" for blank in less.blanks)
    assert less.declined == (name,)
    assert any("said no" in hold.text and hold.values["panel_zone"] == "cab_corner.left.outer" for hold in less.holds)


def test_refused_safety_is_told_with_its_caution(car: Any) -> None:
    (name,) = of_zone(car, "frame_rail.left.rear")
    hold = heeding(car, **{name: Reply.NO}).holds[0]
    assert "stays unsafe" in hold.text
    assert hold.values["panel_zone"] == "frame_rail.left.rear"


def test_nothing_is_cut_on_a_frame_that_stays_unsafe(car: Any) -> None:
    """Order of work, rule O6b: frame and mounts before the body on them; common practice, from memory."""
    (name,) = of_zone(car, "frame_rail.left.rear")
    others = {finding.id: Reply.YES for finding in car.inspection.findings}
    scope = heeding(car, **{**others, name: Reply.NO})
    waits = {task.panel for task in scope.order if task.hold == "the owner said no to what carries this"}
    cut = {work.panel for work in scope.panels if work.choice.taken.method in CUT}
    assert waits == cut != set()
    assert "what depends on it is held too" in scope.holds[0].text
    assert {hold.values["panel_zone"] for hold in scope.holds if "carries the car. The frame" in hold.text} == cut
    unanswered = heeding(car, **{name: Reply.NO})
    assert {task.hold for task in unanswered.order if task.panel in cut} == {"waits for an answer"}


def test_nothing_is_said_to_wait_where_nothing_does(car: Any) -> None:
    (name,) = of_zone(car, "floor.left.front")
    scope = heeding(car, **{name: Reply.NO})
    assert scope.holds[0].text.endswith("It stays unsafe.")
    assert not any(task.hold.startswith("the owner said no") for task in scope.order)


def test_no_skin_is_closed_over_refused_steel(car: Any) -> None:
    (name,) = of_zone(car, "rocker.left.inner")
    scope = heeding(car, **{name: Reply.NO})
    held = [task for task in scope.order if task.panel == "rocker.left.outer"]
    assert held
    assert {task.hold for task in held} == {"the owner said no to the steel here"}
    assert not any(
        task.hold == "the owner said no to the steel here" for task in scope.order if "right" in task.panel
    )


@pytest.mark.parametrize("reply", [Reply.YES, Reply.TALK])
def test_other_answers_take_nothing_out(car: Any, reply: Reply) -> None:
    name = car.inspection.findings[0].id
    assert heeding(car, **{name: reply}).total == car.scope().total


def test_an_owner_is_told_of_all_the_work_whatever_was_answered(car: Any) -> None:
    answers = {finding.id: Answer(reply=Reply.NO) for finding in car.inspection.findings}
    answered = car.inspection.model_copy(update={"answers": answers})
    rules = car.bench.book()
    grades = grade_car(answered, car.body, rules)
    asked = offer_of(answered, car.body, grades, all_aims(answered, car.body, car.shop, rules, grades))
    assert asked.digest == offer_of(car.inspection, car.body, grades, car.aims()).digest


def test_the_offer_tells_what_the_scope_does(car: Any) -> None:
    rules = car.bench.book()
    scopes = car.aims()
    offer = offer_of(car.inspection, car.body, grade_car(car.inspection, car.body, rules), scopes)
    for aim, scope in scopes.items():
        assert offer.aims[aim].price.likely == scope.total.price.likely
        assert {p: o.method for p, o in offer.aims[aim].panels.items()} == {
            work.panel: work.choice.taken.method.value for work in scope.panels
        }
    assert set(offer.findings) == {finding.id for finding in car.inspection.findings}
    assert offer.findings[of_zone(car, "frame_rail.left.rear")[0]].safety


def test_an_inspection_without_an_id_still_has_a_name(car: Any) -> None:
    assert identity(car.inspection) == identity(car.inspection.model_copy(update={"answers": {}}))
    assert identity(car.inspection.model_copy(update={"id": "q7w8e9r0"})) == "q7w8e9r0"


def test_with_nothing_left_to_do_there_is_no_work(car: Any) -> None:
    scope = heeding(car, **{finding.id: Reply.NO for finding in car.inspection.findings})
    assert scope.panels == ()
    assert scope.order == ()
    assert replace(scope.total, drivers=()).likely >= 0

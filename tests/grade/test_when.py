from __future__ import annotations

from dataclasses import replace

import pytest
from pydantic import ValidationError

from soundmetal.grade.books import rule_book
from soundmetal.grade.finding import case_of
from soundmetal.grade.models import Level
from soundmetal.grade.when import When, holds


@pytest.fixture
def case(make_finding, make_zone):
    finding = make_finding(
        seen="pitted",
        probe="firm",
        repair={"kind": "brazed", "state": "unsure"},
        mounting={"kind": "belt", "distance": "1 m"},
    )
    return replace(case_of(finding, make_zone(role="load-bearing"), rule_book("uk")), level=Level.SPENT, held=("G4",))


def test_nothing_asked_holds(case):
    assert holds(When(), case)


@pytest.mark.parametrize(
    ("true", "false"),
    [
        ({"seen": ["pitted", "holed"]}, {"seen": ["holed"]}),
        ({"probe": ["firm"]}, {"probe": ["gives"]}),
        ({"roles": ["load-bearing"]}, {"roles": ["skin"]}),
        ({"repair_kind": ["brazed"]}, {"repair_kind": ["foam"]}),
        ({"repair_state": ["unsure"]}, {"repair_state": ["sound"]}),
        ({"mounting": ["belt"]}, {"mounting": ["seat"]}),
        ({"known_by": ["judged by eye"]}, {"known_by": ["measured"]}),
        ({"levels": ["spent"]}, {"levels": ["unsafe"]}),
        ({"rules": ["G4", "G5"]}, {"rules": ["G5"]}),
        ({"cracked": False}, {"cracked": True}),
        ({"frame_part": False}, {"frame_part": True}),
        ({"near": False}, {"near": True}),
        ({"distance_known": True}, {"distance_known": False}),
        ({"book_has_distance": True}, {"book_has_distance": False}),
        ({"filled": False}, {"filled": True}),
        ({"over_hole": False}, {"over_hole": True}),
        ({"repair_not_accepted": True}, {"repair_not_accepted": False}),
        ({"past_limit": True}, {"past_limit": False}),
        ({"loss_at_least": 0.4}, {"loss_at_least": 0.41}),
        ({"loss_under": 0.41}, {"loss_under": 0.4}),
        ({"seen": ["pitted"], "near": False}, {"seen": ["pitted"], "near": True}),
    ],
)
def test_all_that_is_asked_must_be_true(true, false, case):
    assert holds(When.model_validate(true), case)
    assert not holds(When.model_validate(false), case)


def test_a_question_that_does_not_exist_is_refused():
    with pytest.raises(ValidationError):
        When.model_validate({"colour": "green"})


def test_a_basis_that_is_not_told_fits_no_basis(case):
    assert not holds(When.model_validate({"basis": ["lift"]}), case)

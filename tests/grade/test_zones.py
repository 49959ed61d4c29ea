from __future__ import annotations

import pytest

from soundmetal.grade.books import rule_book
from soundmetal.grade.car import grade_car
from soundmetal.grade.models import Level
from soundmetal.grade.zones import done, is_filled, noted, worst_level
from soundmetal.record.models import ZoneCheck

ZONE = "rocker.left.outer"
REPAIR = {"kind": "butt weld", "state": "sound"}


@pytest.fixture
def state(make_inspection, make_body, make_zone):
    def of(zone=None, **record):
        inspection = make_inspection(**record)
        return grade_car(inspection, make_body(zone or make_zone()), rule_book("shop")).zones[0]

    return of


@pytest.mark.parametrize(
    ("check", "level", "words"),
    [
        ({"all": "clear"}, "sound", "nothing found"),
        ({"look": "clear"}, "sound", "nothing found"),
        ({}, "not seen", "Nobody has checked"),
        ({"all": "not done"}, "not seen", "Nobody has checked"),
        ({"tap": "clear"}, "not seen", "not looked at"),
        ({"look": "clear", "tap": "rust"}, "not seen", "not been written down"),
        ({"look": "doubt"}, "not seen", "not been written down"),
        ({"all": "clear", "coating": [{"thickness": "1001 um"}]}, "not seen", "filler"),
        ({"all": "clear", "coating": [{"thickness": "1000 um"}, {"thickness": "200 um"}]}, "sound", "nothing found"),
    ],
)
def test_a_zone_without_findings(check, level, words, state):
    found = state(zones={ZONE: check})
    assert found.level.value == level
    assert words in found.why.text
    assert found.rule == ("G9" if level == "sound" else "G8")


def test_a_zone_that_nobody_named_was_not_seen(state):
    assert (state().level, state().missing) == (Level.NOT_SEEN, ("look", "tap", "probe"))


def test_a_sound_zone_lists_the_checks_that_were_not_made(state):
    found = state(zones={ZONE: {"look": "clear", "probe": "clear"}})
    assert (found.level, found.missing) == (Level.SOUND, ("tap",))


@pytest.mark.parametrize(
    ("check", "level"),
    [
        ({"look": "clear"}, "not seen"),
        ({"look": "clear", "magnet": "clear", "drain": "clear"}, "not seen"),
        ({"look": "clear", "tap": "clear"}, "sound"),
        ({"look": "clear", "probe": "clear"}, "sound"),
        ({"look": "clear", "gauge": "clear"}, "sound"),
    ],
)
def test_a_closed_box_is_not_seen_from_outside(check, level, state, make_zone):
    assert state(make_zone(construction="closed box"), zones={ZONE: check}).level.value == level


@pytest.mark.parametrize("why", ["covered", "filled", "unreachable", "no time", "no photograph"])
def test_a_zone_marked_as_not_seen_says_why(why, state):
    found = state(not_seen=[{"zone": ZONE, "why": why}], zones={ZONE: {"all": "clear"}})
    assert (found.level, found.rule) == (Level.NOT_SEEN, "G8")


def test_photographs_never_make_a_zone_sound(state):
    found = state(basis="photos", zones={ZONE: {"all": "clear"}})
    assert found.level is Level.NOT_SEEN
    assert "photographs" in found.why.text


def test_photographs_can_show_rust(state):
    found = state(basis="photos", findings=[{"id": "F1", "zone": ZONE, "seen": "holed", "size": "10 x 10 mm"}])
    assert (found.level, found.rule, found.findings) == (Level.SPENT, "G3", ("F1",))


def test_the_worst_finding_leads_the_zone(state):
    findings = [
        {"id": "F1", "zone": ZONE, "seen": "surface", "size": "10 x 10 mm"},
        {"id": "F2", "zone": ZONE, "seen": "holed", "size": "10 x 10 mm"},
        {"id": "F3", "zone": ZONE, "seen": "sound", "repair": REPAIR},
    ]
    found = state(findings=findings, zones={ZONE: {"look": "rust"}})
    assert (found.level, found.rule, found.findings) == (Level.SPENT, "G3", ("F2", "F1", "F3"))


def test_a_sound_repair_does_not_make_an_unseen_zone_sound(state):
    sound = [{"id": "F1", "zone": ZONE, "seen": "sound", "repair": REPAIR}]
    assert state(findings=sound).level is Level.NOT_SEEN
    assert state(findings=sound, zones={ZONE: {"all": "clear"}}).level is Level.SOUND


def test_small_questions_about_checks():
    check = ZoneCheck.model_validate({"look": "clear", "tap": "doubt", "coating": [{"thickness": "1.2 mm"}]})
    assert [one.value for one in done(check)] == ["look", "tap"]
    assert noted(check)
    assert is_filled(check)
    assert not is_filled(None)


def test_the_worst_level_of_some_zones(state):
    sound, unseen = state(zones={ZONE: {"all": "clear"}}), state()
    assert worst_level((sound, unseen)) is Level.NOT_SEEN
    assert worst_level((sound,)) is Level.SOUND
    assert worst_level(()) is Level.NOT_SEEN

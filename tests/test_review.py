from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from soundmetal import pipeline
from soundmetal.review import (
    CAR,
    CONTRADICTIONS,
    FINDINGS,
    NOTES,
    PHOTOGRAPHS,
    ZONES,
    Remark,
    folded,
    review,
)

Edit = Callable[[str, str], None]


@pytest.fixture
def edit(small_inspection: Path) -> Edit:
    def change(old: str, new: str) -> None:
        path = small_inspection / "inspection.yaml"
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    return change


def remarks(folder: Path, about: str = "") -> list[Remark]:
    loaded = pipeline.load(folder)
    told = review(loaded, pipeline.album_of(loaded))
    return [remark for remark in told if about in ("", remark.about)]


def test_contradictions_come_first_and_notes_last(small_inspection: Path, edit: Edit) -> None:
    edit("basis: lift", "basis: photos")
    edit("size: 100 x 80 mm", "size: 100 x 80 mm\n    probe: gives")
    order = list(dict.fromkeys(remark.about for remark in remarks(small_inspection)))
    assert order[0] == CONTRADICTIONS
    assert order[-1] == NOTES
    told = [remark.what for remark in remarks(small_inspection, CONTRADICTIONS)]
    assert any("F2" in one and "photograph cannot be probed" in one for one in told)


def test_a_section_that_cannot_be_bent_is_told_before_the_scope_stops_at_it(
    small_inspection: Path, edit: Edit
) -> None:
    edit("seen: surface", "seen: holed")
    bad = "section: {legs: [50 mm, 60 mm, 50 mm], bends: [{through: 180}, {through: 90}]}"
    edit("size: 100 x 80 mm", f"size: 100 x 80 mm\n    {bad}")
    told = [remark for remark in remarks(small_inspection, FINDINGS) if "cannot be bent" in remark.what]
    assert [remark.what.split(":")[0] for remark in told] == ["F2"], "once, though three aims meet it"
    assert "180 degrees" in told[0].what
    assert told[0].todo == "Measure the section again."


def test_a_zone_called_clear_with_a_finding_in_it_is_a_contradiction(small_inspection: Path, edit: Edit) -> None:
    edit("cowl.top: {all: clear}", "rocker.left.outer: {all: clear}")
    told = [remark.what for remark in remarks(small_inspection, CONTRADICTIONS)]
    assert any("F1" in one or "rocker.left.outer" in one for one in told)


def test_every_check_that_nobody_made_is_asked_for_by_zone(small_inspection: Path, edit: Edit) -> None:
    edit("cowl.top: {all: clear}", "cowl.top: {look: clear}")
    asked = {remark.where: remark for remark in remarks(small_inspection, ZONES)}
    body = pipeline.load(small_inspection).body
    assert asked.keys() == {zone.id for zone in body.zones} - {"rocker.left.outer", "floor.left.front"}
    assert asked["cowl.top"].what == "not done: " + ", ".join(c.value for c in body.by_id["cowl.top"].checks[1:])
    assert "not_seen" in asked["cowl.top"].todo


def test_a_zone_that_could_not_be_seen_is_settled(small_inspection: Path, edit: Edit) -> None:
    edit("findings:", "not_seen: [{zone: hood, why: covered}]\nfindings:")
    assert "hood" not in {remark.where for remark in remarks(small_inspection, ZONES)}
    without = [remark.what for remark in remarks(small_inspection, NOTES) if "without a photograph" in remark.what]
    assert len(without) == 1
    assert "hood" not in without[0].replace(",", "").split()


def test_photographs_alone_ask_for_no_checks(small_inspection: Path, edit: Edit) -> None:
    edit("basis: lift", "basis: photos")
    assert remarks(small_inspection, ZONES) == []


def test_a_finding_without_a_photograph(small_inspection: Path, edit: Edit) -> None:
    edit("    photos: [{file: rocker.left.outer/one.jpg}]\n", "")
    (told,) = remarks(small_inspection, FINDINGS)
    assert (told.where, told.what) == ("F1", "has no photograph")
    assert "rocker.left.outer" in told.todo


def test_what_was_judged_by_eye_is_a_note_until_it_is_measured(small_inspection: Path, edit: Edit) -> None:
    by_eye = [remark.where for remark in remarks(small_inspection, NOTES) if "by eye" in remark.what]
    assert by_eye == ["F2"]  # F1 is a hole: no reading would change that
    reading = "{thickness: 0.88 mm, method: caliper, surface: cleaned}"
    edit("size: 100 x 80 mm", f"size: 100 x 80 mm\n    readings: [{reading}]\n    reference: {reading}")
    assert [remark for remark in remarks(small_inspection, NOTES) if "by eye" in remark.what] == []


def test_a_reading_that_does_not_count_is_told(small_inspection: Path, edit: Edit) -> None:
    reading = "{thickness: 0.9 mm, method: ultrasonic, surface: rust}"
    edit("size: 100 x 80 mm", f"size: 100 x 80 mm\n    readings: [{reading}]")
    (told,) = remarks(small_inspection, FINDINGS)
    assert told.where == "F2"
    assert "never sound steel" in told.what
    assert "caliper" in told.todo


def test_photographs_that_are_broken_doubtful_or_nobodys(small_inspection: Path) -> None:
    photos = small_inspection / "photos"
    photos.joinpath("text.jpg").write_text("no picture")
    for name, colour in (("left roker outer.jpg", 1), ("IMG_7.jpg", 2)):
        Image.new("RGB", (8, 8), (colour, 0, 0)).save(photos / name)
    told = {remark.where: remark for remark in remarks(small_inspection, PHOTOGRAPHS)}
    assert told.keys() == {"text.jpg", "left roker outer.jpg", "IMG_7.jpg"}
    assert "rocker.left.outer" in told["left roker outer.jpg"].what
    assert told["IMG_7.jpg"].what == "belongs to no zone yet"
    assert all(remark.todo and not remark.note for remark in told.values())


def test_a_photograph_left_out_on_purpose_is_quiet(small_inspection: Path, edit: Edit) -> None:
    shutil.copy(small_inspection / "photos" / "floor left front.jpg", small_inspection / "photos" / "IMG_7.jpg")
    edit("photos: {}", "photos: {IMG_7.jpg: {leave_out: true}}")
    assert remarks(small_inspection, PHOTOGRAPHS) == []


def test_the_check_digit_of_the_car_is_a_remark(small_inspection: Path, edit: Edit) -> None:
    edit("structure: frame}", 'structure: frame, identification: "1M8GDM9AXKP042789"}')  # the digit would be X
    (told,) = remarks(small_inspection, CAR)
    assert (told.where, told.note) == ("vehicle.identification", False)
    edit("1M8GDM9AXKP042789", "1M8GDM9AXKP042788")  # the example that textbooks give for the check digit
    assert remarks(small_inspection, CAR) == []


def test_empty_fields_of_the_car_are_notes(small_inspection: Path, edit: Edit) -> None:
    edit('inspector: "R. Vane"', 'inspector: ""')
    edit('{name: "Ana Quiroga"}', "{}")
    empty = [remark.where for remark in remarks(small_inspection, NOTES) if remark.what == "left empty"]
    assert empty == ["owner.name", "inspector"]


def test_notes_that_say_the_same_are_told_once_and_duties_each() -> None:
    told = folded(
        [
            Remark(ZONES, "hood", "not done: look", "Look."),
            Remark(ZONES, "tunnel", "not done: look", "Look."),
            Remark(NOTES, "F1", "judged by eye only", "Measure."),
            Remark(NOTES, "F2", "judged by eye only", "Measure."),
            Remark(NOTES, "F3", "something else"),
        ]
    )
    assert [str(one) for one in told] == [
        "hood: not done: look. Look.",
        "tunnel: not done: look. Look.",
        "F1, F2: judged by eye only. Measure.",
        "F3: something else.",
    ]


def test_for_programs_a_remark_says_whether_it_is_a_note() -> None:
    assert Remark(NOTES, "a", "b").as_dict() == {"about": NOTES, "where": "a", "what": "b", "todo": "", "note": True}
    assert Remark(CAR, "a", "b", "c").as_dict()["note"] is False

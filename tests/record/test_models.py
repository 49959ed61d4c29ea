from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from pydantic import ValidationError

from soundmetal.record.models import CallOut, Finding, Inspection, ZoneCheck
from soundmetal.record.terms import Check, CheckResult, Seen, Units


def finding(**changes: Any) -> dict[str, Any]:
    return {"id": "F1", "zone": "cowl.top", "seen": "holed", "size": "30 x 20 mm"} | changes


def record(**changes: Any) -> dict[str, Any]:
    vehicle = {"body": "pickup", "structure": "frame"}
    return {"soundmetal": 1, "vehicle": vehicle, "date": "2026-11-18", "basis": "lift"} | changes


def test_the_least_record_has_sensible_defaults() -> None:
    inspection = Inspection.model_validate(record())
    assert inspection.date == dt.date(2026, 11, 18)
    assert (inspection.aim.value, inspection.rule_book, inspection.units) == ("sound", "shop", Units.US)
    assert inspection.version == 1


def test_a_record_cannot_be_changed_in_place() -> None:
    inspection = Inspection.model_validate(record())
    with pytest.raises(ValidationError, match="frozen"):
        inspection.inspector = "somebody"  # type: ignore[misc]


def test_writing_out_and_reading_again_gives_the_same_record() -> None:
    one = Inspection.model_validate(
        record(findings=[finding(readings=[{"thickness": "0.0359 in", "method": "caliper", "surface": "bare"}])])
    )
    assert Inspection.model_validate(one.model_dump(mode="json", by_alias=True)) == one
    assert Inspection.model_validate(one.model_dump(by_alias=True)) == one


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"size": None}, "say how large it is"),
        ({"area": "10 cm2"}, "give size or area, not both"),
        ({"seen": "sound", "size": None}, "needs its earlier repair"),
        ({"photos": [{"file": "a.jpg"}, {"file": "a.jpg"}]}, "named twice"),
        ({"id": "1st"}, "pattern"),
        ({"rusted_share": 101}, "less than or equal to 100"),
        ({"rusted_share": float("nan")}, "finite"),
        ({"size": "0 x 20 mm"}, "no extent"),
    ],
)
def test_impossible_findings_are_refused(changes: dict[str, Any], message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        Finding.model_validate(finding(**changes))


def test_a_sound_earlier_repair_needs_no_size() -> None:
    repair = {"kind": "butt weld", "state": "sound"}
    assert Finding.model_validate(finding(seen="sound", size=None, repair=repair)).seen is Seen.SOUND


@pytest.mark.parametrize(
    ("mark", "message"),
    [
        ({"kind": "polygon", "points": [[0, 0], [1, 1]]}, "three points or more"),
        ({"kind": "box", "points": [[0, 0]]}, "needs 2"),
        ({"kind": "circle", "points": [[0.5, 0.5]]}, "needs a radius"),
        ({"kind": "point", "points": [[1.2, 0.5]]}, "less than or equal to 1"),
        ({"kind": "point", "points": []}, "at least 1"),
    ],
)
def test_call_outs_have_the_points_of_their_kind(mark: dict[str, Any], message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        CallOut.model_validate(mark)


def test_checks_not_named_follow_all_and_silence_is_not_done() -> None:
    check = ZoneCheck.model_validate({"all": "clear", "tap": "doubt"})
    assert check.result(Check.LOOK) is CheckResult.CLEAR
    assert check.result(Check.TAP) is CheckResult.DOUBT
    assert ZoneCheck.model_validate({"look": "clear"}).result(Check.PROBE) is CheckResult.NOT_DONE


def test_json_schema_is_closed_and_names_every_key() -> None:
    schema = Inspection.model_json_schema(by_alias=True)
    assert schema["additionalProperties"] is False
    assert {"soundmetal", "vehicle", "findings", "zones", "not_seen", "photos"} <= set(schema["properties"])
    assert schema["$defs"]["Finding"]["properties"]["size"]["anyOf"][0]["type"] == "string"

"""Slips of a person who writes the record: told in plain words, with what to do, and nothing of a program's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from soundmetal.errors import RecordError
from soundmetal.folder import store
from soundmetal.folder.messages import SHAPES
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook

RECORD = """\
soundmetal: 1
vehicle: {year: 1971, body: pickup, structure: frame}
owner: {name: "Ana Quiroga"}
date: 2026-11-18
basis: lift
currency: USD
zones: {}
findings:
  - id: F1
    zone: cowl.top
    seen: holed
    size: 20 x 20 mm
    photos:
      - file: a.jpg
        marks: [{kind: circle, points: [[0.5, 0.5]], radius: 0.1}]
spent: {F1: {plug: 1.5}}
"""
LIST = "Write it in [ ], or each on a line of its own with a dash before it"
DAY = "Write year-month-day, such as 2026-11-18."
SLIPS = {
    "date of other habits": (("2026-11-18", "18.11.2026"), f'line 4, date: "18.11.2026" is no day. {DAY}'),
    "date and time": (("2026-11-18", "2026-11-18 10:00"), f'line 4, date: "2026-11-18 10:00" is no day. {DAY}'),
    "date of no calendar": (
        ("2026-11-18", "2026-13-18"),
        f'line 4: not readable as YAML: "2026-13-18" is no day: month must be in 1..12. {DAY}',
    ),
    "key twice": (
        ("basis: lift", "basis: lift\nbasis: photos"),
        (
            'line 6: not readable as YAML: found duplicate key "basis" with value "photos" (original value: "lift"). '
            "Keep one of the two."
        ),
    ),
    "tab": (
        ("    seen", "\tseen"),
        (
            "line 11: not readable as YAML: found character '\\t' that cannot start any token. "
            "Indent with blanks, not with tabs."
        ),
    ),
    "year in words": (("1971", "seventy"), 'line 2, vehicle.year: "seventy" is no whole number. Write digits only.'),
    "year of five digits": (("1971", "19711"), 'line 2, vehicle.year: "19711" is too large. Write 2100 or less.'),
    "currency in words": (
        ("currency: USD", "currency: dollars"),
        'line 6, currency: "dollars" is not of the right form. Write three capital letters, such as USD.',
    ),
    "word for keys": (
        ('{name: "Ana Quiroga"}', "Ana"),
        (
            'line 3, owner: "Ana" stands where keys and their values are wanted. '
            "Write key: value. Known here: name, phone, email."
        ),
    ),
    "word for zones": (
        ("zones: {}", "zones: clear"),
        'line 7, zones: "clear" stands where keys and their values are wanted. Write key: value.',
    ),
    "emptied list": (
        ("currency: USD", "not_seen:"),
        "line 6, not_seen: nothing stands here. Fill it in, or remove the line.",
    ),
    "emptied choice": (
        ("basis: lift", "basis:"),
        "line 5, basis: nothing stands here. Choose one of: photos, walkround, lift, stripped, blasted.",
    ),
    "id without a value": (
        ("id: F1", "id:"),
        "line 9, findings[1].id: nothing stands here. Fill it in, or remove the line.",
    ),
    "id with a blank": (
        ("id: F1", "id: F 1"),
        (
            'line 9, findings[1].id: "F 1" is not of the right form. Write a letter first, '
            "then letters, digits, - or _, no blank, 16 at most (finding F 1)."
        ),
    ),
    "comma in thousands": (
        ("1971,", "1,971,"),
        'line 2, vehicle: "971" stands where a key is wanted. Write key: value. Is there a comma too many?',
    ),
    "newer layout": (
        ("soundmetal: 1", "soundmetal: 2"),
        'line 1, soundmetal: "2" is not 1, the only one known here. Write 1, or use a newer program.',
    ),
    "yes or no": (
        ("    seen: holed", "    seen: holed\n    reaches_edge: maybe"),
        'line 12, findings[1].reaches_edge: "maybe" is neither true nor false. Write true or false (finding F1).',
    ),
    "hours in words": (
        ("plug: 1.5", "plug: three"),
        (
            'line 16, spent.F1.plug: "three" is no number. '
            "Write digits only, with a point before the decimals, such as 1.5."
        ),
    ),
    "hours below nothing": (("plug: 1.5", "plug: -3"), 'spent.F1.plug: "-3" is too small. Write more than 0.'),
    "list for a note": (
        ("    seen: holed", "    seen: holed\n    note: [a, b]"),
        "findings[1].note: the value is no text. Write one line of text (finding F1).",
    ),
    "one file, no list": (
        ("photos:\n      - file: a.jpg\n       ", "photos: a.jpg\n    readings: []\n    note: x #"),
        f'line 13, findings[1].photos: "a.jpg" is no list. {LIST} (finding F1).',
    ),
    "mark beside the picture": (
        ("[0.5, 0.5]", "[1.2, 0.5]"),
        'findings[1].photos[1].marks[1].points[1][1]: "1.2" is too large. Write 1 or less (finding F1).',
    ),
    "mark with half a point": (
        ("[0.5, 0.5]", "[0.5]"),
        "findings[1].photos[1].marks[1].points[1]: number 2 of these is missing. Add it (finding F1).",
    ),
    "mark without a point": (
        ("[[0.5, 0.5]]", "[]"),
        "findings[1].photos[1].marks[1].points: there are too few: 0. Write 1 or more (finding F1).",
    ),
}
OF_A_PROGRAM = ("input should", "tuple", "dictionary", "instance", "string", "integer", "None", "pattern")


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_told_in_one_line_with_what_to_do(slip: str) -> None:
    (before, after), message = SLIPS[slip]
    assert before in RECORD
    told = refusal(RECORD.replace(before, after, 1))
    assert told.startswith("inspection.yaml, line ")
    assert told.endswith(message)
    assert [word for word in OF_A_PROGRAM if word in told] == []


def test_the_record_itself_is_right() -> None:
    assert store.from_text(Path(), Path("inspection.yaml"), RECORD).inspection.findings[0].id == "F1"


def refusal(text: str) -> str:
    with pytest.raises(RecordError) as caught:
        store.from_text(Path(), Path("inspection.yaml"), text)
    return str(caught.value)


def patterns(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        if isinstance(node.get("pattern"), str):
            yield node["pattern"]
        for value in node.values():
            yield from patterns(value)
    elif isinstance(node, list):
        for value in node:
            yield from patterns(value)


@pytest.mark.parametrize("model", [Inspection, ShopBook])
def test_every_form_that_is_asked_for_can_be_told(model: type[Inspection] | type[ShopBook]) -> None:
    asked = set(patterns(model.model_json_schema(by_alias=True)))
    assert asked
    assert asked <= SHAPES.keys()

"""The quick reader reads what the reader of every other command reads, or nothing: tried on texts good and bad."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from small import SMALL
from yards import CAR, send_car, write_car

from soundmetal.errors import SoundmetalError
from soundmetal.folder import yaml_text
from soundmetal.folder.states import Mark
from soundmetal.folder.yard.quick import read_as, tree_of
from soundmetal.record.models import Inspection

WORDS = (
    "yes", "no", "on", "off", "y", "True", "FALSE", "null", "Null", "~", "", "0", "00", "07", "1967", "-3",
    "+3", "0x1F", "0o17", "0b11", "1_000", "1e3", "12e4", "1.5", ".5", "5.", "1.5e3", "-0.5", ".inf", "-.INF",
    ".nan", "1:30", "190:20:30", "2026-11-18", "2026-02-30", "2026-1-8", "0026-11-18", "2026-11-18T10:00:00Z",
    "2026-11-18 10:00", "320 x 60 mm", "6 x 4 in", "4 1/2 in", "0.9 mm", '4 1/2"', "3f", "1d", "0xyz", "12ab",
    "<<", "=", "!", "&a", "*a", "@", "`", "%", "- a", "a: b", "a:b", "a #b", "a#b", "'it''s'", '"a\\tb"',
    '"\\ud800"', '"\\/"', "[1, 2]", "{a: 1}", "{a:1}", "[a:b]", "é", "ñ 1", "|", ">", "|-\n  text",
    "two\n  lines", '"two\n  lines"', "?", "? a", "x\u2028y", "x\x85y", "\ufeffx", "a\tb",
    "111111111111111111111111111111",
)  # fmt: skip


def slow(text: str) -> Any:
    """Read with the reader that counts; None where it refuses."""
    try:
        return yaml_text.parse(text, Path("inspection.yaml"))
    except SoundmetalError:
        return None


def plain(tree: Any) -> Any:
    """Give a tree in types that tell 1 from true and a text from a day."""
    if isinstance(tree, dict):
        return {str(key): plain(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [plain(value) for value in tree]
    if isinstance(tree, float):
        return ("float", float(tree))
    return (next(kind.__name__ for kind in (bool, int, str, object) if isinstance(tree, kind)), tree)


def agree(text: str) -> bool:
    """Hold both readers against each other; tell whether the quick one dared."""
    quick = tree_of(text)
    if quick is not None:
        assert plain(quick) == plain(slow(text)), text
    return quick is not None


@pytest.mark.parametrize("word", WORDS)
def test_a_word_means_the_same_to_both_or_is_left_alone(word: str) -> None:
    agree(f"key: {word}\n")
    agree(f"key: [{word}]\n")
    agree(f"{word}: value\n")
    agree(f"list:\n  - {word}\n  - last\n")


@given(st.from_regex(r"\A[-+.]?[0-9][-+0-9_.:eExXoObBaTZf ]{0,8}\Z"))
@example("0b1.")
def test_numbers_of_every_kind(word: str) -> None:
    agree(f"key: {word}\n")


@given(st.text(st.characters(codec="utf-8"), max_size=12))
def test_any_text(text: str) -> None:
    agree(f"key: {text}\n")
    agree(text)


@pytest.mark.parametrize(
    "text", ["a: 1\na: 2\n", "a: &x 1\n", "a: &x 1\nb: *x\n", "--- {a: 1}\n--- {b: 2}\n", "- 1\n", "", "1: a\n"]
)
def test_what_is_not_plain_is_left_to_the_other(text: str) -> None:
    assert tree_of(text) is None


@pytest.mark.parametrize("depth", [39, 40, 41, 500])
def test_what_is_too_deep_for_one_is_too_deep_for_the_other(depth: int) -> None:
    text = "a: " + "[" * depth + "]" * depth
    assert not (slow(text) is None and tree_of(text) is not None)


def test_spoilt_records_are_never_read_otherwise() -> None:
    """Letters of a record are changed, dropped or put in; both read the same, or the quick one nothing."""
    rng = random.Random(11)
    text = SMALL + CAR.format(model="Heron", owner="Ana", number="H-1", note="x").replace("soundmetal", "x")[:300]
    dared = 0
    for _ in range(400):
        letters = list(SMALL if rng.random() < 0.5 else text)
        for _ in range(rng.randint(1, 3)):
            at = rng.randrange(len(letters))
            letters[at] = rng.choice((*"\n :-#{}[]\"'&*!|>%@,?01a~", "", "\n  ", ": ", "- "))
        dared += agree("".join(letters))
    assert dared > 50


def test_records_and_marks_as_they_are_written_are_read_quickly(tmp_path: Path) -> None:
    state = send_car(write_car(tmp_path))
    mark = (state.folder / "state.yaml").read_text()
    assert read_as(Mark, mark) == state.mark
    record = (tmp_path / "inspection.yaml").read_text()
    assert read_as(Inspection, record) == state.record
    assert read_as(Inspection, SMALL) is not None
    assert read_as(Inspection, record + "wheels: 4\n") is None


@pytest.mark.checkout
def test_the_sample_is_read_quickly_and_the_same(sample_inspection: Path) -> None:
    text = (sample_inspection / "inspection.yaml").read_text(encoding="utf-8")
    assert agree(text)

"""Broken and malicious records: each is one line that names file and line, and nothing of the person's is changed."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from soundmetal.errors import FolderError, RecordError, Several
from soundmetal.folder import store

GOOD = "soundmetal: 1\nvehicle: {body: pickup, structure: frame}\ndate: 2026-11-18\nbasis: lift\n"
BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{chr(98 + i)}: &{chr(98 + i)} [{', '.join([f'*{chr(97 + i)}'] * 9)}]\n" for i in range(9)
)
FINDING = "findings:\n  - id: F1\n    zone: cowl.top\n    seen: holed\n    size: 20 x 20 mm\n"

CASES = {
    "alias bomb": (BOMB, r'inspection.yaml, line 2: "\*a" repeats another part'),
    "tab indent": (GOOD + "owner:\n\tname: x\n", r"inspection.yaml, line 6.*not readable as YAML"),
    "open quote": (GOOD + 'inspector: "R. Vane\n', r"inspection.yaml, line \d.*not readable as YAML"),
    "same key twice": (GOOD + "basis: lift\n", r'line 5.*found duplicate key "basis"'),
    "list, not keys": ("- a\n- b\n", "holds no keys and values"),
    "nothing": ("", "holds no keys and values"),
    "only a comment": ("# later\n", "holds no keys and values"),
    "deep nesting": (GOOD + "zones: " + "[" * 5000, "nested too deep"),
    "a tag that runs code": (GOOD + "inspector: !!python/object/apply:os.system [exit 1]\n", "inspector"),
    "control character": (GOOD + "inspector: a\x07b\n", "cannot stand in a text file"),
    "unknown key": (GOOD + "aimm: sound\n", r'inspection.yaml, line 5: unknown key "aimm". Did you mean "aim"\?'),
    "unknown key inside": (
        GOOD + FINDING + "    siez: 3\n",
        r'line 10, findings\[1\]: unknown key "siez". Did you mean "size"\?',
    ),
    "unknown word": (
        GOOD.replace("lift", "lifted"),
        r'line 4, basis: "lifted" is not one of .* Did you mean "lift"\?',
    ),
    "negative size": (
        GOOD + FINDING.replace("20 x 20", "-20 x 20"),
        r'line 9, findings\[1\].size: "-20 x 20 mm" is not a size',
    ),
    "size without unit": (GOOD + FINDING.replace(" mm", ""), r"line 9.*write length x width and the unit"),
    "bare number": (GOOD + FINDING.replace("20 x 20 mm", "20"), r"line 9.*20 has no unit"),
    "infinite": (GOOD + FINDING.replace("20 x 20 mm", ".inf"), r"line 9.*has no unit"),
    "no extent": (
        GOOD + FINDING.replace("    size: 20 x 20 mm\n", ""),
        r"line 6, findings\[1\]: say how large it is",
    ),
    "missing date": (GOOD.replace("date: 2026-11-18\n", ""), r'inspection.yaml, line 1: the key "date" is missing'),
    "impossible date": (GOOD.replace("2026-11-18", "2026-13-45"), r"line 3"),
    "year of steam": (GOOD.replace("{body", "{year: 1776, body"), r"line 2, vehicle.year"),
    "letter O in number": (
        GOOD.replace("{body", "{identification: 1O111111111111111, body"),
        r'"O" is never one of them',
    ),
    "number without quotes": (GOOD + "inspector: 12\n", r'12 stands without quotes.*Write "12" in quotes'),
    "photo named twice": (
        GOOD + FINDING + "    photos: [{file: a.jpg}, {file: a.jpg}]\n",
        r"line 6.*photograph named twice: a.jpg",
    ),
    "sound but no repair": (GOOD + FINDING.replace("holed", "sound"), "needs its earlier repair"),
    "huge line": (GOOD + "inspector: " + "x" * 5000 + "\n", r"line 5, inspector"),
    "newer layout": (GOOD.replace("soundmetal: 1", "soundmetal: 2"), r"line 1, soundmetal"),
}


@pytest.mark.parametrize("name", CASES)
def test_bad_record_is_one_clear_line_and_stays_as_it_is(name: str, tmp_path: Path) -> None:
    text, message = CASES[name]
    path = tmp_path / "inspection.yaml"
    path.write_text(text, encoding="utf-8")
    began = time.monotonic()
    with pytest.raises(RecordError, match=message) as caught:
        store.read(tmp_path)
    assert time.monotonic() - began < 5
    assert all(line.strip() for line in str(caught.value).split("\n"))
    assert "Traceback" not in str(caught.value)
    assert path.read_text(encoding="utf-8") == text


def test_all_faults_are_told_at_once_in_the_order_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "inspection.yaml").write_text(GOOD + "aimm: x\ncolor: y\n", encoding="utf-8")
    with pytest.raises(Several) as caught:
        store.read(tmp_path)
    assert [problem.place.line for problem in caught.value.problems] == [5, 6]
    assert len(str(caught.value).splitlines()) == 2


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    (tmp_path / "inspection.yaml").write_bytes(b"\xff\xfe\x00soundmetal")
    with pytest.raises(RecordError, match="not UTF-8 text"):
        store.read(tmp_path)


def test_giant_file(tmp_path: Path) -> None:
    with (tmp_path / "inspection.yaml").open("wb") as stream:
        stream.truncate(5_000_000)
    with pytest.raises(RecordError, match="larger than 4 MB"):
        store.read(tmp_path)


def test_folder_faults(tmp_path: Path) -> None:
    with pytest.raises(FolderError, match="there is no folder"):
        store.read(tmp_path / "nowhere")
    with pytest.raises(FolderError, match="is empty"):
        store.read(tmp_path)
    (tmp_path / "notes.txt").write_text("x")
    with pytest.raises(FolderError, match=r"holds no inspection\.yaml\. Begin with: soundmetal start"):
        store.read(tmp_path)
    for car in ("heron", "drover"):
        (tmp_path / car).mkdir()
        (tmp_path / car / "inspection.yaml").write_text(GOOD)
    with pytest.raises(FolderError, match=r"Name the folder of one car: .*drover$"):
        store.read(tmp_path)
    with pytest.raises(FolderError, match="is a file"):
        store.read(tmp_path / "notes.txt")
    for name in ("inspection.yaml", "inspection.yml"):
        (tmp_path / name).write_text(GOOD)
    with pytest.raises(FolderError, match=r"holds two records: inspection.yaml and inspection.yml"):
        store.read(tmp_path)

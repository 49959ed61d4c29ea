"""Broken and malicious records and photographs, through the commands: a line each, an exit code, nothing lost."""

from __future__ import annotations

import io
import json
import re
import shutil
import struct
import zlib
from pathlib import Path

import pytest
from commanding import Fingerprint, Run, lines_of, pdf_text
from PIL import Image

from soundmetal.errors import Exit

BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{chr(98 + i)}: &{chr(98 + i)} [{', '.join([f'*{chr(97 + i)}'] * 9)}]\n" for i in range(9)
)


# --- folders and records ---
FAULTS: dict[str, tuple[tuple[str, str], Exit, list[str]]] = {
    "YAML syntax": (('make: "Tollgate"', 'make: "Tollgate'), Exit.RECORD, ["inspection.yaml, line 4"]),
    "alias bomb": (("zones:", BOMB + "zones:"), Exit.RECORD, ['"*a" repeats another part of the file']),
    "unknown zone": (
        ("zone: rocker.left.outer", "zone: roker.left.outer"),
        Exit.RECORD,
        ['line 13, findings[1].zone: no zone "roker.left.outer"', 'Did you mean "rocker.left.outer"?'],
    ),
    "negative size": (("320 x 60 mm", "-320 x 60 mm"), Exit.RECORD, ["line 15, findings[1].size", "is not a size"]),
    "thickness above nominal": (
        (
            "size: 100 x 80 mm",
            "size: 100 x 80 mm\n    readings: [{thickness: 3.1 mm, method: caliper, surface: bare}]",
        ),
        Exit.RECORD,
        ["line 21, findings[2].readings", "finding F2", "3.10 mm", "0.90 mm"],
    ),
    "photograph named twice": (
        (
            "photos: [{file: floor left front.jpg}]",
            "photos: [{file: floor left front.jpg}, {file: floor left front.jpg}]",
        ),
        Exit.RECORD,
        ["line 17, findings[2]", "photograph named twice: floor left front.jpg"],
    ),
    "photograph noted twice": (
        ("photos: {}", "photos:\n  one.jpg: {caption: a}\n  one.jpg: {caption: b}"),
        Exit.RECORD,
        ['line 24: not readable as YAML: found duplicate key "one.jpg"'],
    ),
    "photograph that is not there": (
        ("floor left front.jpg", "flor left front.jpg"),
        Exit.RECORD,
        ['no photograph "flor left front.jpg"', 'Did you mean "floor left front.jpg"?'],
    ),
    "two findings of one name": (
        ("id: F2", "id: f1"),
        Exit.RECORD,
        ['line 17, findings[2].id: two findings have the id "f1"'],
    ),
    "unknown body": (
        ("body: pickup", "body: pickop"),
        Exit.RECORD,
        ["line 4, vehicle.body", 'Did you mean "pickup"?'],
    ),
    "unknown rule book": (("basis: lift", "basis: lift\nrule_book: ukk"), Exit.RECORD, ["line 9, rule_book", '"uk"']),
    "unknown language": (("basis: lift", "basis: lift\nlanguage: xx"), Exit.RECORD, ["line 9, language", "en, es"]),
    "shop book that is not there": (
        ("basis: lift", "basis: lift\nshop: s.yaml"),
        Exit.FOLDER,
        ['no shop book "s.yaml"'],
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_in_the_record_is_one_line_that_names_the_place(
    name: str, soundmetal_here: Run, small_inspection: Path, fingerprint: Fingerprint
) -> None:
    (old, new), code, told = FAULTS[name]
    path = small_inspection / "inspection.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    before = fingerprint(small_inspection)
    for command in (["check"], ["report", "--html"], ["scope"], ["explain", "F1"]):
        done = soundmetal_here(*command, small_inspection)
        (line,) = lines_of(done)
        assert done.returncode == code, line
        assert [part for part in told if part not in line] == [], line
    assert fingerprint(small_inspection) == before
    assert not (small_inspection / "report.pdf").exists()


@pytest.mark.parametrize("name", ["YAML syntax", "alias bomb", "unknown zone"])
def test_a_process_of_its_own_tells_the_same(name: str, soundmetal_command: Run, small_inspection: Path) -> None:
    (old, new), code, told = FAULTS[name]
    path = small_inspection / "inspection.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    done = soundmetal_command("report", small_inspection)
    (line,) = lines_of(done)
    assert done.returncode == code
    assert all(part in line for part in told)


def test_several_faults_have_a_line_each_in_the_order_of_the_file(
    soundmetal_here: Run, small_inspection: Path
) -> None:
    path = small_inspection / "inspection.yaml"
    text = path.read_text(encoding="utf-8").replace("basis: lift", "basis: lifted\naimm: sound")
    path.write_text(text.replace("320 x 60 mm", "-320 x 60 mm"), encoding="utf-8")
    done = soundmetal_here("report", small_inspection)
    assert done.returncode == Exit.RECORD
    assert ["line 8" in line or "line 9" in line or "line 16" in line for line in lines_of(done)] == [True] * 3


def test_folders_that_are_no_inspection(soundmetal_here: Run, small_inspection: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "notes.txt").write_text("x")
    (small_inspection / "inspection.yml").write_text("soundmetal: 1\n")
    told = {
        tmp_path / "empty": "is empty",
        tmp_path / "other": "holds no inspection.yaml",
        tmp_path / "other" / "notes.txt": "is a file",
        tmp_path / "nowhere": "there is no folder",
        tmp_path / ("n" * 300): "name too long",
        small_inspection: "holds two records: inspection.yaml and inspection.yml",
    }
    for folder, what in told.items():
        for command in (["check"], ["report"], ["scope"], ["undo"], ["explain", "F1"]):
            done = soundmetal_here(*command, folder)
            (line,) = lines_of(done)
            expected = Exit.UNKNOWN_NAME if command[0] == "explain" and "n" * 300 not in line else Exit.FOLDER
            assert done.returncode == expected, line
            assert command[0] == "explain" or what in line.replace("File name", "name"), line
    assert sorted(path.name for path in tmp_path.iterdir()) == ["Große Wagen", "empty", "other"]


def test_photographs_folder_missing_or_a_file(soundmetal_here: Run, small_inspection: Path, tmp_path: Path) -> None:
    shutil.move(small_inspection / "photos", tmp_path / "moved")
    lines = lines_of(soundmetal_here("report", small_inspection))
    assert [re.search(r'no photograph "(.*)" in the folder photos', line)[1] for line in lines] == [
        "rocker.left.outer/one.jpg", "floor left front.jpg",
    ]  # fmt: skip
    (small_inspection / "photos").write_text("x")
    done = soundmetal_here("add", small_inspection, tmp_path / "moved")
    assert done.returncode == Exit.FOLDER
    assert "is a file" in lines_of(done)[0]
    (small_inspection / "photos").unlink()
    assert soundmetal_here("add", small_inspection, tmp_path / "moved").returncode == 0  # add makes it


# --- photographs ---
def _broken_photographs(folder: Path) -> dict[str, str]:
    """Put every sort of broken photograph into a folder; give what is told of each."""
    whole = io.BytesIO()
    Image.effect_noise((200, 150), 90).save(whole, "JPEG")
    (folder / "cut.jpg").write_bytes(whole.getvalue()[:2000])
    (folder / "text.jpg").write_text("Dear Ana,\n")
    (folder / "nothing.jpg").touch()
    (folder / "bomb.png").write_bytes(_bomb())
    (folder / "noise.heic").write_bytes(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(range(256)))
    (folder / "film.mov").write_bytes(b"\0\0\0\x14ftypqt  ")
    (folder / "link.jpg").symlink_to(folder / "gone.jpg")
    return {
        "bomb.png": "",
        "cut.jpg": "",
        "film.mov": "a film, not a photograph",
        "link.jpg": "",
        "noise.heic": "",
        "nothing.jpg": "the file is empty",
        "text.jpg": "ends in .jpg but is no picture",
    }


def _bomb() -> bytes:
    """Make a PNG of 60000 x 60000 points in a few kilobytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60000, 60000, 8, 2, 0, 0, 0)
    body = zlib.compress(bytes(2_000_000), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def test_broken_photographs_are_named_and_the_rest_go_on(
    soundmetal_here: Run, soundmetal_command: Run, small_inspection: Path, fingerprint: Fingerprint
) -> None:
    told = _broken_photographs(small_inspection / "photos")
    (small_inspection / "photos" / "link.jpg").unlink()
    told.pop("link.jpg")
    before = fingerprint(small_inspection)
    done = soundmetal_command("check", small_inspection, "--json")
    remarks = [one for one in json.loads(done.stdout) if one["about"] == "Photographs"]
    assert done.returncode == Exit.INCOMPLETE
    assert {one["where"]: one["what"] for one in remarks}.keys() == told.keys()
    assert all(told[one["where"]] in one["what"] and one["todo"] for one in remarks)

    done = soundmetal_here("report", small_inspection)
    assert done.returncode == Exit.INCOMPLETE, done.stderr
    lines = done.stderr.splitlines()
    assert [line.split(":")[0] for line in lines] == [f"left out {name}" for name in sorted(told)]
    assert done.stdout == f"wrote {small_inspection / 'report.pdf'}\n"
    assert "rocker" in pdf_text(small_inspection / "report.pdf")
    assert fingerprint(small_inspection) == before


def test_a_broken_photograph_of_a_finding_does_not_stop_the_report(
    soundmetal_here: Run, small_inspection: Path
) -> None:
    (small_inspection / "photos" / "floor left front.jpg").write_bytes(b"\xff\xd8\xff\xe0cut short")
    for command in ("report", "scope"):
        done = soundmetal_here(command, small_inspection, "--json")
        assert done.returncode == Exit.INCOMPLETE
        answer = json.loads(done.stdout)
        assert answer["written"] == [str(small_inspection / f"{command}.pdf")]
        assert [one["photograph"] for one in answer["refused"]] == ["floor left front.jpg"]
        assert "left out floor left front.jpg: " in done.stderr
        assert "loor" in pdf_text(small_inspection / f"{command}.pdf")  # its finding is there all the same


def test_add_names_what_it_could_not_take_and_takes_the_rest(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path
) -> None:
    source = tmp_path / "phone"
    source.mkdir()
    told = _broken_photographs(source)
    Image.new("RGB", (10, 10), (9, 9, 9)).save(source / "good.jpg")
    done = soundmetal_here("add", small_inspection, source, source / "notes.txt")
    assert (done.returncode, lines_of(done)[0].endswith("Check the spelling.")) == (Exit.FOLDER, True)
    done = soundmetal_here("add", small_inspection, source)
    assert done.returncode == Exit.INCOMPLETE
    assert done.stdout == "2 photographs added.\n"  # the cut one as well: only decoding shows that its end is missing
    told.pop("cut.jpg")
    assert [line.split(":")[0] for line in done.stderr.splitlines()] == [f"left out phone/{n}" for n in sorted(told)]
    assert "phone/cut.jpg: " in soundmetal_here("check", small_inspection).stdout
    done = soundmetal_here("add", small_inspection, small_inspection / "photos")
    assert "holds the inspection itself" in lines_of(done)[0]


def test_add_to_an_unknown_zone_copies_nothing(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    Image.new("RGB", (10, 10), (9, 9, 9)).save(tmp_path / "good.jpg")
    before = fingerprint(small_inspection)
    done = soundmetal_here("add", small_inspection, tmp_path / "good.jpg", "--zone", "rocker.left.outter")
    assert done.returncode == Exit.UNKNOWN_NAME
    assert 'Did you mean "rocker.left.outer"?' in lines_of(done)[0]
    assert fingerprint(small_inspection) == before

"""Broken, malicious and unlucky input, through the commands: a line for each fault, an exit code, nothing lost.

Most run `main` in this process; what the kernel has to do with (full disk, no permission, kill) runs in its own.
"""

from __future__ import annotations

import contextlib
import ctypes
import io
import json
import os
import re
import resource
import shutil
import signal
import struct
import subprocess
import sys
import zlib
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

import soundmetal
from soundmetal.errors import Exit
from soundmetal.folder import store
from soundmetal.photos.arrivals import everything

Run = Callable[..., subprocess.CompletedProcess[str]]
Fingerprint = Callable[[Path], dict[str, str]]

BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{chr(98 + i)}: &{chr(98 + i)} [{', '.join([f'*{chr(97 + i)}'] * 9)}]\n" for i in range(9)
)


def lines_of(done: subprocess.CompletedProcess[str]) -> list[str]:
    """Give the lines that a failed command told; each says whose it is, none is a traceback, there is no result."""
    assert done.stdout == ""
    lines = done.stderr.splitlines()
    assert lines
    assert all(line.startswith("soundmetal: ") for line in lines), done.stderr
    assert "Traceback" not in done.stderr
    return lines


# --- folders and records ----------------------------------------------------------------------------------------

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


# --- photographs ------------------------------------------------------------------------------------------------


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
    assert "rocker" in _pdf_text(small_inspection / "report.pdf")
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
        assert "loor" in _pdf_text(small_inspection / f"{command}.pdf")  # its finding is there all the same


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


# --- text that would like to be something else ------------------------------------------------------------------

EVIL = "<script>alert('x')</script> & \"quoted\" {{7*7}} {brace} %s"
FOREIGN = "Íñigo Łukasz Œuvre Đorđe Ψωμί Жук"


class _Page(HTMLParser):
    """What a page is made of: tags with their attributes, and its text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self._style = False
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._style = tag == "style"

    def handle_data(self, data: str) -> None:
        self.text += "" if self._style else data

    def handle_endtag(self, tag: str) -> None:
        self._style = False


@pytest.fixture
def evil_inspection(small_inspection: Path) -> Path:
    """Names and notes that would like to be mark-up, templates, paths or commands to the terminal."""
    photos = small_inspection / "photos"
    shutil.move(photos / "floor left front.jpg", photos / "\"><script>alert(1)< 'ñ.jpg")
    path = small_inspection / "inspection.yaml"
    text = path.read_text(encoding="utf-8")
    quoted = json.dumps(EVIL)
    text = text.replace('"Ana Quiroga"', json.dumps(FOREIGN, ensure_ascii=False)).replace('"Drover"', quoted)
    text = text.replace("floor left front.jpg", json.dumps("\"><script>alert(1)< 'ñ.jpg", ensure_ascii=False))
    text = text.replace("size: 320 x 60 mm", f"size: 320 x 60 mm\n    note: {quoted}")
    path.write_text(
        text.replace("cowl.top: {all: clear}", f"cowl.top: {{all: clear, note: {quoted}}}"), encoding="utf-8"
    )
    return small_inspection


@pytest.mark.parametrize("command", ["report", "scope"])
def test_names_and_notes_stay_text_in_pdf_and_page(command: str, soundmetal_here: Run, evil_inspection: Path) -> None:
    done = soundmetal_here(command, evil_inspection, "--html")
    assert (done.returncode, done.stderr) == (0, "")
    html = (evil_inspection / f"{command}.html").read_text(encoding="utf-8")
    page = _Page(html)
    assert not {"script", "iframe", "object", "embed", "link", "base", "form"} & {tag for tag, _ in page.tags}
    assert not [name for _tag, attrs in page.tags for name in attrs if name.startswith("on")]
    assert EVIL in page.text
    assert "alert(1)" not in html
    text = _pdf_text(evil_inspection / f"{command}.pdf")
    assert _close(EVIL) in _close(text)
    if command == "report":
        assert FOREIGN in page.text
        assert _close(FOREIGN) in _close(text)


@pytest.mark.parametrize("command", ["report", "scope"])
def test_a_page_fetches_nothing_and_names_no_photograph(
    command: str, soundmetal_here: Run, small_inspection: Path
) -> None:
    soundmetal_here(command, small_inspection, "--html")
    html = (small_inspection / f"{command}.html").read_text(encoding="utf-8")
    for tag, attrs in _Page(html).tags:
        for name in ("src", "href", "data", "srcset", "action", "poster", "xlink:href"):
            value = attrs.get(name) or ""
            assert value.startswith(("data:", "#", "mailto:", "tel:")) or not value, (tag, name, value[:60])
    places = html.replace("data:", "").split("url(")[1:]
    assert all(place.lstrip("\"'").startswith(("font/", "image/", "#")) for place in places)
    assert "@import" not in html
    assert str(small_inspection) not in html
    assert "one.jpg" not in html
    assert "floor left front.jpg" not in html
    pdf = (small_inspection / f"{command}.pdf").read_bytes()
    assert b"one.jpg" not in pdf
    assert str(small_inspection).encode() not in pdf


def test_what_a_terminal_is_told_of_evil_names_is_harmless(soundmetal_here: Run, small_inspection: Path) -> None:
    name = "a\x1b]0;owned\x07\nsoundmetal: all is well\r.jpg"
    (small_inspection / "photos" / name).write_text("no picture")
    done = soundmetal_here("check", small_inspection)
    assert done.returncode == Exit.INCOMPLETE
    assert not set("\x1b\x07\r") & set(done.stdout)
    assert not [line for line in done.stdout.splitlines() if line.startswith("soundmetal")]


# --- where to write ---------------------------------------------------------------------------------------------


def test_outputs_that_cannot_be_are_told_before_any_work(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    (tmp_path / "folder.pdf").mkdir()
    before = fingerprint(small_inspection)
    record, photo = small_inspection / "inspection.yaml", small_inspection / "photos" / "floor left front.jpg"
    told: dict[tuple[object, ...], tuple[Exit, str]] = {
        ("--output", tmp_path / "folder.pdf"): (Exit.FOLDER, "is a folder, not a file"),
        ("--output", tmp_path / "nowhere" / "a.pdf"): (Exit.WRITE, "there is no folder"),
        ("--output", record): (Exit.USAGE, "holds something else and is not replaced"),
        ("--output", photo): (Exit.USAGE, "holds something else and is not replaced"),
        ("--output", tmp_path / "a.html", "--html"): (Exit.USAGE, "cannot be the PDF and the page"),
        ("--language", "xx"): (Exit.USAGE, 'no language "xx". There are: en, es.'),
        ("--units", "metrics"): (Exit.USAGE, 'no units "metrics". Did you mean "metric"?'),
    }
    for arguments, (code, what) in told.items():
        for command in ("report", "scope"):
            done = soundmetal_here(command, small_inspection, *arguments)
            assert done.returncode == code
            assert what in lines_of(done)[0]
    assert fingerprint(small_inspection) == before
    assert not (small_inspection / ".soundmetal").exists()
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == []


def test_another_reader_another_place_the_same_record(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    before = fingerprint(small_inspection)
    target = tmp_path / "to send.pdf"
    asked = ["--language", "es", "--units", "metric", "--html", "--output", target, "--json"]
    done = soundmetal_here("report", small_inspection, *asked)
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout) == {"written": [str(target), str(target.with_suffix(".html"))], "refused": []}
    text = " ".join(_pdf_text(target).split())
    assert "estribo" in text.lower()
    assert "32 cm" in text or "320 mm" in text
    assert str(PdfReader(target).root_object["/Lang"]) == "es"
    assert '<html lang="es"' in target.with_suffix(".html").read_text(encoding="utf-8")
    assert fingerprint(small_inspection) == before
    assert not (small_inspection / "report.pdf").exists()


@pytest.mark.parametrize("command", ["report", "scope"])
def test_same_folder_same_bytes_wherever_it_lies_and_whoever_asks(
    command: str, soundmetal_here: Run, soundmetal_command: Run, small_inspection: Path, tmp_path: Path
) -> None:
    soundmetal_here(command, small_inspection, "--html")
    first = [(small_inspection / f"{command}{suffix}").read_bytes() for suffix in (".pdf", ".html")]
    other = tmp_path / "elsewhere" / "car"
    shutil.copytree(small_inspection, other, ignore=shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html"))
    settings = {"TZ": "Pacific/Kiritimati", "LANG": "es_MX.UTF-8", "LC_ALL": "C", "PYTHONHASHSEED": "7"}
    done = soundmetal_command(command, "car/", "--html", cwd=other.parent, **settings)
    assert (done.returncode, done.stderr) == (0, "")
    assert [(other / f"{command}{suffix}").read_bytes() for suffix in (".pdf", ".html")] == first
    soundmetal_here(command, small_inspection, "--html")
    assert [(small_inspection / f"{command}{suffix}").read_bytes() for suffix in (".pdf", ".html")] == first


# --- the kernel says no -----------------------------------------------------------------------------------------


def _at_most(size: int) -> Callable[[], None]:
    """Let the kernel refuse files larger than this, as a full disk would."""
    return lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


def _without_privilege() -> None:
    """Drop what lets root read and write everything, so that permissions count (Linux; elsewhere one is no root)."""
    with contextlib.suppress(OSError, AttributeError):
        library = ctypes.CDLL(None)
        for capability in (1, 2):  # CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH; 24 is PR_CAPBSET_DROP
            library.prctl(24, capability, 0, 0, 0)


def test_disk_full_while_the_report_is_made_or_written(
    soundmetal_command: Run, soundmetal_here: Run, small_inspection: Path, fingerprint: Fingerprint
) -> None:
    before = fingerprint(small_inspection)
    report = small_inspection / "report.pdf"
    soundmetal_here("report", small_inspection)
    whole = report.read_bytes()
    told = {
        len(whole) - 1: "report.pdf: cannot write: File too large. Nothing was changed.",
        20_000: "no PDF: File too large. Make room for temporary files",
    }
    for room, what in told.items():
        done = soundmetal_command("report", small_inspection, before=_at_most(room))
        assert done.returncode == Exit.WRITE
        (line,) = lines_of(done)
        assert what in line
        assert report.read_bytes() == whole
    assert fingerprint(small_inspection) == before
    assert not list(small_inspection.glob(".*.part"))


def test_disk_full_while_photographs_and_record_are_written_and_then_room_again(
    soundmetal_command: Run, soundmetal_here: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    source = _noise(tmp_path / "phone", 3)
    before = fingerprint(small_inspection)
    done = soundmetal_command("add", small_inspection, source, "--zone", "cowl.top", before=_at_most(5_000))
    assert done.returncode == Exit.WRITE
    assert "File too large" in lines_of(done)[0]
    assert fingerprint(small_inspection) == before
    assert soundmetal_here("add", small_inspection, source).returncode == 0
    added = fingerprint(small_inspection)
    done = soundmetal_command("add", small_inspection, source, "--zone", "cowl.top", before=_at_most(300))
    assert done.returncode == Exit.WRITE
    assert fingerprint(small_inspection) == added
    assert soundmetal_here("add", small_inspection, source, "--zone", "cowl.top").returncode == 0
    assert {note.zone for note in store.read(small_inspection).inspection.photos.values()} == {"cowl.top"}


def test_files_that_may_not_be_read(
    soundmetal_command: Run, small_inspection: Path, fingerprint: Fingerprint
) -> None:
    before = fingerprint(small_inspection)
    photo, record = small_inspection / "photos" / "floor left front.jpg", small_inspection / "inspection.yaml"
    with _mode(photo, 0):
        done = soundmetal_command("check", small_inspection, "--json", before=_without_privilege)
    told = [one for one in json.loads(done.stdout) if one["where"] == photo.name]
    assert done.returncode == Exit.INCOMPLETE
    assert [one["what"] for one in told] == ["cannot be read: Permission denied"]
    with _mode(record, 0):
        done = soundmetal_command("report", small_inspection, before=_without_privilege)
    assert done.returncode == Exit.FOLDER
    assert "inspection.yaml: cannot read: Permission denied" in lines_of(done)[0]
    assert fingerprint(small_inspection) == before


def test_a_folder_that_may_not_be_written(
    soundmetal_command: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    source = _noise(tmp_path / "phone", 1)
    before = fingerprint(small_inspection)
    with _mode(small_inspection, 0o555), _mode(small_inspection / "photos", 0o555):
        for arguments in (["report", small_inspection], ["add", small_inspection, source]):
            done = soundmetal_command(*arguments, before=_without_privilege)
            assert done.returncode == Exit.WRITE
            assert len(lines_of(done)) == 1
        target = tmp_path / "elsewhere.pdf"
        done = soundmetal_command("report", small_inspection, "--output", target, before=_without_privilege)
        assert (done.returncode, done.stderr) == (0, "")
        assert target.read_bytes().startswith(b"%PDF")
    assert fingerprint(small_inspection) == before
    assert not (small_inspection / ".soundmetal").exists()


# --- killed, and two at once ------------------------------------------------------------------------------------

_STOP_AT = """
import os, sys, time
from soundmetal.cli import main
left = [int(sys.argv[1])]
def reached(handle, keep=os.fsync):
    left[0] -= 1
    if left[0]:
        return keep(handle)
    print("writing", flush=True)
    time.sleep(300)
os.fsync = reached
main(sys.argv[2:])
"""


def _ended_at(write: int, how: signal.Signals, *arguments: object) -> tuple[int, str]:
    """Run a command and end it when it has written its so-many-th file but not yet put it in place.

    Gives the exit code and what it told.
    """
    command = [sys.executable, "-c", _STOP_AT, str(write), *map(str, arguments)]
    process = subprocess.Popen(command, env=_environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "writing\n"
    process.send_signal(how)
    _out, told = process.communicate(timeout=60)
    return process.returncode, told


def test_ctrl_c_while_the_report_is_written_leaves_the_old_one_and_no_crumbs(small_inspection: Path) -> None:
    report = small_inspection / "report.pdf"
    report.write_bytes(b"%PDF-1.7 the old one")
    code, told = _ended_at(1, signal.SIGINT, "report", small_inspection)
    assert code == Exit.STOPPED
    assert told == "soundmetal: stopped. What was written until then is whole; run it again to do the rest.\n"
    assert report.read_bytes() == b"%PDF-1.7 the old one"
    assert sorted(path.name for path in small_inspection.iterdir()) == [
        ".soundmetal", "inspection.yaml", "photos", "report.pdf",
    ]  # fmt: skip


def test_killed_while_the_report_is_written_leaves_the_old_one_whole(
    soundmetal_here: Run, small_inspection: Path
) -> None:
    report = small_inspection / "report.pdf"
    report.write_bytes(b"%PDF-1.7 the old one")
    _ended_at(1, signal.SIGKILL, "report", small_inspection)
    assert report.read_bytes() == b"%PDF-1.7 the old one"
    assert soundmetal_here("report", small_inspection).returncode == 0
    assert PdfReader(report).pages


def test_killed_while_adding_leaves_whole_photographs_and_goes_on_the_next_time(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path
) -> None:
    source = _noise(tmp_path / "phone", 4)
    record = (small_inspection / "inspection.yaml").read_bytes()
    _ended_at(3, signal.SIGKILL, "add", small_inspection, source, "--zone", "cowl.top")
    there = sorted(path.read_bytes() for path in (small_inspection / "photos" / "arrived").glob("[!.]*"))
    assert there == sorted((source / name).read_bytes() for name in ("0.png", "1.png"))
    assert (small_inspection / "inspection.yaml").read_bytes() == record
    done = soundmetal_here("add", small_inspection, source, "--zone", "cowl.top")
    assert (done.returncode, done.stdout) == (0, "4 photographs added.\n")
    assert sorted(store.read(small_inspection).inspection.photos) == [f"phone/{number}.png" for number in range(4)]
    kept = [path.suffix for path in (small_inspection / "photos" / "arrived").iterdir()]
    assert sorted(kept) == [".csv", *[".png"] * 4]


def test_killed_while_the_record_is_written_leaves_the_old_one_whole(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path
) -> None:
    source = _noise(tmp_path / "phone", 1)
    record = (small_inspection / "inspection.yaml").read_bytes()
    _ended_at(
        4, signal.SIGKILL, "add", small_inspection, source, "--zone", "cowl.top"
    )  # photograph, list of arrivals, text before, record
    assert (small_inspection / "inspection.yaml").read_bytes() == record
    assert soundmetal_here("add", small_inspection, source, "--zone", "cowl.top").returncode == 0
    assert store.read(small_inspection).inspection.photos["phone/0.png"].zone == "cowl.top"


def test_two_who_add_at_once_lose_neither_photographs_nor_words(
    small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    sources = [_noise(tmp_path / name / "today", 3, seed) for name, seed in (("ana", 1), ("bo", 50))]
    zones = ["cowl.top", "firewall"]
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "soundmetal", "add", str(small_inspection), str(source), "--zone", zone],
            env=_environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for source, zone in zip(sources, zones, strict=True)
    ]
    ended = [(process.communicate(timeout=60), process.returncode) for process in running]
    assert ended == [(("3 photographs added.\n", ""), 0)] * 2
    record = store.read(small_inspection).inspection
    assert record.version == 3
    for source, zone in zip(sources, zones, strict=True):
        named = {photo.sha256: photo.name for photo in everything(small_inspection).photos}
        shown = [record.photos[named[digest]].zone for digest in fingerprint(source).values()]
        assert shown == [zone] * 3


def _noise(folder: Path, count: int, seed: int = 1) -> Path:
    """Make photographs of some ten kilobytes that differ from each other."""
    folder.mkdir(parents=True)
    for number in range(count):
        Image.frombytes("L", (110, 100), bytes((i * i + i * (seed + number)) % 251 for i in range(11_000))).save(
            folder / f"{number}.png", compress_level=0
        )
    return folder


@contextlib.contextmanager
def _mode(path: Path, mode: int) -> Iterator[None]:
    before = path.stat().st_mode & 0o777
    path.chmod(mode)
    try:
        yield
    finally:
        path.chmod(before)


def _pdf_text(path: Path) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def _close(text: str) -> str:
    """Leave blanks and line ends out: a page breaks its lines where it likes."""
    return "".join(text.split())


def _environment() -> dict[str, str]:
    home = str(Path(soundmetal.__file__).resolve().parents[1])
    return {**os.environ, "PYTHONPATH": home, "PYTHONIOENCODING": "utf-8", "NO_COLOR": "1"}

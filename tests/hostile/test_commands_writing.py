"""Places that cannot be written, a full disk, no permission: told in a line, nothing lost."""

from __future__ import annotations

import contextlib
import ctypes
import json
import shutil
from pathlib import Path

import pytest
from commanding import Fingerprint, Run, at_most, lines_of, mode_of, noise, pdf_text
from pypdf import PdfReader

from soundmetal.errors import Exit
from soundmetal.folder import store


# --- where to write ---
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
    text = " ".join(pdf_text(target).split())
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


# --- the kernel says no ---
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
        done = soundmetal_command("report", small_inspection, before=at_most(room))
        assert done.returncode == Exit.WRITE
        (line,) = lines_of(done)
        assert what in line
        assert report.read_bytes() == whole
    assert fingerprint(small_inspection) == before
    assert not list(small_inspection.glob(".*.part"))


def test_disk_full_while_photographs_and_record_are_written_and_then_room_again(
    soundmetal_command: Run, soundmetal_here: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    source = noise(tmp_path / "phone", 3)
    before = fingerprint(small_inspection)
    done = soundmetal_command("add", small_inspection, source, "--zone", "cowl.top", before=at_most(5_000))
    assert done.returncode == Exit.WRITE
    assert "File too large" in lines_of(done)[0]
    assert fingerprint(small_inspection) == before
    assert soundmetal_here("add", small_inspection, source).returncode == 0
    added = fingerprint(small_inspection)
    done = soundmetal_command("add", small_inspection, source, "--zone", "cowl.top", before=at_most(300))
    assert done.returncode == Exit.WRITE
    assert fingerprint(small_inspection) == added
    assert soundmetal_here("add", small_inspection, source, "--zone", "cowl.top").returncode == 0
    assert {note.zone for note in store.read(small_inspection).inspection.photos.values()} == {"cowl.top"}


def test_files_that_may_not_be_read(
    soundmetal_command: Run, small_inspection: Path, fingerprint: Fingerprint
) -> None:
    before = fingerprint(small_inspection)
    photo, record = small_inspection / "photos" / "floor left front.jpg", small_inspection / "inspection.yaml"
    with mode_of(photo, 0):
        done = soundmetal_command("check", small_inspection, "--json", before=_without_privilege)
    told = [one for one in json.loads(done.stdout) if one["where"] == photo.name]
    assert done.returncode == Exit.INCOMPLETE
    assert [one["what"] for one in told] == ["cannot be read: Permission denied"]
    with mode_of(record, 0):
        done = soundmetal_command("report", small_inspection, before=_without_privilege)
    assert done.returncode == Exit.FOLDER
    assert "inspection.yaml: cannot read: Permission denied" in lines_of(done)[0]
    assert fingerprint(small_inspection) == before


def test_a_folder_that_may_not_be_written(
    soundmetal_command: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    source = noise(tmp_path / "phone", 1)
    before = fingerprint(small_inspection)
    with mode_of(small_inspection, 0o555), mode_of(small_inspection / "photos", 0o555):
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

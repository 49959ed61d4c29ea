"""Stopped or killed in the middle of writing, and two at once: the old file or the new one, whole."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

from commanding import Fingerprint, Run, environment, noise
from pypdf import PdfReader

from soundmetal.errors import Exit
from soundmetal.folder import store
from soundmetal.photos.arrivals import everything

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
    process = subprocess.Popen(command, env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
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
    source = noise(tmp_path / "phone", 4)
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
    source = noise(tmp_path / "phone", 1)
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
    sources = [noise(tmp_path / name / "today", 3, seed) for name, seed in (("ana", 1), ("bo", 50))]
    zones = ["cowl.top", "firewall"]
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "soundmetal", "add", str(small_inspection), str(source), "--zone", zone],
            env=environment(),
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

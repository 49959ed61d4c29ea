"""Speed of the report, beside headless Chromium printing the same page. Run by hand: `./run bench`.

Twice: the sample as it is, and the sample with 60 photographs on its pages. Every round of a command is a process
of its own, as a person's is: cold without any copy of a photograph, warm when one word of a note has changed. Beside
it the step that both programs have: from the finished page, its pictures and fonts by address, to a PDF; ours in a
process that has done it once, Chromium's with all its processes, reaped here so that none of their time is lost.

The machine may be busy, so each has several rounds: printed are the least disturbed one, the middle one, and the
least processor time. Goals: 8 seconds cold and 4 warm for the sample; with 60 photographs 1.1 seconds of processor
time for every 20; less than Chromium takes.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import cycle
from pathlib import Path
from typing import Any

import yaml
from photo_sets import load
from PIL import Image, ImageOps
from pypdf import PdfReader

from soundmetal import pipeline
from soundmetal.paths import template_dir
from soundmetal.report.html import customer_html
from soundmetal.report.pdf import pdf_bytes

ROOT = Path(__file__).resolve().parents[2]
ROUNDS, PRINTED_ROUNDS = 3, 5
GOAL_COLD_S, GOAL_WARM_S = 8.0, 4.0
PHOTOGRAPHS, GOAL_PER_20_S = 60, 1.1
SAMPLE_PHOTOGRAPHS = 28
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
#: Linux: prctl(2), so that processes whose parent has ended become ours and their time is counted.
PR_SET_CHILD_SUBREAPER = 36


@dataclass(frozen=True)
class Lap:
    """Seconds by the clock, and seconds of processor time, of one process and all it started."""

    clock: float
    processor: float


def measured(line: Sequence[str], **settings: Any) -> Lap:
    """Run a process and measure it with all its children, those too that outlive their parent."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(line, stdout=subprocess.DEVNULL, check=True, timeout=300, **settings)
    clock = time.perf_counter() - began
    with contextlib.suppress(ChildProcessError):
        while True:
            os.waitpid(-1, 0)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return Lap(clock, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)


def command(*arguments: object) -> Lap:
    """Run one command of the tool in a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "inspect")}
    return measured([sys.executable, "-m", "soundmetal", *map(str, arguments)], env=environment)


def cold(folder: Path) -> Lap:
    """Time a report for which nothing has been prepared."""
    shutil.rmtree(folder / ".soundmetal", ignore_errors=True)
    return command("report", folder)


def warm(folder: Path) -> Lap:
    """Time a report after one word has changed."""
    record = folder / "inspection.yaml"
    text = record.read_text(encoding="utf-8")
    old, new = ("held water", "held rain") if "held water" in text else ("held rain", "held water")
    if old not in text:
        sys.exit("bench_report: the sample's note that it changes a word of is gone")
    record.write_text(text.replace(old, new), encoding="utf-8")
    return command("report", folder)


def sample(folder: Path, photographs: int = 0) -> None:
    """Copy the sample; with `photographs`, its findings get more pictures in turn until so many are on the pages.

    Those are its own JPEGs turned over, so that no program can take two of them for one.
    """
    left_out = shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html")
    shutil.copytree(ROOT / "sample_inspection", folder, ignore=left_out)
    if not photographs:
        return
    path = folder / "inspection.yaml"
    record = yaml.safe_load(path.read_text(encoding="utf-8"))
    pictures = sorted((folder / "photos").rglob("*.jpg"))
    shown = [finding for finding in record["findings"] if finding["seen"] != "sound"]  # what stays has no photograph
    missing = photographs - sum(len(finding["photos"]) for finding in shown)
    for number, finding in zip(range(missing), cycle(shown), strict=False):
        turn = (ImageOps.mirror, ImageOps.flip)[number // len(pictures)]
        with Image.open(pictures[number % len(pictures)]) as picture:
            turn(picture).save(folder / "photos" / f"more_{number:02}.jpg", quality=90)
        finding["photos"].append({"file": f"more_{number:02}.jpg"})
    path.write_text(yaml.safe_dump(record, sort_keys=False, allow_unicode=True), encoding="utf-8")


def page_of(folder: Path, target: Path) -> list[Path]:
    """Write the page that the PDF is made from, fonts and pictures by address; give what it may read."""
    loaded = pipeline.load(folder)
    pictures = pipeline.album_of(loaded)
    html = customer_html(pipeline.work_out(loaded, pictures), carries=True)
    fonts = (template_dir() / "fonts").as_uri()
    target.write_text(html.replace('url("fonts/', f'url("{fonts}/'), encoding="utf-8")
    return [template_dir(), *(photo.copy.path for photo in pictures.photos)]


def ours(page: Path, allowed: Sequence[Path], target: Path) -> Callable[[], Lap]:
    """Give a function that times our own step from that page to a PDF, done once before."""

    def printed() -> Lap:
        clock, processor = time.perf_counter(), time.process_time()
        target.write_bytes(pdf_bytes(page.read_text(encoding="utf-8"), allowed=allowed, base=template_dir()))
        return Lap(time.perf_counter() - clock, time.process_time() - processor)

    printed()
    return printed


def browser(page: Path, target: Path) -> Callable[[], Lap] | None:
    """Give a function that times Chromium printing the page; None where there is none."""
    path = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if path is None:
        return None
    line = [path, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    line += ["--allow-file-access-from-files", f"--user-data-dir={target.parent / 'profile'}"]
    line += [f"--print-to-pdf={target}", page.as_uri()]

    def printed() -> Lap:
        target.unlink(missing_ok=True)
        lap = measured(line, stderr=subprocess.DEVNULL)
        if not target.is_file():
            sys.exit("bench_report: the browser printed nothing")
        return lap

    printed()
    return printed


def holds(pdf: Path, photographs: int) -> str:
    """Say how many pages and pictures a PDF has; stop where a program left pictures out, as that is no work."""
    listed = subprocess.run(["pdfimages", "-list", pdf], capture_output=True, text=True, check=True).stdout
    shown = sum(line.split()[2] == "image" for line in listed.splitlines()[2:])
    if shown < photographs:
        sys.exit(f"bench_report: {pdf.name} holds {shown} of {photographs} photographs")
    return f"{len(PdfReader(pdf).pages)} pages, {shown} photographs, {pdf.stat().st_size / 1e6:.1f} MB"


def told(name: str, laps: list[Lap], goal: float | None = None) -> Lap:
    """Print the rounds of one; give the least of clock and processor."""
    best = Lap(min(lap.clock for lap in laps), min(lap.processor for lap in laps))
    middle = statistics.median(lap.clock for lap in laps)
    against = f"   goal {goal:.0f} s: {'met' if best.clock <= goal else 'missed'}" if goal else ""
    print(f"  {name:<36} {best.clock:6.2f} s   middle {middle:6.2f} s   processor {best.processor:6.2f} s{against}")
    return best


def printing(folder: Path, room: Path, photographs: int) -> None:
    """Tell how long the step from the page to the PDF takes, and how long Chromium needs for it, turn by turn."""
    page, mine, peer = room / "page.html", room / "ours.pdf", room / "chromium.pdf"
    one, other = ours(page, page_of(folder, page), mine), browser(page, peer)
    laps: list[Lap] = []
    theirs: list[Lap] = []
    for _ in range(PRINTED_ROUNDS):
        laps.append(one())
        theirs += [other()] if other else []
    best = told("page to PDF, ours", laps)
    per_20 = best.processor * 20 / photographs
    met = "met" if per_20 <= GOAL_PER_20_S else "missed"
    goal = f", goal {GOAL_PER_20_S} s: {met}" if photographs == PHOTOGRAPHS else ""
    print(f"    {holds(mine, photographs)}; {per_20:.2f} s of processor time for 20{goal}")
    if not theirs:
        print("  no Chromium here: no peer to compare with")
        return
    least = told("page to PDF, Chromium", theirs)
    print(f"    {holds(peer, photographs)}")
    clock, processor = best.clock / least.clock, best.processor / least.processor
    print(f"  ours to Chromium's: {clock:.2f} by the clock, {processor:.2f} by processor time, goal under 1")


def main() -> None:
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL(None).prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)
    with tempfile.TemporaryDirectory() as name:
        for title, count in (("The sample", 0), (f"The sample with {PHOTOGRAPHS} photographs", PHOTOGRAPHS)):
            room = Path(name) / str(count)
            folder = room / "car"
            sample(folder, count)
            print(f"{title}: {ROUNDS} rounds, every command a fresh process; {load()}")
            told("cold: no copies yet", [cold(folder) for _ in range(ROUNDS)], None if count else GOAL_COLD_S)
            told("warm: one word changed", [warm(folder) for _ in range(ROUNDS)], None if count else GOAL_WARM_S)
            printing(folder, room, count or SAMPLE_PHOTOGRAPHS)
        told("of every command, starting: --version", [command("--version") for _ in range(ROUNDS)])
        print(load())


if __name__ == "__main__":
    main()

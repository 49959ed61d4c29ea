"""Speed of the sample's report, beside headless Chromium printing the same page. Run by hand: `./run bench`.

Every round is a process of its own, as a person's command is: cold without any copy of a photograph, warm when one
word of a note has changed. The machine may be busy, so each has several rounds: printed are the least disturbed one,
the middle one, and the least processor time. Goals: 8 seconds cold, 4 seconds warm. Chromium gets the web page with
everything in it, and only prints.
"""

from __future__ import annotations

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
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 3
GOAL_COLD_S, GOAL_WARM_S = 8.0, 4.0
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")


@dataclass(frozen=True)
class Lap:
    """Seconds by the clock, and seconds of processor time, of one process."""

    clock: float
    processor: float


def measured(line: Sequence[str], **settings: Any) -> Lap:
    """Run a process and measure it."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(line, stdout=subprocess.DEVNULL, check=True, timeout=300, **settings)
    clock, after = time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
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


def browser(page: Path, target: Path) -> Callable[[], Lap] | None:
    """Give a function that times Chromium printing the page; None where there is none."""
    path = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if path is None:
        return None
    profile = target.parent / "profile"
    line = [
        path,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        f"--user-data-dir={profile}",
        "--no-pdf-header-footer",
    ]
    line += [f"--print-to-pdf={target}", page.as_uri()]

    def printed() -> Lap:
        target.unlink(missing_ok=True)
        lap = measured(line, stderr=subprocess.DEVNULL)
        if not target.is_file():
            sys.exit("bench_report: the browser printed nothing")
        return lap

    return printed


def told(name: str, laps: list[Lap], goal: float | None = None) -> Lap:
    """Print the rounds of one; give the least of clock and processor."""
    best = Lap(min(lap.clock for lap in laps), min(lap.processor for lap in laps))
    middle = statistics.median(lap.clock for lap in laps)
    against = f"   goal {goal:.0f} s: {'met' if best.clock <= goal else 'missed'}" if goal else ""
    print(f"{name:<32} {best.clock:6.2f} s   middle {middle:6.2f} s   processor {best.processor:6.2f} s{against}")
    return best


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "sample"
        shutil.copytree(
            ROOT / "sample_inspection", folder, ignore=shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html")
        )
        print(f"The sample's report, {ROUNDS} rounds each, every one a fresh process, {os.cpu_count()} processors")
        told("cold: no copies yet", [cold(folder) for _ in range(ROUNDS)], GOAL_COLD_S)
        ours = told("warm: one word changed", [warm(folder) for _ in range(ROUNDS)], GOAL_WARM_S)
        told("  of it starting: --version", [command("--version") for _ in range(ROUNDS)])
        command("report", folder, "--html")
        peer = browser(folder / "report.html", Path(name) / "peer.pdf")
        if peer is None:
            print("no Chromium here: no peer to compare with")
            return
        theirs = told("Chromium prints the same page", [peer() for _ in range(ROUNDS)])
        print(
            f"ratio, warm and all of it, to Chromium's printing alone: {ours.clock / theirs.clock:.2f} "
            f"by the clock, {ours.processor / theirs.processor:.2f} by processor time"
        )


if __name__ == "__main__":
    main()

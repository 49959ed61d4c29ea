"""Ask validators whether PDFs are what they say: PDF/A-3a, PDF/UA-1, whole. Run by hand, it is no part of the suite.

    python -m venv checking && checking/bin/pip install page-validation pdfua outloud
    checking/bin/python tests/bench/validate_pdf.py report.pdf scope.pdf

`page-validation` (MIT; says of itself that it passes the veraPDF corpus) judges both standards and is half a hundred
megabytes, so it is in no list of requirements. `pdfua` (16 of 106 rules) and `outloud` look at PDF/UA-1 from another
side, qpdf at the file itself. What is not installed is named. Ends with 1 where any of them finds a fault, and with 2
where none could be asked.
"""

from __future__ import annotations

import importlib
import importlib.util
import json
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

PROFILES = {"PDF/A-3a": "3a", "PDF/UA-1": "ua1"}
Verdicts = Iterator[tuple[str, bool, str]]


def by_page(path: Path) -> Verdicts:
    """Both standards by page-validation: what was judged, whether it holds, and the rules that do not."""
    page = importlib.import_module("page")
    for name, profile in PROFILES.items():
        report = page.validate_pdf(path, profile=profile)
        rules = Counter(failure.rule_id for failure in report.failures)
        told = ", ".join(f"{rule} ({count})" for rule, count in rules.most_common(8))
        yield name, report.is_compliant, told or f"{report.rules.total} rules"


def by_program(name: str, *arguments: str) -> Callable[[Path], Verdicts]:
    """Ask a program that ends with 0 where all is well; the last line that it prints is told."""

    def ask(path: Path) -> Verdicts:
        line = [str(program(name)), *arguments, str(path)]
        done = subprocess.run(line, capture_output=True, text=True, check=False)
        told = [one.strip() for one in (done.stdout + done.stderr).splitlines() if one.strip()]
        yield " ".join((name, *arguments)), done.returncode == 0, told[-1] if done.returncode and told else ""

    return ask


def by_pdfua(path: Path) -> Verdicts:
    """PDF/UA-1 by pdfua: errors and warnings count, what it could not look at is not."""
    line = [str(program("pdfua")), "check", "--format", "json", str(path)]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    try:
        found = json.dumps(json.loads(done.stdout))[:120] if done.returncode else ""
    except ValueError:
        found = done.stderr.strip()[:120]
    yield "pdfua", done.returncode == 0, found


def program(name: str) -> Path | None:
    """Find a program beside this Python or on the way."""
    beside = Path(sys.executable).parent / name
    found = str(beside) if beside.exists() else shutil.which(name)
    return Path(found) if found else None


def validators() -> dict[str, Callable[[Path], Verdicts] | None]:
    """Give who can be asked; None for one that is not installed."""
    asked: dict[str, Callable[[Path], Verdicts] | None] = {
        "pdfua": by_pdfua,
        "outloud": by_program("outloud", "--quiet", "--layer", "conformance"),
        "qpdf": by_program("qpdf", "--check"),
    }
    asked = {name: ask if program(name) else None for name, ask in asked.items()}
    return {"page-validation": by_page if importlib.util.find_spec("page") else None} | asked


def main(paths: list[Path]) -> int:
    """Judge every file and give the exit code."""
    asked = validators()
    for name, ask in asked.items():
        if ask is None:
            print(f"not installed: {name}")
    if not paths or not any(asked.values()):
        print(__doc__)
        return 2
    good = True
    for path in paths:
        for ask in filter(None, asked.values()):
            for name, holds, told in ask(path):
                good &= holds
                print(f"{path.name}: {name}: {'holds' if holds else 'FAILS'}{f' ({told})' if told else ''}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main([Path(argument) for argument in sys.argv[1:]]))

"""The packet's pages of sheets, of the order of work and of the calendar, and how jobs share pages."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
import runpy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from soundmetal.report.job import Job
from soundmetal.report.publish import write_pdf_of
from soundmetal.report.shop_order import order, wall
from soundmetal.report.shop_sheets import sheets
from soundmetal.report.shop_telling import shop_telling

_shop: dict[str, Any] = runpy.run_path(str(Path(__file__).with_name("test_shop.py")))
worked_out, poppler, squeezed = _shop["worked_out"], _shop["poppler"], _shop["squeezed"]


@pytest.fixture(scope="module")
def bench(job: Job) -> Job:
    made: Job = worked_out(job)
    return made


@pytest.fixture(scope="module")
def bench_with(job_with: Callable[..., Job]) -> Callable[..., Job]:
    return lambda **changes: worked_out(job_with(**changes))


@pytest.fixture(scope="module")
def pdf(bench: Job, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_pdf_of("scope", bench, tmp_path_factory.mktemp("plan") / "scope.pdf")


@pytest.fixture(scope="module")
def reader(pdf: Path) -> PdfReader:
    return PdfReader(pdf)


@pytest.fixture(scope="module")
def words(pdf: Path) -> str:
    found: str = squeezed(poppler("pdftotext", "-raw", pdf, "-"))
    return found


def test_the_wall_page_is_twice_the_paper_on_its_side(reader: PdfReader, pdf: Path) -> None:
    """Ledger is 17 x 11 in (ANSI/ASME Y14.1 size B), two letters side by side."""
    sizes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in reader.pages]
    assert sizes[-1] == pytest.approx((17 * 72, 11 * 72), abs=0.2)
    assert set(sizes[:-1]) == {sizes[0]}
    last = squeezed(poppler("pdftotext", "-raw", "-f", str(len(sizes)), pdf, "-"))
    assert "The work on the calendar" in last


def test_jobs_that_cut_nothing_share_a_page_and_are_never_parted(bench: Job, reader: PdfReader) -> None:
    shop = shop_telling(bench)
    small = [job for job in shop.jobs if job.small]
    assert len(small) > 2
    texts = [squeezed(page.extract_text()) for page in reader.pages]
    pages = {}
    for job in small:
        head = f"{job.number} {shop.panel_name(job.work.panel)} {job.method.value} {job.finding_list}"
        found = [n for n, text in enumerate(texts) if head in text and "Looked over by, date:" in text]
        assert len(found) == 1, head
        pages[job.number] = found[0]
    assert len(set(pages.values())) < len(small)


def test_the_calendar_tells_dates_once_the_start_is_known(bench_with: Callable[..., Job]) -> None:
    """From a Monday on, with the shop's own working week: no Saturday and no Sunday comes up."""
    shop = shop_telling(bench_with(starts=dt.date(2026, 11, 30)))
    told = order(shop)
    assert "November 30, 2026" in told.lead
    assert str(told.steps[0].days).replace("\u00a0", " ") == "Nov 30"
    assert "Dec 5" not in {str(step.days).replace("\u00a0", " ") for step in told.steps}
    rows = wall(shop).rows
    assert {row.number for row in rows if row.number} == {str(job.number) for job in shop.jobs}


def test_what_may_be_changed_is_said(bench: Job) -> None:
    told = order(shop_telling(bench))
    assert "Wax the cavities before the trim goes back." in told.may_change
    assert [step.spare for step in told.steps if step.critical] == [""] * sum(step.critical for step in told.steps)
    assert any(step.critical for step in told.steps)


def test_every_blank_lies_on_a_sheet_page_with_its_number(bench: Job, words: str) -> None:
    shop = shop_telling(bench)
    start = words.index("Sheets to cut", words.index("Lay out"))
    part = words[start : words.index("Order of work", start)]
    for job in shop.jobs:
        for name, _, made in job.pieces:
            if made is not None:
                assert re.search(rf"(?<![\d.]){re.escape(name)}(?![\d.])", part), name


def test_a_blank_larger_than_any_sheet_is_named_on_the_page(bench: Job) -> None:
    small = tuple(sheet.model_copy(update={"size": (300.0, 200.0)}) for sheet in bench.shop.sheets)
    told = sheets(shop_telling(dataclasses.replace(bench, shop=bench.shop.model_copy(update={"sheets": small}))))
    said = " ".join(str(note) for note in told.notes)
    assert "Larger than any sheet in the shop book: " in said
    assert re.search(r"\d+\.\d+ \(F\d+\)", said)


@pytest.mark.parametrize(("language", "units", "paper"), [("en", "us", "letter"), ("es", "metric", "A4")])
def test_a_job_that_cuts_stands_on_one_page(
    bench_with: Callable[..., Job], tmp_path: Path, language: str, units: str, paper: str
) -> None:
    job = bench_with(language=language, units=units, paper=paper)
    shop = shop_telling(job)
    reader = PdfReader(write_pdf_of("scope", job, tmp_path / "one.pdf"))
    # Readers differ in where they part the words of a heading that is set in two sizes.
    texts = ["".join(page.extract_text().split()) for page in reader.pages]
    end = "".join(shop.lang.translated("Looked over by, date:").split())
    for one in shop.jobs:
        if not one.small:
            head = f"{one.number}{shop.panel_name(one.work.panel)}{shop.method_word(one.method)}"
            assert any("".join(head.split()) in text and end in text for text in texts), head

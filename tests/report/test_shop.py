"""The shop's packet, worked out for the invented pickup and read back by readers that did not write it."""

from __future__ import annotations

import dataclasses
import io
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from soundmetal.errors import FolderError, UnknownName, WriteError
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method
from soundmetal.report.job import Job
from soundmetal.report.language import Language
from soundmetal.report.publish import write_page_of, write_pdf_of
from soundmetal.report.shop import shop_html
from soundmetal.report.shop_order import order
from soundmetal.report.shop_telling import shop_telling
from soundmetal.scope.work import all_aims

IN = 25.4  # exact: international yard and pound agreement, 1959


def worked_out(job: Job) -> Job:
    return dataclasses.replace(job, scopes=all_aims(job.inspection, job.body, job.shop, job.book, job.grades))


@pytest.fixture(scope="module")
def bench(job: Job) -> Job:
    return worked_out(job)


@pytest.fixture(scope="module")
def bench_with(job_with: Callable[..., Job]) -> Callable[..., Job]:
    return lambda **changes: worked_out(job_with(**changes))


@pytest.fixture(scope="module")
def pdf(bench: Job, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_pdf_of("scope", bench, tmp_path_factory.mktemp("shop") / "scope.pdf")


@pytest.fixture(scope="module")
def reader(pdf: Path) -> PdfReader:
    return PdfReader(pdf)


@pytest.fixture(scope="module")
def words(pdf: Path) -> str:
    return squeezed(poppler("pdftotext", "-raw", pdf, "-"))


def poppler(*command: str | Path) -> str:
    return subprocess.run(list(map(str, command)), capture_output=True, text=True, check=True).stdout


def squeezed(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00a0", " "))


def inches_of(text: str) -> float:
    """Read "10 1/4" back as a number."""
    return sum(eval_fraction(part) for part in text.split())


def eval_fraction(part: str) -> float:
    top, _, below = part.partition("/")
    return float(top) / float(below or 1)


def test_every_blank_is_there_in_inches_and_mm(words: str, bench: Job) -> None:
    """Read the cut list back: mm are the blank's rounded to 1, inches are within half of a sixteenth of it."""
    listed = words[words.index("Cut list") :]
    blanks = bench.scope.blanks
    assert blanks
    for blank in blanks:
        mm = f"{blank.width_mm:,.0f} × {blank.height_mm:,.0f} mm"
        found = re.search(rf"\d+\.\d+ ([\d/ ]+) × ([\d/ ]+) in {re.escape(mm)}", listed)
        assert found, mm
        wide, tall = (inches_of(part) for part in (found[1], found[2]))
        assert abs(wide * IN - blank.width_mm) <= IN / 32 + 0.5
        assert abs(tall * IN - blank.height_mm) <= IN / 32 + 0.5


def test_every_operation_is_there(words: str, bench: Job) -> None:
    shop = shop_telling(bench)
    for job in shop.jobs:
        start = words.index(
            f"{job.number} {shop.panel_name(job.work.panel)} {job.method.value}", words.index("Lay out")
        )
        page = words[start : words.index("Looked over by, date:", start)]
        for operation in job.work.operations:
            assert bench.shop.operations[operation.kind].name["en"] in page, (job.number, operation.kind)


def test_holds_and_cautions_come_first(words: str) -> None:
    parts = (
        "Shop scope", "1964 Larkspur Drover", "First: what waits", "Take care", "On every job", "The whole of it",
        "Jobs, in the order of work", "Cut list", "Lay out", "Not ours to cut", "Leave these alone", "Order of work",
    )  # fmt: skip
    places = [words.index(part) for part in parts]
    assert places == sorted(places)


def test_a_job_reads_in_the_order_of_work(words: str, bench: Job) -> None:
    shop = shop_telling(bench)
    cut = next(job for job in shop.jobs if job.pieces and job.method is not Method.REFER)
    page = words[words.index(f"Cut out {cut.number}.1") - 1500 :]
    parts = ("Held", f"Cut out {cut.number}.1", f"Blank {cut.number}.1:", "Where on the panel", "worked out from")
    places = [page.index(part) for part in parts]
    assert places == sorted(places)


def test_no_price_reaches_the_bench(reader: PdfReader, bench: Job) -> None:
    """Money stands on the office's own pages only, which are taken out; no other page has any."""
    pages = [squeezed(page.extract_text()) for page in reader.pages]
    office = [text for text in pages if "For the office" in text]
    assert any(bench.shop.currency == "USD" and "$" in text for text in office)
    for text in pages:
        if text not in office:
            assert not re.search(r"[$€£]|\bUSD\b", text)
            assert f"{bench.scope.total.likely:,.0f}" not in text


def test_nothing_certifies_the_car(words: str) -> None:
    assert "Nothing in this inspection certifies the car as safe" in words


def test_a_referred_job_says_who_decides(words: str, bench: Job) -> None:
    referred = [job for job in shop_telling(bench).jobs if job.method is Method.REFER]
    assert referred
    assert words.count("Released by the structural repairer (name, date):") == len(referred)
    assert "A qualified structural repairer decides here. Cut and weld nothing before that." in words


def test_the_pdf_is_tagged_bookmarked_and_dated(reader: PdfReader, bench: Job) -> None:
    catalog = reader.trailer["/Root"]
    assert catalog["/MarkInfo"]["/Marked"]
    assert catalog["/Lang"] == "en"
    assert "/StructTreeRoot" in catalog
    assert reader.metadata.title == "Shop scope, 1964 Larkspur Drover, November 18, 2026"
    assert reader.metadata.author == "Millrace Metalworks"
    marks = [item.title for item in flat(reader.outline)]
    shop = shop_telling(bench)
    assert [f"{job.number} {shop.panel_name(job.work.panel)}" for job in shop.jobs] == [
        m for m in marks if m in jobs(shop)
    ]


def flat(outline: list[object]) -> list[object]:
    return [leaf for item in outline for leaf in (flat(item) if isinstance(item, list) else [item])]


def jobs(shop: object) -> set[str]:
    return {f"{job.number} {shop.panel_name(job.work.panel)}" for job in shop.jobs}


def test_every_page_is_numbered(reader: PdfReader) -> None:
    count = len(reader.pages)
    for number, page in enumerate(reader.pages, start=1):
        assert f"page {number} of {count}" in squeezed(page.extract_text())


def test_fonts_are_embedded_and_pictures_carry_nothing(pdf: Path, reader: PdfReader) -> None:
    rows = poppler("pdffonts", pdf).splitlines()[2:]
    assert rows
    assert all(re.search(r"\byes\s+(yes|no)\s+(yes|no)\s+\d+\s+\d+$", row) for row in rows)
    pictures = [image.data for page in reader.pages for image in page.images]
    assert pictures
    for data in pictures:
        assert not Image.open(io.BytesIO(data)).getexif()
    assert b"Secretmaker" not in pdf.read_bytes()


def test_same_job_same_bytes(bench: Job, pdf: Path, tmp_path: Path) -> None:
    assert write_pdf_of("scope", bench, tmp_path / "again.pdf").read_bytes() == pdf.read_bytes()


@pytest.mark.parametrize(("paper", "width_pt"), [("letter", 612.0), ("A4", 595.3)])
def test_spanish_metric_on_both_papers(
    bench_with: Callable[..., Job], tmp_path: Path, paper: str, width_pt: float
) -> None:
    job = bench_with(language="es", units="metric", paper=paper)
    reader = PdfReader(write_pdf_of("scope", job, tmp_path / "es.pdf"))
    text = squeezed("\n".join(page.extract_text() for page in reader.pages))
    assert abs(float(reader.pages[0].mediabox.width) - width_pt) < 0.2
    assert "Primero: lo que espera" in text
    for blank in job.scope.blanks:
        assert re.search(rf"{blank.width_mm:.0f} × {blank.height_mm:.0f} mm", text.replace(",", "").replace(".", ""))


def test_the_whole_packet_finds_every_spanish_word(
    bench_with: Callable[..., Job], monkeypatch: pytest.MonkeyPatch
) -> None:
    missed: set[str] = set()
    find = Language._lookup

    def watch(self: Language, message: str, context: str | None) -> object:
        found = find(self, message, context)
        if (
            not found
            and context is None
            and message not in self.own_words
            and re.search(r"[a-z]{2}", re.sub(r"\{\w+\}", "", message))
        ):
            missed.add(message)
        return found

    monkeypatch.setattr(Language, "_lookup", watch)
    job = bench_with(language="es")
    for aim in Aim:
        shop_html(dataclasses.replace(job, inspection=job.inspection.model_copy(update={"aim": aim})))
    assert missed == set()


def test_what_people_wrote_is_escaped(bench: Job) -> None:
    html = shop_html(bench)
    assert "<script>" not in html
    assert "alert(&#34;x&#34;)&lt;/script&gt;" in html
    assert 'src="file:///etc/passwd"' not in html


def test_the_page_holds_everything_in_itself(bench: Job, tmp_path: Path) -> None:
    page = write_page_of("scope", bench, tmp_path / "scope.html").read_text(encoding="utf-8")
    assert 'src="data:image/jpeg;base64,' in page
    assert not re.search(r'(src|href)="(?!data:|#)', page)
    assert 'url("fonts/' not in page


def test_answers_release_and_stop_jobs(bench_with: Callable[..., Job]) -> None:
    job = bench_with(answers={"F01": {"reply": "yes"}, "F02": {"reply": "no"}, "F05": {"reply": "talk to me"}})
    shop = shop_telling(job)
    of = {finding: one for one in shop.jobs for finding in one.findings}
    assert shop.held(of["F01"]) == ()
    assert not shop.waits(of["F01"])
    assert [str(line) for line in shop.held(of["F02"])] == ["The owner has said no: F02. Do not begin."]
    assert (shop.waits(of["F05"]), shop.stops(of["F05"])) == ("owner wants to talk", True)
    assert (shop.waits(of["F04"]), shop.stops(of["F04"])) in (("no answer yet", False), ("structural repairer", True))
    assert shop.waits(of["F03"]) == "structural repairer"


def test_an_owner_who_says_yes_does_not_release_a_referred_job(bench_with: Callable[..., Job]) -> None:
    shop = shop_telling(bench_with(answers={"F03": {"reply": "yes"}}))
    rail = next(job for job in shop.jobs if "F03" in job.findings)
    assert shop.stops(rail)
    assert "structural repairer" in shop.held(rail)[0]


def test_a_sound_car_gives_an_empty_packet(bench_with: Callable[..., Job], tmp_path: Path) -> None:
    job = bench_with(findings=[])
    text = squeezed(PdfReader(write_pdf_of("scope", job, tmp_path / "sound.pdf")).pages[-1].extract_text())
    assert "There is no work to put in order." in text


def test_an_unknown_kind_names_the_known_ones(bench: Job, tmp_path: Path) -> None:
    with pytest.raises(UnknownName, match="scope"):
        write_pdf_of("scop", bench, tmp_path / "x.pdf")
    assert not list(tmp_path.iterdir())


def test_a_folder_in_the_way_is_named(bench: Job, tmp_path: Path) -> None:
    (tmp_path / "scope.pdf").mkdir()
    with pytest.raises((FolderError, WriteError), match=r"scope\.pdf"):
        write_pdf_of("scope", bench, tmp_path / "scope.pdf")


def test_the_order_holds_referred_cuts_but_not_getting_at_them(bench_with: Callable[..., Job]) -> None:
    shop = shop_telling(bench_with())
    referred = {job.finding_list for job in shop.jobs if job.method is Method.REFER}
    steps = [step for step in order(shop).steps if step.findings in referred and not step.away and step.hours]
    said = {str(step.hold) for step in steps if not str(step.words).startswith(("Get at", "Strip"))}
    assert said <= {"waits for a qualified structural repairer"}
    assert {str(step.hold) for step in steps if str(step.words).startswith(("Get at", "Strip"))} == {""}

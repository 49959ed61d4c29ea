"""One page a job: the reckoning of heights against pages as they are laid out, in both languages on both papers."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import pytest
import weasyprint
from fontTools.ttLib import TTFont
from markupsafe import Markup
from pypdf import PdfReader

from soundmetal import pipeline
from soundmetal.paths import template_dir
from soundmetal.record.terms import Paper, Units
from soundmetal.report import shop_fit
from soundmetal.report.html import Pages
from soundmetal.report.job import Job
from soundmetal.report.publish import write_pdf_of
from soundmetal.report.shop import STYLES, page_css
from soundmetal.report.shop_contexts import JobPage
from soundmetal.report.shop_fit import DENSE, ROOMY, TIGHT, Setting, drawn_mm, fits, heights, lines, room_on, width_mm
from soundmetal.report.shop_job import job_page
from soundmetal.report.shop_photos import SMALL_ROOM_MM, shop_photos
from soundmetal.report.shop_telling import ShopTelling, shop_telling

MM_PER_PX = 25.4 / 96  # a CSS pixel is 1/96 in, exact
PRINTS = [(code, paper) for code in ("en", "es") for paper in (Paper.LETTER, Paper.A4)]


@pytest.fixture(scope="module")
def sample(sample_inspection: Path, tmp_path_factory: pytest.TempPathFactory) -> Job:
    import shutil

    folder = tmp_path_factory.mktemp("fit") / "sample"
    shutil.copytree(sample_inspection, folder, ignore=shutil.ignore_patterns(".soundmetal"))
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


def printed(job: Job, code: str, paper: Paper) -> Job:
    units = Units.US if paper is Paper.LETTER else Units.METRIC
    changes = {"language": code, "paper": paper, "units": units}
    return replace(job, inspection=job.inspection.model_copy(update=changes))


@pytest.mark.checkout
@pytest.mark.parametrize(("code", "paper"), PRINTS)
def test_every_job_of_the_sample_is_one_page(sample: Job, tmp_path: Path, code: str, paper: Paper) -> None:
    job = printed(sample, code, paper)
    reader, shop = PdfReader(write_pdf_of("scope", job, tmp_path / "scope.pdf")), shop_telling(job)
    at = {name: reader.get_destination_page_number(one) for name, one in reader.named_destinations.items()}
    texts = [page.extract_text() for page in reader.pages]
    whole = [one for one in shop.jobs if not one.small]
    assert len({at[one.anchor] for one in whole}) == len(whole) > 3
    for one in whole:
        page = texts[at[one.anchor]]
        assert shop.lang.text("Done by, date:") in page, one.number
        assert all(at[other.anchor] != at[one.anchor] for other in shop.jobs if other is not one)
    more = shop.lang.translated("continued")
    assert not [text for text in texts if re.search(rf"^\d+ .*\({more}\)", text, re.MULTILINE)]
    office, cut = map(shop.lang.translated, ("For the office: what the price rests on", "Sheets to cut"))
    assert len(pages_with(office, texts)) == 1
    first, *others = pages_with(cut, texts)
    assert f"{cut} ({more})" not in first
    assert others
    assert all(f"{cut} ({more})" in text for text in others)


def pages_with(title: str, texts: Sequence[str]) -> list[str]:
    return [text for text in (" ".join(text.split()) for text in texts) if title in text]


def page_set(shop: ShopTelling, number: int, setting: Setting) -> JobPage:
    from soundmetal.report.shop_job import _page

    job = shop.jobs[number]
    page = _page(shop, job, setting)
    return replace(page, photos=shop_photos(shop, job, SMALL_ROOM_MM)) if setting is TIGHT else page


def laid_out_mm(shop: ShopTelling, page: JobPage) -> float:
    """The height of a job as it is laid out on a page without an end."""
    css = "\n".join((template_dir() / name).read_text(encoding="utf-8") for name in STYLES)
    endless = re.sub(r"size: (letter|A4);", lambda m: f"size: {'215.9mm' if m[1] == 'letter' else '210mm'} 900mm;",
                     page_css(shop))  # fmt: skip
    html = f"<style>{css}{endless}</style><body>{Pages(shop.lang).set('shop/job.html', page)}</body>"
    document = weasyprint.HTML(string=html, base_url=f"{template_dir()}/").render()
    body = document.pages[0]._page_box.children[0].children[0]
    assert len(document.pages) == 1
    return float(body.height) * MM_PER_PX


@pytest.mark.checkout
@pytest.mark.parametrize("setting", [DENSE, TIGHT], ids=["dense", "tight"])
@pytest.mark.parametrize(("code", "paper"), [("en", Paper.LETTER), ("es", Paper.A4)])
def test_the_reckoning_is_near_what_is_laid_out(sample: Job, code: str, paper: Paper, setting: Setting) -> None:
    """At most `spare_mm` too low, which is left free for it, and not so high that pages are set close for nothing."""
    shop = shop_telling(printed(sample, code, paper))
    for number, job in enumerate(shop.jobs):
        if not job.small:
            page = page_set(shop, number, setting)
            reckoned = sum(heights(page, room_on(paper, setting)).values())
            assert -setting.spare_mm <= reckoned - laid_out_mm(shop, page) <= 14.0, job.number


def test_letters_are_as_wide_as_the_font_file_says() -> None:
    """Advance widths read from the font's own tables by fontTools; kerning is the rest."""
    font = TTFont(template_dir() / "fonts" / "alegreya-sans-latin-400-normal.ttf")
    widths, letters = font["hmtx"], font.getBestCmap()
    words = "Tack wide apart"
    long = sum(widths[letters[ord(letter)]][0] for letter in words) / font["head"].unitsPerEm
    assert width_mm(words, 10.0) == pytest.approx(long * 10.0 * 25.4 / 72, rel=0.03)
    assert width_mm(Markup("<b>Tack</b> &amp; weld"), 10.0) == width_mm("Tack & weld", 10.0)


def test_lines_are_counted_from_the_words() -> None:
    assert lines("", 10.0, 50.0) == 0
    assert lines("short", 10.0, 50.0) == 1
    assert lines("word " * 60, 10.0, 100.0) > lines("word " * 60, 10.0, 190.0) >= 3


def test_a_drawing_says_how_high_it_is() -> None:
    assert drawn_mm(Markup('<svg xmlns="x" role="img" width="90mm" height="42.5mm" viewBox="0 0 1 1">')) == 42.5
    assert drawn_mm(Markup('<svg width="90mm" height="42mm">'), 0.5) == 21.0
    assert drawn_mm(Markup()) == 0.0


def test_settings_come_closer_step_by_step() -> None:
    assert ROOMY.row_mm > DENSE.row_mm > TIGHT.row_mm
    assert ROOMY.told[0] > DENSE.told[0] > TIGHT.told[0] >= 9.0


@pytest.fixture
def full(job_with: Callable[..., Job]) -> Callable[[int], tuple[ShopTelling, JobPage]]:
    """Give the page of a job that cuts, with as many operations as are wanted."""

    def make(count: int) -> tuple[ShopTelling, JobPage]:
        from soundmetal.scope.work import all_aims

        made = job_with()
        made = replace(made, scopes=all_aims(made.inspection, made.body, made.shop, made.book, made.grades))
        shop = shop_telling(made)
        one = next(job for job in shop.jobs if job.pieces)
        operations = (one.work.operations * count)[:count]
        return shop, job_page(shop, replace(one, work=replace(one.work, operations=operations)))

    return make


def test_the_more_there_is_the_closer_it_is_set(full: Callable[[int], tuple[ShopTelling, JobPage]]) -> None:
    order = [ROOMY.css, DENSE.css, TIGHT.css]
    found = [order.index(full(count)[1].setting) for count in (2, 14, 24)]
    assert found == sorted(found)
    assert found[0] == 0


def test_what_cannot_be_one_page_goes_on_under_its_own_name(
    full: Callable[[int], tuple[ShopTelling, JobPage]], tmp_path: Path
) -> None:
    shop, page = full(70)
    assert page.setting == DENSE.css
    assert not fits(page, room_on(Paper.LETTER, TIGHT))
    css = "\n".join((template_dir() / name).read_text(encoding="utf-8") for name in STYLES)
    html = f"<style>{css}{page_css(shop)}</style><body>{Pages(shop.lang).set('shop/job.html', page)}</body>"
    target = tmp_path / "long.pdf"
    weasyprint.HTML(string=html, base_url=f"{template_dir()}/").write_pdf(target)
    texts = [text.extract_text() for text in PdfReader(target).pages]
    assert len(texts) > 1
    title = f"{page.number} {page.panel} (continued)"
    assert title not in texts[0]
    assert all(title in " ".join(text.split()) for text in texts[1:])
    assert shop_fit.fits(page, replace(room_on(Paper.LETTER, DENSE), high_mm=2000.0))

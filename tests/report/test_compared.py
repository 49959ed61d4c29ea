"""Two states side by side on paper, of offers alone."""

from __future__ import annotations

import datetime as dt
import io

import pytest
from offers import an_offer
from pypdf import PdfReader

from soundmetal.record.changes import changes
from soundmetal.record.terms import Aim
from soundmetal.report.compared import Pair, PairSide, compared_html
from soundmetal.report.publish import pdf_of_pair

SENT = dt.date(2026, 11, 20)


def pair(before, after, number: int | None = None) -> Pair:
    sides = PairSide(before, 1, SENT), PairSide(after, number, SENT if number else None)
    return Pair(*sides, changes(before, after, Aim.SOUND), Aim.SOUND)


def flat(html: str) -> str:
    return " ".join(html.replace("\u00a0", " ").split())


def test_both_sides_and_the_difference(job) -> None:
    html = flat(compared_html(job, pair(an_offer(), an_offer(price=2000, marks=("a" * 16, "c" * 16)))))
    assert "report 1, sent on November 20, 2026" in html
    assert "today, not sent yet" in html
    assert "2 places are not the same." in html
    assert "F2, found more, dearer than was said" in html
    assert "$800 to $1,200" in html
    assert "$1,800 to $2,200" in html
    assert "about $1,000 more" in html
    assert an_offer().digest in html


def test_new_gone_and_unchanged_places(job) -> None:
    two, three = an_offer(), an_offer(marks=("a" * 16, "b" * 16, "c" * 16))
    more = flat(compared_html(job, pair(two, three, 2)))
    assert "F3, new" in more
    assert "not on the list" in more
    assert "As they were: zone.F1; zone.F2." in more
    less = flat(compared_html(job, pair(three, two)))
    assert "F3, off the list" in less
    assert "about $1,000 less, about 2.0 h less" in less
    assert "Nothing changed from one to the other." in flat(compared_html(job, pair(two, two)))


@pytest.mark.parametrize("code", ["en", "es"])
def test_a_pdf_of_a_page_in_the_record_s_language(job_with, code: str) -> None:
    job = job_with(language=code)
    data = pdf_of_pair(job, pair(job.offer, job.offer))
    pdf = PdfReader(io.BytesIO(data))
    assert len(pdf.pages) == 1
    assert pdf.trailer["/Root"]["/Lang"] == code
    assert data == pdf_of_pair(job, pair(job.offer, job.offer))

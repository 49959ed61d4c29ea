"""An amendment opens with what changed, shows the steel then and now, and asks for nothing else."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from after import ANSWERED, DAY, answers, offer_with, priced, without
from pypdf import PdfReader
from reading_level import count
from shown_text import prose, shown

from soundmetal.grade.models import Level
from soundmetal.record.changes import Why
from soundmetal.record.models import Inspection
from soundmetal.record.offer import Offer
from soundmetal.record.terms import Aim
from soundmetal.report.before import Before
from soundmetal.report.html import customer_html
from soundmetal.report.job import Job, asked_of
from soundmetal.report.pages.changed import as_before, changed
from soundmetal.report.pages.findings import finding_pages
from soundmetal.report.pages.photographs import newest_photograph
from soundmetal.report.publish import write_pdf_of
from soundmetal.report.telling import telling

#: A finding of the fixture's whose steel is spent, neither the best nor the worst.
SPENT = "F06"
ALL = tuple(f"F0{n}" for n in range(1, 8))


@pytest.fixture
def amended(job_with: Callable[..., Job]) -> Callable[..., Job]:
    """Give a function that makes a job whose owner answered another offer; `change` makes that of today's."""

    def make(change: Callable[[Offer], Offer], answered: tuple[str, ...] = ALL, **more: object) -> Job:
        job = job_with(answers=answers(*answered), **more)
        then = change(job.offer)
        graded = {one.finding.id: one for one in job.grades.findings}
        return dataclasses.replace(job, before=Before(1, DAY, ANSWERED, then, graded))

    return make


def worse(offer: Offer) -> Offer:
    return offer_with(offer, F01={"level": "surface", "mark": "0" * 16})


def fields(html: str) -> set[str]:
    return {name.split("-", 3)[3] for name in re.findall(r'name="(sm-[^"]+)"', html)}


def test_without_an_answer_and_with_the_same_offer_nothing_is_amended(job, amended) -> None:
    assert job.amended is None
    same = amended(lambda offer: offer)
    assert same.amended is None
    assert changed(telling(same)) is None
    assert as_before(telling(same)) is None
    assert asked_of(same) == same.offer.asked
    newer_day = amended(lambda offer: offer.model_copy(update={"date": dt.date(2026, 1, 1)}))
    assert newer_day.amended is None  # another digest, and yet nothing that an owner must hear of


@pytest.mark.parametrize("other", [{"currency": "EUR"}, {"inspection": "abcdef"}])
def test_another_currency_or_inspection_is_none_to_compare_with(amended, other: dict[str, str]) -> None:
    job = amended(lambda offer: worse(offer).model_copy(update=other))
    assert job.amended is None
    assert asked_of(job) == job.offer.asked


def test_what_is_asked_is_said(amended) -> None:
    assert "We ask you about these only." in changed(telling(amended(worse))).more
    assert "about what you have not answered yet." in changed(telling(amended(worse, answered=("F01",)))).more


def test_a_link_is_one_stretch_of_text(amended) -> None:
    """A link round several boxes becomes several links in a PDF, of which a reader aloud is told of one only."""
    links = re.findall(r"<a [^>]*>(.*?)</a>", customer_html(amended(worse, answered=("F01",))), re.DOTALL)
    assert len(links) > 5
    assert [text for text in links if "<" in text] == []


def test_who_stops_after_the_first_page_has_the_questions(amended, tmp_path: Path) -> None:
    pdf = PdfReader(write_pdf_of("report", amended(worse), tmp_path / "report.pdf"))
    first = " ".join(pdf.pages[0].extract_text().replace("\xa0", " ").split())
    assert "1 place is new or not as we told you." in first
    assert "Your answer to number" in first
    assert "What we would do" in first
    assert "when you answered" in first
    shown_on = {page.page_number for page in pdf.pages for one in page.get("/Annots", []) if field_of(one)}
    assert shown_on == {0, len(pdf.pages) - 1}  # the question, and the signature at the end


def field_of(annotation: Any) -> bool:
    return annotation.get_object().get("/Subtype") == "/Widget"


def test_only_what_changed_is_asked(amended) -> None:
    job = amended(worse)
    assert job.amended.ask == ("F01",)
    assert asked_of(job) == ("F01",)
    html = customer_html(job)
    assert fields(html) == {"reply-F01", "signed", "date"}
    page = changed(telling(job))
    assert [one.reference for one in page.findings] == ["F01"]
    assert page.still_open == ()
    assert "1 place is new or not as we told you" in page.lead
    assert "November 23, 2026" in page.lead
    assert html.index('class="changed"') < html.index('class="short page"')
    assert html.count("<h1") == 1


def test_what_was_never_answered_is_still_asked(amended) -> None:
    job = amended(worse, answered=("F01", "F02"))
    told = telling(job)
    assert asked_of(job) == tuple(name for name in job.offer.asked if name != "F02")
    assert {one.reference for one in changed(told).still_open} == set(job.offer.asked) - {"F01", "F02"}
    assert {page.reference for page in finding_pages(told)} == set(job.offer.asked) - {"F02"}
    assert all(not page.field for page in finding_pages(told))  # asked once, where the report begins
    assert fields(customer_html(job)) == {f"reply-{name}" for name in job.offer.asked if name != "F02"} | {
        "signed",
        "date",
    }


def test_earlier_answers_stand_in_one_line_each(amended) -> None:
    page = as_before(telling(amended(worse)))
    assert len(page.same) == 6
    assert all(line.answered == "You said yes on November 23, 2026." for line in page.same)
    assert "number 1, sent on November 20, 2026" in page.kept
    by_mouth = amended(worse)
    said = Inspection.model_validate(
        by_mouth.inspection.model_dump(by_alias=True) | {"answers": {"F02": {"reply": "talk to me"}}}
    )
    line = next(
        line
        for line in as_before(telling(dataclasses.replace(by_mouth, inspection=said))).same or ()
        if line.anchor == "finding-F02"
    )
    assert line.answered == "You asked to talk about this one."


def test_links_of_an_amendment_lead_somewhere(amended) -> None:
    html = customer_html(amended(worse))
    ids = re.findall(r'\bid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', html)) <= set(ids)


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ({"level": "surface", "mark": "0" * 16}, "It is worse than we told you."),
        ({"level": "unsafe", "mark": "0" * 16}, "not as bad as we told you"),
        ({"mark": "0" * 16}, "We know more of it now"),
    ],
)
def test_worse_better_or_only_better_known(amended, told: dict[str, str], why: str) -> None:
    job = amended(lambda offer: offer_with(offer, **{SPENT: told}))
    assert job.offer.findings[SPENT].level == Level.SPENT.value
    (one,) = changed(telling(job)).findings
    assert any(why in line for line in one.why)


def test_the_steel_then_and_now(amended) -> None:
    (one,) = changed(telling(amended(worse))).findings
    assert [steel.when for steel in one.steel] == ["when you answered", "now"]
    assert one.steel[0].level == "surface"
    assert one.steel[1].level != "surface"
    assert all("<svg" in steel.plate and "<title>" in steel.plate for steel in one.steel)


def test_a_new_place_has_no_then(amended) -> None:
    job = amended(lambda offer: without(offer, "F04"))
    assert job.amended.changed[0].why == (Why.NEW,)
    (one,) = changed(telling(job)).findings
    assert [steel.when for steel in one.steel] == ["now"]
    assert "We had not found it" in one.why[0]
    assert one.work == (one.work[0],)
    assert one.method.startswith("What we would do: let in a patch.")


def test_dearer_than_was_said_tells_both_and_the_difference(amended) -> None:
    job = amended(lambda offer: priced(offer, "F04", "0.5"))
    (one,) = changed(telling(job)).findings
    assert "costs more than the highest figure" in " ".join(one.why)
    now, then, more = one.work
    assert "$550 to $1,170" in now  # 690 x 0.8 and x 1.7, to the shop's tens
    assert "$280 to $590" in then
    assert "about $350 more" in more  # 690 - 345, half up to tens
    assert "as many hours as before" in more
    assert one.method.endswith(", as before.")


def test_another_method_names_both(amended) -> None:
    def treated(offer: Offer) -> Offer:
        aims = {}
        for aim, whole in offer.aims.items():
            panels = dict(whole.panels)
            name = offer.panel_of("F04", aim)
            panels[name] = panels[name].model_copy(update={"method": "treat"})
            aims[aim] = whole.model_copy(update={"panels": panels})
        return offer.model_copy(update={"aims": aims})

    (one,) = changed(telling(amended(treated))).findings
    assert one.method == "What we would do: let in a patch. Before, it was: treat the rust."


def test_a_place_that_is_off_the_list(amended) -> None:
    def one_more(offer: Offer) -> Offer:
        gone = offer.findings["F04"].model_copy(update={"zone": "cowl.top"})
        return offer.model_copy(update={"findings": {**offer.findings, "F99": gone}})

    job = amended(one_more)
    page = changed(telling(job))
    assert job.amended.gone == ("F99",)
    assert [line.name for line in page.gone] == ["Cowl"]
    assert page.gone[0].words == "No work was planned here."
    assert "We take 1 place off our list." in page.lead
    assert asked_of(job) == ()
    assert "We ask you nothing new." in page.more
    assert fields(customer_html(job)) == {"signed", "date"}


def test_what_it_adds_in_all(amended) -> None:
    def cheaper(offer: Offer) -> Offer:
        whole = offer.aims[Aim.SOUND]
        price = whole.price.model_copy(update={"likely": whole.price.likely - 1000})
        hours = whole.hours.model_copy(update={"likely": whole.hours.likely + 4})
        days = whole.days.model_copy(update={"likely": whole.days.likely - 2})
        aim = whole.model_copy(update={"price": price, "hours": hours, "days": days})
        return worse(offer.model_copy(update={"aims": {**offer.aims, Aim.SOUND: aim}}))

    page = changed(telling(amended(cheaper)))
    assert [row.more.replace("\u00a0", " ") for row in page.sums] == [
        "about $1,000 more",
        "about 4.0 h less",
        "about 2 days more",
    ]
    assert len(page.strips) == 2


@pytest.mark.parametrize("code", ["en", "es"])
def test_safety_is_told_where_it_is_asked(amended, code: str) -> None:
    job = amended(lambda offer: offer_with(offer, F03={"mark": "0" * 16}))
    told = telling(job, code)
    (one,) = changed(told).findings
    graded = next(g for g in told.told if g.finding.id == "F03")
    assert told.safety(graded)
    assert str(told.lang.text(graded.urgency)) in map(str, one.why)


def test_a_newer_photograph_is_shown(job_with, amended) -> None:
    first = job_with().inspection.findings[0]
    uses = [use.model_dump() for use in first.photos]
    assert len(uses) >= 1
    uses.append({"file": "tall.jpg", "when": "during", "caption": "opened up"})
    findings = [first.model_copy(update={"photos": ()}).model_dump() | {"photos": uses}]
    findings += [one.model_dump() for one in job_with().inspection.findings[1:]]
    told = telling(job_with(findings=findings))
    graded = next(g for g in told.told if g.finding.id == first.id)
    view = newest_photograph(told, graded.finding, told.zone(graded.zone_id))
    assert view.caption == "opened up"
    assert newest_photograph(told, first.model_copy(update={"photos": ()}), told.zone(first.zone)) is None


@pytest.mark.parametrize("code", ["en", "es"])
def test_every_word_of_an_amendment_is_in_the_readers_language(amended, code: str) -> None:
    blocks = shown(customer_html(amended(worse), code)).blocks
    assert any("23" in block and ("answered" in block) == (code == "en") for block in blocks)
    if code == "es":
        assert [block for block in blocks if "as before" in block or "when you answered" in block] == []


@pytest.mark.parametrize("code", ["en", "es"])
def test_an_amendment_is_easy_to_read(amended, code: str) -> None:
    """Flesch-Kincaid grade 8 or lower, Fernández Huerta 60 or higher, as for any page of an owner's."""
    blocks = prose(shown(customer_html(amended(worse), code)).blocks)
    found = count(blocks[: len(blocks) // 2], code)
    assert found.flesch_kincaid <= 8 if code == "en" else found.fernandez_huerta >= 60

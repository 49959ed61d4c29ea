"""What is told so that the figures of the places make those of the whole work."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal

import pytest
from after import amended, answers, priced

from soundmetal.record.terms import Reply
from soundmetal.report.job import Job
from soundmetal.report.pages.changed import changed
from soundmetal.report.pages.findings import introduction
from soundmetal.report.telling import telling


@pytest.fixture
def answered(job_with: Callable[..., Job]) -> Job:
    """A job whose owner was told something else of F01."""
    return amended(job_with(answers=answers(*(f"F0{n}" for n in range(1, 8)))))


def notes(job: Job) -> str:
    page = changed(telling(job))
    assert page is not None
    return " ".join(page.notes)


def test_a_place_that_grew_tells_both_sizes(answered: Job) -> None:
    assert answered.before is not None
    then = answered.before.graded["F01"]
    smaller = dataclasses.replace(then, finding=then.finding.model_copy(update={"size": (254.0, 25.4)}))
    before = dataclasses.replace(answered.before, graded={**answered.before.graded, "F01": smaller})
    why = [
        " ".join(one.why).replace("\u00a0", " ")
        for job in (dataclasses.replace(answered, before=before), answered)
        for one in changed(telling(job)).findings  # type: ignore[union-attr]
    ]
    assert "When you answered it was about 10 in by 1 in." in why[0]  # 254 mm and 25.4 mm, by definition of the inch
    assert "When you answered it was" not in why[1]


def test_the_parts_make_the_whole(answered: Job) -> None:
    """What the other places take less is told, or an owner who adds up would miss it."""
    assert answered.before is not None
    dearer = dataclasses.replace(answered.before, offer=priced(answered.before.offer, "F04", "1.1"))
    job = dataclasses.replace(answered, before=dearer)
    assert job.amended is not None
    assert job.amended.ask == ("F01",)
    assert "The other places together: about $70 less, as many hours as before." in notes(job)  # a tenth of 690
    assert "The other places" not in notes(answered)


@pytest.mark.parametrize(("tax", "told"), [("7.5", "Tax of 7.5"), ("0", "")])
@pytest.mark.parametrize("reply", [Reply.YES, Reply.NO])
def test_tax_and_what_was_refused_are_told_with_the_whole(answered: Job, tax: str, told: str, reply: Reply) -> None:
    given = answered.inspection.answers
    given = {**given, "F02": given["F02"].model_copy(update={"reply": reply})}
    job = dataclasses.replace(
        answered,
        shop=answered.shop.model_copy(update={"tax": Decimal(tax)}),
        inspection=answered.inspection.model_copy(update={"answers": given}),
    )
    whole = " ".join(introduction(telling(dataclasses.replace(job, before=None))))
    for said in (notes(job), whole):
        assert ("Tax of" in said) is bool(told)
        assert told in said
        assert ("those that you said no to" in said) is (reply is Reply.NO)
    assert "Tax of" not in " ".join(introduction(telling(job)))  # told once, where the report begins

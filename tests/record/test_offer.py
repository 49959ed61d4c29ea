from __future__ import annotations

from decimal import Decimal

import pytest
from offers import an_offer
from pydantic import ValidationError

from soundmetal.record.changes import Why, changes, holding
from soundmetal.record.models import Answer, Finding
from soundmetal.record.offer import Offer
from soundmetal.record.substance import mark_of, substance
from soundmetal.record.terms import Aim, Reply


def test_the_digest_names_what_was_asked() -> None:
    assert an_offer().digest == an_offer().digest
    assert len({an_offer().digest, an_offer(price=1001).digest, an_offer(method="treat").digest}) == 3
    assert Offer.model_validate_json(an_offer().text) == an_offer()


def test_what_is_left_alone_is_not_asked_about() -> None:
    assert an_offer().asked == ("F1", "F2")
    assert an_offer(method="leave").asked == ()


def test_nothing_changed() -> None:
    found = changes(an_offer(), an_offer())
    assert found.ask == ()
    assert found.same == ("F1", "F2")
    assert found.added[Aim.SOUND].price == (Decimal(0), Decimal(0), Decimal(0))


def test_each_reason_to_ask_again_is_named() -> None:
    more = changes(an_offer(), an_offer(marks=("a" * 16, "c" * 16, "d" * 16)))
    assert {one.finding: one.why for one in more.changed} == {"F2": (Why.FOUND,), "F3": (Why.NEW,)}
    assert more.changed[1].levels == ("", "spent")
    other = changes(an_offer(), an_offer(method="butt weld"))
    assert {one.why for one in other.changed} == {(Why.METHOD,)}
    assert {one.why for one in changes(an_offer(), an_offer(price=1201)).changed} == {(Why.PRICE,)}
    assert changes(an_offer(), an_offer(price=1200)).ask == ()  # still inside what was told
    assert changes(an_offer(), an_offer(marks=("a" * 16,))).gone == ("F2",)


def test_only_answers_to_what_stayed_the_same_hold() -> None:
    answers = {"F1": Answer(reply=Reply.YES), "F2": Answer(reply=Reply.NO)}
    now = an_offer(marks=("a" * 16, "c" * 16))
    assert holding(answers, an_offer(), now) == {"F1": answers["F1"]}
    assert holding(answers, an_offer(), an_offer()) == answers


def test_a_word_or_a_picture_more_does_not_change_what_was_found() -> None:
    plain = {"id": "F1", "zone": "rocker.left.outer", "seen": "holed", "size": "150 x 80 mm"}
    told = Finding.model_validate(plain | {"note": "worse than it looks", "photos": [{"file": "a.jpg"}]})
    same, larger = Finding.model_validate(plain), Finding.model_validate(plain | {"size": "151 x 80 mm"})
    assert substance(told) == substance(same)
    assert mark_of(told) == mark_of(same) != mark_of(larger)


@pytest.mark.parametrize("change", [{"currency": "dollars"}, {"layout": 2}, {"inspection": "../x"}, {"more": 1}])
def test_an_offer_of_another_kind_is_refused(change: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        Offer.model_validate(an_offer().model_dump() | change)

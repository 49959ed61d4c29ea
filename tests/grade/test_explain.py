from __future__ import annotations

import pytest

from soundmetal.errors import UnknownName
from soundmetal.grade.books import rule_book, rule_books
from soundmetal.grade.explain import explain_finding, explain_rule
from soundmetal.grade.finding import grade_finding
from soundmetal.grade.rules import rules
from soundmetal.record.terms import Basis


def test_a_finding_is_explained_with_its_numbers(make_finding, make_zone, reading, told):
    finding = make_finding(
        seen="scale",
        readings=[reading("0.75 mm")],
        reference=reading("1.0 mm"),
        mounting={"kind": "belt", "distance": "1 m"},
    )
    book = rule_book("uk")
    graded = grade_finding(finding, make_zone(role="load-bearing"), book, Basis.LIFT)
    text = told(explain_finding(graded, book))
    assert text[0] == "This place is spent, by rule G4."
    assert text[1].startswith("Measured, 0.25 of the metal is gone. From 0.2 on")
    assert "60.0 of 60 points: 0.25 of the metal is gone, and this part may lose 0.2." in text
    assert "18.0 of 25 points: what the part does for the car." in text
    assert f"Score {graded.score:.1f} of 100, only to rank findings." in text
    assert text[-3].startswith("Away from the mountings")


def test_a_near_mounting_is_named_in_the_score(make_finding, make_zone, told):
    finding = make_finding(seen="holed", mounting={"kind": "belt", "distance": "10 mm"})
    graded = grade_finding(finding, make_zone(role="floor"), rule_book("shop"), Basis.LIFT)
    assert "25.0 of 25 points: a mounting is near." in told(explain_finding(graded))


def test_sound_has_no_score_to_explain(make_finding, make_zone, told):
    finding = make_finding(seen="sound", repair={"kind": "butt weld", "state": "sound"})
    graded = grade_finding(finding, make_zone(), rule_book("shop"), Basis.LIFT)
    assert "What is sound has no score." in told(explain_finding(graded))


@pytest.mark.parametrize("rule_id", list(rules().by_id))
def test_every_rule_can_be_explained(rule_id, told):
    text = told(explain_rule(rule_id))
    assert text[0] == rules().by_id[rule_id].reason
    assert text[-1].startswith("Source (")


@pytest.mark.parametrize("book", rule_books(), ids=lambda book: book.id)
def test_every_sentence_of_a_rule_book_can_be_explained(book, told):
    for note_id, note in book.by_id.items():
        assert told(explain_rule(note_id, book))[0] == note.text


def test_an_unknown_rule_names_the_nearest():
    with pytest.raises(UnknownName, match=r'there is no rule "G44"\. Did you mean "G4"'):
        explain_rule("G44")
    with pytest.raises(UnknownName, match="There are: M1"):
        explain_rule("zzz")

from __future__ import annotations

import pytest

from soundmetal.data import DATA
from soundmetal.errors import SettingsError, UnknownName
from soundmetal.grade import books
from soundmetal.grade.books import BOOKS, RuleBook, rule_book, rule_books
from soundmetal.record.terms import RepairKind


def test_every_book_on_disk_is_known_and_the_default_is_first():
    assert sorted(BOOKS) == sorted(path.stem for path in (DATA / "rule_books").glob("*.yaml"))
    assert BOOKS[0] == "shop"


@pytest.mark.parametrize("book", rule_books(), ids=lambda book: book.id)
def test_a_book_is_whole(book):
    assert set(book.names) >= {"en", "es"}
    assert book.name("es") != book.name("en")
    assert book.name("fr") == book.name("en")
    count = len(book.refer) + len(book.limits) + len(book.notes) + len(book.cautions)
    assert len(book.by_id) == count
    assert all(note_id.startswith(f"{book.id}-") for note_id in book.by_id)
    assert all(note.text.endswith(".") for note in book.by_id.values())
    assert all(note.when for note in (*book.refer, *book.notes))
    assert book.cautions


@pytest.mark.parametrize("kind", [RepairKind.FILLER, RepairKind.FIBREGLASS, RepairKind.FOAM, RepairKind.TAPE])
def test_no_book_accepts_a_stop_gap_on_structure(kind):
    assert all(kind in book.not_accepted_on_structure for book in rule_books())


def test_an_unknown_book_names_the_nearest():
    with pytest.raises(UnknownName, match="There are: shop, uk, nz, us"):
        rule_book("fr")
    with pytest.raises(UnknownName, match='Did you mean "shop"'):
        rule_book("shopp")


def test_an_unknown_sentence_names_the_nearest():
    with pytest.raises(UnknownName, match='Did you mean "uk-patch"'):
        rule_book("uk").note("uk-pach")


def test_wrong_data_names_file_and_key(monkeypatch):
    plain = rule_book("uk").model_dump(mode="json") | {"mounting_distance_mm": -1}
    monkeypatch.setattr(books, "read_yaml", lambda _name: plain)
    with pytest.raises(SettingsError, match=r"uk.yaml, mounting_distance_mm"):
        rule_book.__wrapped__("uk")


def test_a_size_under_nothing_is_refused():
    with pytest.raises(ValueError, match="is not a size"):
        rule_book("nz").limits[0].reached(-1.0)


def test_a_book_keeps_what_it_was_given():
    book = rule_book("nz")
    assert RuleBook.model_validate(book.model_dump(mode="json")) == book

"""Folding of words, and the lexicon."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.errors import SettingsError
from soundmetal.photos import vocabulary as module
from soundmetal.photos.settings import settings
from soundmetal.photos.vocabulary import Hit, Lexicon, tokens, vocabulary

LEXICON = Lexicon(
    [("cab corner", "cab_corner"), ("corner", "cab_corner"), ("estribo", "rocker"), ("left", "left"), ("l", "left")],
    settings().tags,
)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Rocker-Left_outer", ("rocker", "left", "outer")),
        ("estribo del LADO izquierdo", ("estribo", "lado", "izquierdo")),
        ("Cabaña Ángulo ÜBER", ("cabana", "angulo", "uber")),
        ("IMG20261118x2", ("img", "20261118", "x", "2")),
        ("driver's side", ("driver", "s", "side")),
        ("  ", ()),
    ],
)
def test_tokens(text: str, words: tuple[str, ...]) -> None:
    assert tokens(text) == words


@given(st.text(max_size=60))
def test_folding_twice_changes_nothing(text: str) -> None:
    assert tokens(" ".join(tokens(text))) == tokens(text)


def test_the_longest_phrase_wins_and_joins_do_not_matter() -> None:
    assert LEXICON.exact(("cab", "corner", "left")) == [Hit("cab_corner", 0, 2, 1.0), Hit("left", 2, 3, 1.0)]
    assert LEXICON.exact(("cabcorner",)) == [Hit("cab_corner", 0, 1, 1.0)]


def test_likeness_is_one_wrong_letter_in_six_and_none_in_fewer() -> None:
    met = LEXICON.alike(("estrivo",), set())
    assert [(hit.meaning, round(hit.likeness, 3)) for hit in met] == [("rocker", 0.857)]
    assert LEXICON.alike(("lefd",), set()) == []
    assert LEXICON.alike(("extrivo",), set()) == []
    assert LEXICON.alike(("estrivo",), {0}) == []
    assert LEXICON.alike(("estrib2",), set()) == []


def test_the_shipped_vocabulary_is_valid() -> None:
    words = vocabulary()
    assert "sill" in words.families["rocker"]["en"]
    assert "estribo" in words.families["rocker"]["es"]
    assert set(words.sides) == {"left", "right"}


def test_a_wrong_vocabulary_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "read_yaml", lambda _name: {"families": {}, "sides": {}, "places": 3})
    vocabulary.cache_clear()
    try:
        with pytest.raises(SettingsError, match=r"vocabulary\.yaml, places"):
            vocabulary()
    finally:
        vocabulary.cache_clear()

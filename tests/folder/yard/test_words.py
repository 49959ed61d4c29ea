from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from soundmetal.folder.yard.words import LONGEST, folded, has_all, one_text, words_of


@given(st.text())
def test_folding_twice_changes_nothing(text: str) -> None:
    assert folded(folded(text)) == folded(text)


@given(st.text())
def test_case_and_accents_never_count(text: str) -> None:
    import unicodedata

    assert words_of(unicodedata.normalize("NFD", text)) == words_of(unicodedata.normalize("NFC", text))
    assert {word for word in words_of(text.upper()) if word.isascii()} >= {
        word for word in words_of(text) if word.isascii() and text.isascii()
    }


@given(st.lists(st.text(), max_size=5))
def test_every_word_of_a_text_is_found_by_each_of_its_beginnings(texts: list[str]) -> None:
    whole = one_text(texts)
    for text in texts:
        for word in words_of(text):
            assert all(has_all(whole, (word[:end],)) for end in range(1, len(word) + 1))


def test_what_is_no_word_parts_words() -> None:
    assert words_of("a_b-c.d'e\u202ef\ngñ\ud800") == ("a", "b", "c", "d", "e", "f", "gn")
    assert words_of("--- _ ' \u0301") == ()
    assert words_of("x" * 500) == ("x" * LONGEST,)

"""Every sentence that can reach a page is translated, nothing in the file is unused, and no field gets lost."""

from __future__ import annotations

import re
from typing import Any

import pytest
from messages import FIELD, MADE_UP, entries, ids, messages, named_in_data, strings

from soundmetal.record import terms
from soundmetal.report import language as spoken
from soundmetal.report.html import customer_html
from soundmetal.report.language import TRANSLATIONS, Language, languages
from soundmetal.report.sentences import sentences

OTHERS = [code for code in languages() if code != "en"]


@pytest.mark.parametrize("code", OTHERS)
def test_every_sentence_is_translated(code: str) -> None:
    translated = {one for entry in entries(code) if all(strings(entry)) and not entry.fuzzy for one in ids(entry)}
    assert sorted({*messages(), *named_in_data(code)} - translated) == []


@pytest.mark.parametrize("code", OTHERS)
def test_no_translation_is_left_over(code: str) -> None:
    wanted_here = {*messages(), *named_in_data(code)}
    assert sorted({one for entry in entries(code) for one in ids(entry)} - wanted_here) == []


@pytest.mark.parametrize("code", OTHERS)
def test_fields_survive_translation(code: str) -> None:
    for entry in entries(code):
        wanted_fields = set(FIELD.findall(" ".join(ids(entry))))
        for string in strings(entry):
            assert set(FIELD.findall(string)) <= wanted_fields, entry.id
        assert set(FIELD.findall(strings(entry)[-1])) == wanted_fields, entry.id


@pytest.mark.parametrize("code", OTHERS)
def test_no_sentence_stands_twice(code: str) -> None:
    text = (TRANSLATIONS / f"{code}.po").read_text(encoding="utf-8")
    seen = re.findall(r"((?:^msgctxt .*\n)?^msgid (?:\".*\"\n)+)", text, re.MULTILINE)
    assert len(seen) == len(set(seen))


@pytest.mark.parametrize("code", OTHERS)
def test_sentences_end_as_they_did(code: str) -> None:
    for entry in entries(code):
        for one, other in zip(ids(entry), strings(entry), strict=False):
            assert (one[-1:] in ".:" and one[-1:] == other[-1:]) or one[-1:] not in ".:", entry.id


@pytest.mark.parametrize("code", OTHERS)
def test_a_whole_report_finds_every_word(code: str, job, monkeypatch: pytest.MonkeyPatch) -> None:
    missed: set[str] = set()
    find = Language._lookup

    def watch(self: Language, message: str, context: str | None) -> Any:
        found = find(self, message, context)
        if not found and context is None and re.search(r"[a-z]{2}", FIELD.sub("", message)):
            missed.add(message)
        return found

    monkeypatch.setattr(Language, "_lookup", watch)
    customer_html(job, code)
    assert missed - MADE_UP == set()


@pytest.mark.parametrize("code", OTHERS)
def test_every_word_of_the_trade_is_told_in_its_own_tongue(code: str) -> None:
    lang = spoken.language(code, terms.Units.METRIC, "USD")
    same = {term for term in sentences().words if lang.word(term, "glossary") == term}
    assert same <= {"panel", "Ri, D610"}

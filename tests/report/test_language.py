"""Sentences: filled, escaped, translated, plural; unknown languages are named."""

from __future__ import annotations

import pytest
from markupsafe import Markup

from soundmetal.errors import RenderError, SettingsError
from soundmetal.grade.models import Spread, Step
from soundmetal.record.terms import Units
from soundmetal.report.formats import NBSP
from soundmetal.report.language import Language, language, languages, lower_first


@pytest.fixture
def en() -> Language:
    return language("en", Units.METRIC, "USD").with_zones({"rocker.left": "Left rocker", "pillar": "A-pillar foot"})


@pytest.fixture
def es() -> Language:
    return language("es", Units.METRIC, "USD").with_zones({"rocker.left": "Estribo izquierdo"}, {"paint": "pintura"})


def test_unknown_language_names_those_that_exist() -> None:
    with pytest.raises(SettingsError, match=r"There are: en, es"):
        language("xx", Units.US, "USD")
    assert set(languages()) == {"en", "es"}


def test_every_suffix_shows_its_value(en: Language) -> None:
    text = "{a_mm} {b_thick_mm} {c_mm2} {d_share} {e_pct} {f_h} {g_money} {h_count} {plain}"
    values = {"a_mm": 80, "b_thick_mm": 0.9, "c_mm2": 1200, "d_share": 0.6, "e_pct": 33, "f_h": 2.5, "g_money": 90,
              "h_count": 1200, "plain": "x"}  # fmt: skip
    said = str(en.sentence(Step(text, values, ""))).replace(NBSP, " ")
    assert said == "80 mm 0.90 mm 12 cm² 60 % 33 % 2.5 h US$90 1,200 x"


def test_bare_names_go_by_their_suffix_too(en: Language) -> None:
    assert str(en.text("{share} of it", share=0.25)).replace(NBSP, " ") == "25 % of it"


def test_values_and_sentences_are_escaped(en: Language) -> None:
    said = en.text('A & "{note}"', note="<script>alert('x')</script> {other} ñ")
    assert isinstance(said, Markup)
    assert "<script" not in said
    assert "&lt;script&gt;" in said
    assert "{other} ñ" in said
    assert "A &amp; " in said


def test_markup_is_not_escaped_twice(en: Language) -> None:
    inner = en.text("a & b")
    assert en.text("[{inner}]", inner=inner) == "[a &amp; b]"


def test_a_missing_value_is_an_error(en: Language) -> None:
    with pytest.raises(RenderError, match=r"no value for \{here\}"):
        en.text("It is {here}.")


def test_zones_stand_in_lower_case_inside_a_sentence(en: Language, es: Language) -> None:
    assert en.text("{panel_zone}: sound.", panel_zone="rocker.left") == "Left rocker: sound."
    assert en.text("Strip {panel_zone}.", panel_zone="rocker.left") == "Strip left rocker."
    assert en.text("Strip it. {panel_zone} is next.", panel_zone="rocker.left") == "Strip it. Left rocker is next."
    assert en.text("At {panel_zone}.", panel_zone="pillar") == "At A-pillar foot."
    assert "estribo izquierdo" in es.text("Get at {panel_zone}.", panel_zone="rocker.left")
    assert lower_first("A") == "A"


def test_the_same_word_means_two_things(es: Language) -> None:
    assert es.word("sound", "level") == "sano"
    assert es.word("sound", "aim") == "fuerte y prolijo"
    assert es.text("It makes a place {level_word}.", level_word="spent") == "Hace que un lugar se llame consumido."
    assert es.word("paint") == "pintura"


def test_plurals(en: Language, es: Language) -> None:
    one, many = "We found rust in {count} place.", "We found rust in {count} places."
    assert [str(en.plural(one, many, n)) for n in (1, 2)] == [
        "We found rust in 1 place.",
        "We found rust in 2 places.",
    ]
    assert str(es.plural(one, many, 1)) == "Encontramos óxido en 1 lugar."
    assert str(es.plural(one, many, 0)) == "Encontramos óxido en 0 lugares."


def test_what_has_no_translation_stays_english(es: Language) -> None:
    assert es.text("No such sentence, ever.") == "No such sentence, ever."


def test_sentences_that_differ_by_zone_are_said_once(en: Language) -> None:
    steps = [Step("{panel_zone}: thin.", {"panel_zone": zone}, "") for zone in ("rocker.left", "pillar", "floor")]
    steps.append(Step("{panel_zone}: thin.", {"panel_zone": "x", "n": 1}, ""))
    assert en.grouped(steps) == ("Left rocker; A-pillar foot; floor: thin.", "x: thin.")
    assert en.grouped(steps, most=1)[0] == "3 parts: thin."


def test_hours(en: Language) -> None:
    assert en.hours_range(Spread(8.0, 12.0, 20.4)) == "8 to 20 hours"
    assert en.hours_range(Spread(0.9, 1.0, 1.3)) == "0.9 to 1.3 hours"
    assert en.hours_range(Spread(1.0, 1.0, 1.0)) == "about 1.0 hours"

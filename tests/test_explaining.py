from __future__ import annotations

from pathlib import Path

import pytest

from soundmetal import pipeline
from soundmetal.errors import RecordError, UnknownName, UsageError
from soundmetal.explaining import Section, explain
from soundmetal.grade.books import rule_books
from soundmetal.grade.rules import rules


def told(sections: tuple[Section, ...]) -> str:
    return "\n".join(line for section in sections for line in (section.title, *section.lines))


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_rule_says_why_and_where_it_comes_from(language: str, tmp_path: Path) -> None:
    assert [rule.id for rule in rules().levels] == [f"G{number}" for number in range(1, 10)]
    for rule in rules().levels:
        (section,) = explain(rule.id, tmp_path, language)
        assert section.title == rule.id
        assert len(section.lines) >= 2
        assert explain(rule.id.lower(), tmp_path, language) == (section,)
        assert ("Source" in told((section,))) == (language == "en"), rule.id


def test_every_rule_for_methods_says_why_and_where_it_comes_from(tmp_path: Path) -> None:
    for number in range(1, 10):
        (section,) = explain(f"r{number}", tmp_path)
        assert section.title == f"R{number}"
        assert section.lines[-1].startswith("Source (")
        assert len(section.lines) == 2
    (spanish,) = explain("R8", tmp_path, "es")
    assert spanish.lines != explain("R8", tmp_path)[0].lines


def test_the_price_tells_what_drives_it_the_largest_first(small_inspection: Path) -> None:
    (section,) = explain("price", small_inspection)
    shares = [int(line.split(": ")[-1].split("%")[0]) for line in section.lines[:-1]]
    assert shares == sorted(shares, reverse=True)
    assert len(shares) >= 3
    assert "a deposit of $" in section.lines[-1]


def test_every_rule_book_gives_its_sentences_with_their_source(tmp_path: Path) -> None:
    for book in rule_books():
        section = explain(book.id, tmp_path)[-1]
        assert [line.split(":")[0] for line in section.lines] == [note.id for note in book.notes]
        assert all(f"({note.source})" in line for note, line in zip(book.notes, section.lines, strict=True))


def test_shop_prints_the_defaults_as_they_are_written(tmp_path: Path) -> None:
    section, _rules = explain("shop", tmp_path)
    assert any(line.startswith("operations:") for line in section.lines)
    assert any("common practice" in line for line in section.lines)


def test_a_finding_tells_level_method_hours_and_price_with_numbers(small_inspection: Path) -> None:
    level, method, made, hours, price = explain("f1", small_inspection)
    assert level.title == "F1, Left outer rocker: spent"
    assert any("G3" in line for line in level.lines)
    assert any("Score" in line for line in level.lines)
    names = [line.split(":")[0] for line in method.lines[1:]]
    assert "treat" in ", ".join(names)
    assert made.title == "How it is made and joined"
    assert made.lines[0].startswith("Made here")
    assert made.lines[1].startswith("Edge to edge")
    assert " hours" in hours.title
    assert price.title.startswith("$")
    assert price.lines == ()
    loaded = pipeline.load(small_inspection)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded))
    work = next(one for one in job.scope.panels if one.panel == "rocker.left.outer")
    assert [line.split(":")[0] for line in hours.lines] == [one.kind for one in work.operations]
    for line, one in zip(hours.lines, work.operations, strict=True):
        assert f"{one.hours.low:.2f} / {one.hours.likely:.2f} / {one.hours.high:.2f} h" in line
        assert line.endswith(f"({one.source})")
    lost = sum(len(line.split(": ")[0].split("), ")) or 1 for line in method.lines[1:])
    assert 1 <= lost <= len(work.choice.losers)


def test_methods_that_lost_for_one_reason_share_a_line(small_inspection: Path) -> None:
    _level, method, *_rest = explain("F1", small_inspection)
    reasons = [line.split(": ", 1)[1] for line in method.lines[1:]]
    assert len(reasons) == len(set(reasons))


def test_what_is_left_alone_has_no_hours_and_no_price(small_inspection: Path) -> None:
    path = small_inspection / "inspection.yaml"
    text = path.read_text(encoding="utf-8").replace(
        "seen: surface", "seen: sound\n    repair: {kind: butt weld, state: sound}"
    )
    path.write_text(text, encoding="utf-8")
    sections = explain("F2", small_inspection)
    assert [section.title for section in sections] == ["F2, Left front floor pan: sound", "leave"]


def test_the_readers_language_is_kept_to(small_inspection: Path) -> None:
    spanish = told(explain("F1", small_inspection, "es"))
    assert spanish != told(explain("F1", small_inspection))
    assert "Estribo" in spanish
    with pytest.raises(UsageError, match="There are: en, es"):
        explain("F1", small_inspection, "xx")


def test_unknown_names_suggest_the_nearest_or_name_all(small_inspection: Path, tmp_path: Path) -> None:
    with pytest.raises(UnknownName, match=r'no finding, rule or rule book "G1O".*Did you mean "G1"'):
        explain("G1O", small_inspection)
    with pytest.raises(
        UnknownName, match=r"There are: F1, F2, G1, .*G9, R1, .*R9, shop, uk, nz, us, price, learning\.$"
    ):
        explain("zzzz", small_inspection)
    with pytest.raises(UnknownName, match="for a finding name its folder as well"):
        explain("zzzz", tmp_path)


def test_a_broken_record_is_told_as_everywhere(small_inspection: Path) -> None:
    (small_inspection / "inspection.yaml").write_text("soundmetal: [", encoding="utf-8")
    with pytest.raises(RecordError, match=r"inspection\.yaml, line 1"):
        explain("F1", small_inspection)


def test_a_section_for_programs() -> None:
    assert Section("a", ("b", "c")).as_dict() == {"title": "a", "lines": ("b", "c")}

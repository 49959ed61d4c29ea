"""Sources: each says how far it was seen; an unknown one is answered with the nearest."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from soundmetal.errors import SettingsError, UnknownName
from soundmetal.handbook import sources
from soundmetal.handbook.precedents import precedents
from soundmetal.handbook.sources import Confidence, Source, source


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    path = tmp_path / "sources.toml"
    monkeypatch.setattr(sources, "FILE", path)
    sources.sources.cache_clear()
    yield path
    sources.sources.cache_clear()


@pytest.mark.parametrize("one", sources.sources(), ids=lambda one: one.id)
def test_every_source_can_be_cited(one: Source) -> None:
    assert one.title
    assert one.clause
    assert isinstance(one.confidence, Confidence)
    assert one.confidence.value in str(one)
    assert "()" not in str(one)


def test_no_standard_is_called_read_that_was_only_copied() -> None:
    """The five standards whose text was not seen: only copies, tables and quotations of them."""
    for name in ("iso-4628-3", "iso-9223", "iso-9224", "iso-12944-2", "asme-b31g"):
        assert source(name).confidence is Confidence.SECOND_HAND


def test_an_unknown_source_is_answered_with_the_nearest() -> None:
    with pytest.raises(UnknownName, match=r'no source "iso-9233". Did you mean "iso-9223"'):
        source("iso-9233")


def test_a_source_reads_as_one_line() -> None:
    made = Source("x", "A table", "2012", "Table 1", Confidence.MEMORY)
    assert str(made) == "A table (2012), Table 1, from memory"


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('[x]\ntitle = "t"\nedition = ""\nclause = "c"\nconfidence = "sure"\n', "sources.toml, x: is not a source"),
        ('[x]\ntitle = "t"\nconfidence = "from memory"\n', "sources.toml, x: is not a source"),
        (
            '[x]\ntitle = "t"\nedition = ""\nclause = "c"\nconfidence = "from memory"\npage = "3"\n',
            "sources.toml, x: is not a source",
        ),
        ("[x\n", "sources.toml: cannot read"),
    ],
)
def test_a_broken_list_is_told_by_its_place(file: Path, text: str, what: str) -> None:
    file.write_text(text, encoding="utf-8")
    with pytest.raises(SettingsError) as caught:
        sources.sources()
    assert str(caught.value).startswith(what)


def test_precedents_name_the_field_they_were_written_for() -> None:
    """A report that borrows a limit must be able to say: written for ships, bridges or pipelines."""
    for one in precedents():
        assert 0 < one.value <= 1
        assert one.source.note
        assert one.meaning
    assert len({one.id for one in precedents()}) == len(precedents())

"""Tables: a broken one is told by file, line and column; those that ship are whole."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from soundmetal.errors import SettingsError
from soundmetal.handbook import reading, sources

TABLES = sorted(path.stem for path in reading.HERE.glob("*.csv"))


@pytest.fixture
def table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setattr(reading, "HERE", tmp_path)
    reading.rows.cache_clear()
    yield tmp_path / "made_up.csv"
    reading.rows.cache_clear()


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("mm,kg\n1,x\n", 'made_up.csv, line 2, kg: "x" is not a number'),
        ("mm,kg\n1,2\n3,\n", "made_up.csv, line 3, kg: is empty"),
        ("mm,kg\n1,nan\n", 'made_up.csv, line 2, kg: "nan" is not a finite number'),
        ("mm,kg\n1,2.5\n", "made_up.csv, line 2, kg: 2.5 is not a whole number"),
        ("mm\n1\n", "made_up.csv, line 2, kg: is empty"),
        ("mm,kg\n1,2,3\n", "made_up.csv, line 2: has more or fewer cells"),
        ("mm,kg\n1\n", "made_up.csv, line 2: has more or fewer cells"),
        ("mm,kg\n", "made_up.csv: has no rows"),
    ],
)
def test_a_broken_table_is_told_by_its_place(table: Path, text: str, what: str) -> None:
    table.write_text(text, encoding="utf-8")
    with pytest.raises(SettingsError) as caught:
        [row.integer("kg") for row in reading.rows("made_up")]
    assert str(caught.value).startswith(what)


def test_a_missing_or_unreadable_table(table: Path) -> None:
    with pytest.raises(SettingsError, match=r"made_up.csv: cannot read"):
        reading.rows("made_up")
    table.write_bytes(b"mm\n\xff\xfe\n")
    with pytest.raises(SettingsError, match=r"made_up.csv: cannot read"):
        reading.rows("made_up")


def test_cells_that_may_be_empty(table: Path) -> None:
    table.write_text("mm,kg\n1,\n2,3.5\n", encoding="utf-8")
    assert [row.number_or_none("kg") for row in reading.rows("made_up")] == [None, 3.5]


@pytest.mark.parametrize("name", TABLES)
def test_every_table_has_a_source(name: str) -> None:
    assert sources.sources_of(name)
    assert reading.rows(name)


def test_every_table_that_a_source_names_exists() -> None:
    assert sorted({name for one in sources.sources() for name in one.tables}) == TABLES


def test_the_tables_asked_for_are_there() -> None:
    wanted = "iso_4628_3 astm_d610 iso_9223 iso_9224 gauge precedents spot_spacing mag_settings tig_settings wire"
    assert set(wanted.split()) | {"iso_5817", "kerf"} <= set(TABLES)

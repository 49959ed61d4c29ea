from __future__ import annotations

import contextlib
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.errors import ChangedMeanwhile, FolderError, RecordError
from soundmetal.folder import store, yaml_text
from soundmetal.folder.store import Change
from soundmetal.folder.yaml_text import MAX_DEPTH


def comments(text: str) -> list[str]:
    return re.findall(r"#.*", text)


def test_reads_record_with_units_made_metric(folder: Path) -> None:
    inspection = store.read(folder).inspection
    assert inspection.findings[0].size == (320.0, 60.0)
    assert inspection.findings[1].size == pytest.approx((152.4, 101.6))


def test_knows_the_line_of_every_part(folder: Path) -> None:
    stored = store.read(folder)
    lines = stored.text.splitlines()
    assert lines[stored.place("findings", 0, "size").line - 1].strip().startswith("size: 320")
    assert lines[stored.place("zones", "cowl.top").line - 1].strip().startswith("cowl.top")


def test_change_keeps_every_comment_and_counts_up(folder: Path) -> None:
    before = store.read(folder).text
    store.change(folder, [Change(("findings", "F1", "note"), "trim taken off")])
    after = store.read(folder)
    assert comments(after.text) == comments(before)
    assert after.inspection.version == 4
    assert after.inspection.findings[0].note == "trim taken off"


def test_change_touches_only_the_lines_it_is_for(folder: Path) -> None:
    before = store.read(folder).text.splitlines()
    after = store.change(folder, [Change(("findings", "F2", "seen"), "gone")]).text.splitlines()
    changed = [line for line in after if line not in before]
    assert changed == ["version: 4", "    seen: gone"]


def test_two_editors_of_different_fields_both_win(folder: Path) -> None:
    store.change(folder, [Change(("findings", "F1", "seen"), "gone", was="holed")])
    store.change(folder, [Change(("findings", "F1", "note"), "seen from below", was="runs on behind the trim")])
    finding = store.read(folder).inspection.findings[0]
    assert (finding.seen.value, finding.note) == ("gone", "seen from below")


def test_second_editor_of_the_same_field_is_told(folder: Path) -> None:
    store.change(folder, [Change(("findings", "F1", "note"), "mine", was="runs on behind the trim")])
    with pytest.raises(ChangedMeanwhile, match='changed it to "mine" meanwhile'):
        store.change(folder, [Change(("findings", "F1", "note"), "yours", was="runs on behind the trim")])
    assert store.read(folder).inspection.findings[0].note == "mine"


def test_change_that_would_spoil_the_record_changes_nothing(folder: Path) -> None:
    before = (folder / "inspection.yaml").read_bytes()
    with pytest.raises(RecordError, match="hole"):
        store.change(folder, [Change(("findings", "F1", "seen"), "hole")])
    assert (folder / "inspection.yaml").read_bytes() == before


def test_all_changes_or_none(folder: Path) -> None:
    before = (folder / "inspection.yaml").read_bytes()
    with pytest.raises(RecordError):
        store.change(folder, [Change(("inspector",), "R. Vane"), Change(("basis",), "nonsense")])
    assert (folder / "inspection.yaml").read_bytes() == before


def test_appends_a_finding_and_removes_a_key(folder: Path) -> None:
    new = {"id": "F3", "zone": "cowl.top", "seen": "surface", "area": "20 cm2"}
    store.change(folder, [Change(("findings", "F3"), new), Change(("findings", "F1", "note"))])
    inspection = store.read(folder).inspection
    assert [f.id for f in inspection.findings] == ["F1", "F2", "F3"]
    assert inspection.findings[0].note == ""


def test_makes_the_maps_on_the_way(folder: Path) -> None:
    store.change(folder, [Change(("photos", "a/b.jpg", "zone"), "cowl.top")])
    assert store.read(folder).inspection.photos["a/b.jpg"].zone == "cowl.top"


def test_undo_gives_back_the_same_bytes(folder: Path) -> None:
    before = (folder / "inspection.yaml").read_bytes()
    store.change(folder, [Change(("inspector",), "R. Vane")])
    store.change(folder, [Change(("inspector",), "S. Holt")])
    assert store.undo(folder).inspection.inspector == "R. Vane"
    store.undo(folder)
    assert (folder / "inspection.yaml").read_bytes() == before
    with pytest.raises(FolderError, match="no change to take back"):
        store.undo(folder)


@given(note=st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=80))
def test_any_note_survives_writing_and_reading(note: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("any")
    text = "soundmetal: 1\nvehicle: {body: pickup, structure: frame}\ndate: 2026-11-18\nbasis: lift\n"
    (folder / "inspection.yaml").write_text(text, encoding="utf-8")
    store.change(folder, [Change(("owner", "name"), note)])
    assert store.read(folder).inspection.owner.name == note.strip()


def test_parse_and_dump_give_the_same_text(folder: Path) -> None:
    text = (folder / "inspection.yaml").read_text(encoding="utf-8")
    once = yaml_text.dump(yaml_text.parse(text, folder))
    assert once == yaml_text.dump(yaml_text.parse(once, folder))
    assert once.split() == text.split()


@pytest.mark.parametrize(("depth", "reads"), [(MAX_DEPTH - 1, True), (MAX_DEPTH, False)])
def test_nesting_is_counted_once_for_each_bracket(depth: int, *, reads: bool) -> None:
    text = "a: " + "[" * depth + "]" * depth
    with contextlib.nullcontext() if reads else pytest.raises(RecordError, match="nested too deep"):
        assert yaml_text.parse(text, Path("inspection.yaml"))["a"] is not None

from __future__ import annotations

import os
from pathlib import Path

import pytest
from yards import send_car, write_car

from soundmetal.errors import FolderError
from soundmetal.folder import store
from soundmetal.folder.yard import walk


def folders(yard: Path) -> list[str]:
    return sorted(spot.folder for spot in walk.walk(yard))


def test_inspections_at_any_depth_and_nothing_of_their_states(yard: Path) -> None:
    assert folders(yard) == ["2026/drover", "2026/packhorse", "heron"]


def test_a_yard_that_is_an_inspection_holds_itself(yard: Path) -> None:
    assert folders(yard / "2026" / "packhorse") == ["."]
    write_car(yard)
    assert folders(yard) == [".", "2026/drover", "2026/packhorse", "heron"]


def test_a_visit_inside_another_is_found_but_no_photographs_and_nothing_hidden(yard: Path) -> None:
    write_car(yard / "heron" / "second visit")
    write_car(yard / "heron" / "photos" / "copy")
    write_car(yard / ".trash" / "old")
    assert folders(yard) == ["2026/drover", "2026/packhorse", "heron", "heron/second visit"]


def test_links_are_followed_one_level_and_never_in_a_ring(yard: Path, tmp_path: Path) -> None:
    archive = tmp_path / "archive"
    write_car(archive / "causeway")
    write_car(archive / "deep" / "larkfield")
    (archive / "round").symlink_to(archive)
    for name, target in (
        ("old", archive), ("older", archive), ("ring", yard), ("up", tmp_path), ("twice", yard / "heron"),
        ("broken", tmp_path / "nowhere"), ("self", yard / "self"), ("2026/back", yard),
    ):  # fmt: skip
        (yard / name).symlink_to(target)
    found = folders(yard)
    assert [one for one in found if "causeway" in one] in (["old/causeway"], ["older/causeway"])
    assert [one for one in found if "causeway" not in one] == ["2026/drover", "2026/packhorse", "heron"]


def test_a_link_to_one_inspection_is_listed_under_its_name(yard: Path, tmp_path: Path) -> None:
    write_car(tmp_path / "away" / "causeway")
    (yard / "guest").symlink_to(tmp_path / "away" / "causeway")
    assert "guest" in folders(yard)


@pytest.mark.parametrize(
    "name",
    ["inspection.yaml", "inspection.yml", "Inspection.YAML", "inspection.txt", "my inspection.yaml", "inspection."],
)
def test_a_record_is_what_the_store_takes_for_one(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("x: 1\n")
    try:
        store.record_path(tmp_path)
        taken = True
    except FolderError:
        taken = False
    assert folders(tmp_path) == (["."] if taken else [])


def test_a_folder_or_a_pipe_is_no_record(tmp_path: Path) -> None:
    (tmp_path / "inspection.yaml").mkdir()
    os.mkfifo(tmp_path / "inspection.yml")
    assert folders(tmp_path) == []


def test_a_folder_that_may_not_be_looked_into_is_named(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain = os.listdir

    def refusing(path: str) -> list[str]:
        if path.endswith("2026"):
            raise PermissionError(13, "Permission denied")
        return plain(path)

    monkeypatch.setattr(os, "listdir", refusing)
    told = {spot.folder: spot.fault for spot in walk.walk(yard)}
    assert told == {"heron": "", "2026": "cannot be looked into: Permission denied"}


def test_known_ones_are_not_listed_again_until_something_changes(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = {spot.folder: spot for spot in walk.walk(yard)}
    later = max(spot.newest_ns for spot in first.values()) + 2 * walk.TICK_NS
    listed: list[str] = []
    plain = os.listdir
    monkeypatch.setattr(os, "listdir", lambda path: listed.append(Path(path).name) or plain(path))

    def again(seen_ns: int) -> list[str]:
        listed.clear()
        assert {spot.folder for spot in walk.walk(yard, lambda name: _of(first.get(name), seen_ns))} == set(first)
        return sorted(set(listed) - {"cars", "2026", "states"})

    assert again(later) == []
    assert again(later - 2 * walk.TICK_NS) != [], "as young as the reading: not to be believed"
    send_car(yard / "heron")
    assert again(later) == ["heron"]


def _of(spot: walk.Spot | None, seen_ns: int) -> tuple[bytes, int] | None:
    return (spot.signature, seen_ns) if spot else None

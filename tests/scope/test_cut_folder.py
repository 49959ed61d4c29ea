"""The folder for the cutting table: replaced as a whole, never mixed, never anybody else's."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from soundmetal.errors import FolderError, WriteError
from soundmetal.scope import cut_folder
from soundmetal.scope.cut_files import cut_files
from soundmetal.scope.cut_folder import cut_folder_ready, write_cut_files
from soundmetal.scope.cut_names import CUT_LIST
from soundmetal.scope.models import Blank


def blanks(*names: str) -> list[Blank]:
    return [
        Blank(name, "a", ("F1",), 300.0, 200.0, 20.0, 0.912, 20, "flat", 0, 0.0, 0.4, sheet="20 ga") for name in names
    ]


@pytest.fixture
def files(bench: Any) -> Any:
    """Give a function that makes the files of some blanks."""
    return lambda *names: cut_files(blanks(*names), bench.shop()).files


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_written_into_a_new_folder(tmp_path: Path, files: Any) -> None:
    made, folder = files("a/1", "b/1"), tmp_path / "deep" / "cut"
    assert write_cut_files(folder, made) == [folder / name for name in made]
    assert contents(folder) == dict(made)
    assert [path.name for path in folder.parent.iterdir()] == ["cut"]


def test_into_an_empty_folder(tmp_path: Path, files: Any) -> None:
    write_cut_files(tmp_path, files("a/1"))
    assert (tmp_path / CUT_LIST).is_file()


def test_no_drawing_of_an_earlier_cut_stays(tmp_path: Path, files: Any) -> None:
    folder = tmp_path / "cut"
    write_cut_files(folder, files("a/1", "b/1"))
    later = files("a/1")
    write_cut_files(folder, later)
    assert contents(folder) == dict(later)
    assert [path.name for path in tmp_path.iterdir()] == ["cut"]


@pytest.mark.parametrize("name", ["mine.dxf", "blank_a_1.dxf", ".hidden"])
def test_what_is_not_ours_is_not_touched(tmp_path: Path, files: Any, name: str) -> None:
    (tmp_path / name).write_text("mine")
    with pytest.raises(FolderError, match=r"which is not of an earlier cut\. Name a new folder"):
        write_cut_files(tmp_path, files("a/1"))
    assert contents(tmp_path) == {name: b"mine"}


def test_something_laid_beside_an_earlier_cut(tmp_path: Path, files: Any) -> None:
    folder = tmp_path / "cut"
    write_cut_files(folder, files("a/1"))
    (folder / "nested by hand.dxf").write_text("mine")
    before = contents(folder)
    with pytest.raises(FolderError, match="nested by hand"):
        write_cut_files(folder, files("b/1"))
    assert contents(folder) == before


def test_a_foreign_cut_list(tmp_path: Path) -> None:
    for text in (b"part,qty\n1,2\n", b"\xff\xfe", b""):
        (tmp_path / CUT_LIST).write_bytes(text)
        with pytest.raises(FolderError, match=r"cutlist\.csv"):
            cut_folder_ready(tmp_path)


def test_a_file_in_the_folders_place(tmp_path: Path, files: Any) -> None:
    (tmp_path / "cut").write_text("mine")
    with pytest.raises(FolderError, match="is a file"):
        write_cut_files(tmp_path / "cut", files("a/1"))
    assert (tmp_path / "cut").read_text() == "mine"


@pytest.mark.parametrize("fails", ["write_bytes", "_swap"])
def test_a_full_disk_leaves_the_earlier_cut(
    tmp_path: Path, files: Any, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    folder = tmp_path / "cut"
    write_cut_files(folder, files("a/1"))
    before = contents(folder)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(cut_folder, fails, full)
    with pytest.raises(WriteError, match="No space left"):
        write_cut_files(folder, files("b/1"))
    assert contents(folder) == before
    assert [path.name for path in tmp_path.iterdir()] == ["cut"]


def test_a_swap_that_stops_half_way_brings_the_old_one_back(
    tmp_path: Path, files: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "cut"
    write_cut_files(folder, files("a/1"))
    before = contents(folder)
    real = Path.rename

    def rename(self: Path, target: Path) -> Path:
        if self.name.endswith(".part"):
            raise OSError(5, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(WriteError, match="Input/output error"):
        write_cut_files(folder, files("b/1"))
    assert contents(folder) == before
    assert [path.name for path in tmp_path.iterdir()] == ["cut"]


def test_through_a_link_the_link_stays(tmp_path: Path, files: Any) -> None:
    (tmp_path / "stick").mkdir()
    (tmp_path / "cut").symlink_to(tmp_path / "stick")
    write_cut_files(tmp_path / "cut", files("a/1"))
    assert (tmp_path / "cut").is_symlink()
    assert (tmp_path / "stick" / CUT_LIST).is_file()

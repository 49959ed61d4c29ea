from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest
from PIL import Image

from soundmetal.errors import FolderError, WriteError
from soundmetal.photos import intake
from soundmetal.photos.intake import take_in


def picture(path: Path, shade: int = 90) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (40, 30), (shade, 60, 40)).save(path)
    return path


@pytest.fixture
def car(tmp_path: Path) -> Path:
    (tmp_path / "car").mkdir()
    return tmp_path / "car"


def state(folder: Path) -> dict[str, str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def test_a_folder_keeps_its_name_and_its_subfolders(car: Path, tmp_path: Path) -> None:
    picture(tmp_path / "rocker.left.outer" / "1.jpg", 1)
    picture(tmp_path / "rocker.left.outer" / "close" / "2.png", 2)
    done = take_in(car, [tmp_path / "rocker.left.outer"])
    assert done.added == ("rocker.left.outer/1.jpg", "rocker.left.outer/close/2.png")
    assert (car / "photos/rocker.left.outer/close/2.png").is_file()


def test_originals_are_never_touched_and_copies_are_byte_for_byte(car: Path, tmp_path: Path) -> None:
    source = picture(tmp_path / "phone" / "a.jpg")
    os.utime(source, ns=(10**18, 10**18))
    before, times = state(tmp_path / "phone"), source.stat()
    take_in(car, [source])
    assert state(tmp_path / "phone") == before
    assert source.stat().st_mtime_ns == times.st_mtime_ns
    assert (car / "photos/a.jpg").read_bytes() == source.read_bytes()
    assert (car / "photos/a.jpg").stat().st_mtime_ns == times.st_mtime_ns


def test_adding_again_changes_nothing(car: Path, tmp_path: Path) -> None:
    picture(tmp_path / "phone" / "a.jpg")
    take_in(car, [tmp_path / "phone"])
    before = state(car)
    again = take_in(car, [tmp_path / "phone"])
    assert (again.added, again.already) == ((), ("phone/a.jpg",))
    assert state(car) == before


def test_same_content_under_two_names_is_kept_once(car: Path, tmp_path: Path) -> None:
    done = take_in(car, [picture(tmp_path / "a.jpg"), picture(tmp_path / "b.jpg")])
    assert (done.added, done.already) == (("a.jpg",), ("a.jpg",))


def test_same_name_with_other_content_gets_a_number(car: Path, tmp_path: Path) -> None:
    take_in(car, [picture(tmp_path / "x" / "a.jpg", 1)])
    done = take_in(car, [picture(tmp_path / "y" / "a.jpg", 2)])
    assert done.added == ("a (2).jpg",)
    assert len(state(car)) == 2


def test_bad_ones_are_named_and_the_rest_goes_on(car: Path, tmp_path: Path) -> None:
    folder = tmp_path / "phone"
    picture(folder / "good.jpg")
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "text.jpg").write_text("no picture")
    done = take_in(car, [folder])
    assert done.added == ("phone/good.jpg",)
    assert [bad.name for bad in done.refused] == ["phone/empty.jpg", "phone/text.jpg"]
    assert all(bad.why and bad.todo for bad in done.refused)


def test_a_file_that_was_asked_for_and_is_no_picture_is_named(car: Path, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("x")
    assert [bad.name for bad in take_in(car, [tmp_path / "notes.txt"]).refused] == ["notes.txt"]


def test_wrong_sources(car: Path, tmp_path: Path) -> None:
    with pytest.raises(FolderError, match="there is no"):
        take_in(car, [tmp_path / "nowhere"])
    with pytest.raises(FolderError, match="holds the inspection itself"):
        take_in(car, [tmp_path])


def test_full_disk_stops_with_what_was_copied_whole(
    car: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(3):
        picture(tmp_path / "phone" / f"{number}.jpg", 60 * number)
    real = intake.write_bytes

    def soon_full(path: Path, data: bytes) -> None:
        if path.name == "1.jpg":
            raise WriteError("cannot write: No space left on device")
        real(path, data)

    monkeypatch.setattr(intake, "write_bytes", soon_full)
    with pytest.raises(WriteError, match="No space"):
        take_in(car, [tmp_path / "phone"])
    monkeypatch.undo()
    done = take_in(car, [tmp_path / "phone"])
    assert (len(done.added), len(done.already)) == (2, 1)


def test_progress_counts_every_file(car: Path, tmp_path: Path) -> None:
    for number in range(3):
        picture(tmp_path / "phone" / f"{number}.jpg", 60 * number)
    heard: list[tuple[int, int]] = []
    take_in(car, [tmp_path / "phone"], lambda done, total: heard.append((done, total)))
    assert heard == [(1, 3), (2, 3), (3, 3)]

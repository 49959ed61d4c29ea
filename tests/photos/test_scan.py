"""What lies in the folder."""

from __future__ import annotations

import hashlib
import os
import unicodedata
from pathlib import Path

import pytest

from soundmetal.errors import FolderError
from soundmetal.photos import scan as module
from soundmetal.photos.scan import Refused, scan, scan_file


def names(folder: Path) -> list[str]:
    return [photo.name for photo in scan(folder).photos]


def why(folder: Path) -> dict[str, str]:
    return {bad.name: bad.why for bad in scan(folder).refused}


def test_photographs_in_subfolders_sorted_with_their_hash(folder: Path, draw) -> None:
    data = draw()
    for name in ("b.jpg", "rocker left/2.jpeg", "A.JPG", "rocker left/outer/1.png"):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(draw(kind="PNG") if name.endswith("png") else data)
    found = scan(folder)
    assert [photo.name for photo in found.photos] == [
        "A.JPG",
        "b.jpg",
        "rocker left/2.jpeg",
        "rocker left/outer/1.png",
    ]
    assert found.photos[0].sha256 == hashlib.sha256(data).hexdigest()
    assert found.photos[0].size_bytes == len(data)
    assert [photo.kind for photo in found.photos] == ["JPEG", "JPEG", "JPEG", "PNG"]
    assert not found.refused


def test_content_decides_not_the_suffix(folder: Path, draw) -> None:
    (folder / "no suffix").write_bytes(draw())
    (folder / "png.jpg").write_bytes(draw(kind="PNG"))
    assert [(photo.name, photo.kind) for photo in scan(folder).photos] == [("no suffix", "JPEG"), ("png.jpg", "PNG")]


def test_what_is_not_meant_as_a_photograph_is_passed_over(folder: Path, draw) -> None:
    (folder / "notes.txt").write_text("rocker: bad")
    (folder / "IMG_1.xmp").write_text("<x/>")
    (folder / ".hidden.jpg").write_bytes(draw())
    (folder / ".trash").mkdir()
    (folder / ".trash" / "1.jpg").write_bytes(draw())
    assert scan(folder) == module.Scan((), ())


def test_pretenders_are_named_with_advice(folder: Path) -> None:
    (folder / "empty.jpg").touch()
    (folder / "text.jpg").write_text("not a picture")
    (folder / "drive.mov").write_bytes(b"\x00\x00\x00\x14ftypqt  ")
    refused = scan(folder).refused
    assert [bad.name for bad in refused] == ["drive.mov", "empty.jpg", "text.jpg"]
    assert [bad.why for bad in refused] == [
        "a film, not a photograph",
        "the file is empty",
        "ends in .jpg but is no picture that can be used here",
    ]
    assert all(bad.todo for bad in refused)


def test_links_are_not_followed_out_of_the_folder(folder: Path, tmp_path: Path, draw) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "1.jpg").write_bytes(draw())
    (folder / "real.jpg").write_bytes(draw(size=(10, 10)))
    (folder / "away.jpg").symlink_to(outside / "1.jpg")
    (folder / "there").symlink_to(outside)
    (folder / "nowhere.jpg").symlink_to(folder / "gone.jpg")
    (folder / "inside.jpg").symlink_to(folder / "real.jpg")
    assert names(folder) == ["inside.jpg", "real.jpg"]
    assert why(folder) == {
        "away.jpg": "a link that leads out of the folder",
        "nowhere.jpg": "cannot be read: No such file or directory",
        "there": "a link to a folder is not followed",
    }


def test_a_loop_of_links_ends(folder: Path) -> None:
    (folder / "round.jpg").symlink_to(folder / "round.jpg")
    (folder / "up").symlink_to(folder)
    assert names(folder) == []
    assert set(why(folder)) == {"round.jpg", "up"}


def test_a_pipe_is_not_waited_for(folder: Path) -> None:
    os.mkfifo(folder / "pipe.jpg")
    assert why(folder) == {"pipe.jpg": "not an ordinary file"}


def test_a_folder_may_be_called_like_a_photograph(folder: Path, draw) -> None:
    (folder / "x.jpg").mkdir()
    (folder / "x.jpg" / "1.jpg").write_bytes(draw())
    assert names(folder) == ["x.jpg/1.jpg"]


def test_a_heavy_file_is_refused(folder: Path, draw, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "1.jpg").write_bytes(draw())
    rules = module.settings()
    light = rules.model_copy(update={"scan": rules.scan.model_copy(update={"max_bytes": 100})})
    monkeypatch.setattr(module, "settings", lambda: light)
    assert "is more than" in why(folder)["1.jpg"]


def test_names_are_kept_in_one_spelling(folder: Path, draw) -> None:
    spelt = unicodedata.normalize("NFD", "piñón.jpg")
    (folder / spelt).write_bytes(draw())
    photo = scan(folder).photos[0]
    assert photo.name == unicodedata.normalize("NFC", "piñón.jpg")
    assert photo.path.read_bytes() == draw()
    (folder / photo.name).write_bytes(draw(size=(5, 5)))
    again = scan(folder)
    assert len(again.photos) == 1
    assert again.refused[0].why == "another file has the same name in another spelling"


def test_unreadable_files_and_folders_are_named(folder: Path, draw, monkeypatch: pytest.MonkeyPatch) -> None:
    """The superuser of a build machine may read everything, so the refusal is played."""
    (folder / "closed.jpg").write_bytes(draw())
    (folder / "open.jpg").write_bytes(draw())
    (folder / "locked").mkdir()
    opening, listing = Path.open, os.scandir

    def open_(self: Path, *args, **more):
        if self.name == "closed.jpg":
            raise PermissionError(13, "Permission denied")
        return opening(self, *args, **more)

    def scandir(path):
        if Path(path).name == "locked":
            raise PermissionError(13, "Permission denied")
        return listing(path)

    monkeypatch.setattr(Path, "open", open_)
    monkeypatch.setattr(os, "scandir", scandir)
    assert names(folder) == ["open.jpg"]
    assert why(folder) == {
        "closed.jpg": "cannot be read: Permission denied",
        "locked": "the folder cannot be read: Permission denied",
    }


def test_no_folder_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FolderError, match="is not a folder"):
        scan(tmp_path / "none")


def test_one_file_alone(folder: Path, draw) -> None:
    (folder / "1.jpg").write_bytes(draw())
    (folder / "notes.txt").write_text("x")
    assert [photo.name for photo in scan_file(folder / "1.jpg").photos] == ["1.jpg"]
    assert scan_file(folder / "notes.txt").refused[0].why == "no picture that can be used here"


def test_a_refusal_reads_as_one_line() -> None:
    assert (
        str(Refused("a\nb.jpg", "the file is empty.", "Leave it out.")) == "a b.jpg: the file is empty. Leave it out."
    )

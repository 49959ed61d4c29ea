"""Photographs taken in: kept once, byte for byte, listed by every name they came with; again changes nothing."""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from soundmetal.errors import FolderError, WriteError
from soundmetal.photos import arrivals, keeping
from soundmetal.photos.arrivals import HEADS, everything
from soundmetal.photos.intake import Intake, take_in

Take = Callable[..., Intake]
Draw = Callable[..., bytes]
LATER = dt.datetime(2026, 11, 19, 8, 30, tzinfo=dt.UTC)


def picture(path: Path, shade: int = 90) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (40, 30), (shade, 60, 40)).save(path)
    return path


def state(folder: Path) -> dict[str, str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def table(car: Path) -> list[dict[str, str]]:
    """Read the list as another program would."""
    with (car / "photos/arrived/arrivals.csv").open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def kept(car: Path) -> list[Path]:
    return sorted(path for path in (car / "photos/arrived").iterdir() if path.suffix != ".csv")


def test_a_folder_keeps_its_name_and_its_subfolders(take: Take, car: Path, tmp_path: Path) -> None:
    picture(tmp_path / "rocker.left.outer" / "1.jpg", 1)
    picture(tmp_path / "rocker.left.outer" / "close" / "2.png", 2)
    done = take(tmp_path / "rocker.left.outer")
    assert done.added == ("rocker.left.outer/1.jpg", "rocker.left.outer/close/2.png")
    assert [photo.name for photo in everything(car).photos] == list(done.added)
    assert [photo.kind for photo in everything(car).photos] == ["JPEG", "PNG"]


def test_a_file_is_kept_byte_for_byte_under_its_own_hash_and_the_original_is_untouched(
    take: Take, car: Path, tmp_path: Path
) -> None:
    source = picture(tmp_path / "phone" / "a.jpg")
    os.utime(source, ns=(10**18, 10**18))
    before, times = state(tmp_path / "phone"), source.stat()
    take(source)
    assert state(tmp_path / "phone") == before
    assert source.stat().st_mtime_ns == times.st_mtime_ns
    (file,) = kept(car)
    assert file.read_bytes() == source.read_bytes()
    assert file.name == hashlib.sha256(source.read_bytes()).hexdigest() + ".jpg"


def test_the_list_says_what_arrived_when_and_what_the_file_says_of_itself(
    take: Take, car: Path, phone: Path, draw: Draw
) -> None:
    exif = Image.Exif()
    exif[271], exif[272], exif[0x0112] = "Tindertown", "Seven", 6
    inner = exif.get_ifd(0x8769)
    inner[0x9003], inner[0x9011] = "2026:11:17 15:04:05", "-06:00"
    exif.get_ifd(0x8825).update({1: "N", 2: (40.0, 1.0, 2.0), 3: "W", 4: (90.0, 0.0, 0.0)})
    data = draw(exif=exif)
    (phone / "a.jpg").write_bytes(data)
    take(phone)
    assert tuple(table(car)[0]) == HEADS
    assert table(car) == [
        {
            "name": "phone/a.jpg",
            "source": "phone",
            "original": "phone/a.jpg",
            "arrived": "2026-11-18T12:00:00-05:00",
            "sha256": hashlib.sha256(data).hexdigest(),
            "bytes": str(len(data)),
            "type": "JPEG",
            "taken": "2026-11-17T15:04:05",
            "offset": "-06:00",
            "camera": "Tindertown Seven",
            "orientation": "6",
            "had_gps": "yes",
            "caption": "",
        }
    ]


def test_adding_again_changes_nothing_whatever_the_time(take: Take, car: Path, tmp_path: Path) -> None:
    picture(tmp_path / "phone" / "a.jpg")
    take(tmp_path / "phone")
    before = state(car)
    again = take(tmp_path / "phone", arrived=LATER)
    assert (again.added, again.already, again.refused) == ((), ("phone/a.jpg",), ())
    assert state(car) == before


def test_same_content_under_two_names_is_one_file_with_two_rows(take: Take, car: Path, tmp_path: Path) -> None:
    done = take(picture(tmp_path / "a.jpg"), picture(tmp_path / "b.jpg"))
    assert done.added == ("a.jpg", "b.jpg")
    assert len(kept(car)) == 1
    assert [row["name"] for row in table(car)] == ["a.jpg", "b.jpg"]
    first, second = everything(car).photos
    assert (first.path, first.sha256) == (second.path, second.sha256)


def test_same_name_with_other_content_gets_a_number_that_stays(take: Take, car: Path, tmp_path: Path) -> None:
    take(picture(tmp_path / "x" / "a.jpg", 1))
    other = picture(tmp_path / "y" / "a.jpg", 2)
    assert take(other).added == ("a (2).jpg",)
    assert take(other).already == ("a (2).jpg",)
    assert [row["original"] for row in table(car)] == ["a.jpg", "a.jpg"]
    assert len(kept(car)) == 2


def test_what_people_put_there_by_hand_goes_on_working_and_is_not_kept_twice(
    take: Take, car: Path, phone: Path
) -> None:
    picture(car / "photos" / "rocker.left.outer" / "1.jpg", 1)
    picture(phone / "same.jpg", 1)
    picture(phone / "new.jpg", 2)
    done = take(phone)
    assert (done.added, done.already) == (("phone/new.jpg",), ("rocker.left.outer/1.jpg",))
    assert [photo.name for photo in everything(car).photos] == ["phone/new.jpg", "rocker.left.outer/1.jpg"]
    assert [row["name"] for row in table(car)] == ["phone/new.jpg"]


def test_a_name_that_was_put_there_by_hand_is_not_taken_twice(take: Take, car: Path, tmp_path: Path) -> None:
    picture(car / "photos" / "a.jpg", 1)
    assert take(picture(tmp_path / "a.jpg", 2)).added == ("a (2).jpg",)
    picture(car / "photos" / "a (2).jpg", 3)
    found = everything(car)
    assert [photo.name for photo in found.photos] == ["a (2).jpg", "a.jpg"]
    assert [bad.why for bad in found.refused] == ["a photograph that was taken in has the same name"]


def test_bad_ones_are_named_and_the_rest_goes_on(take: Take, tmp_path: Path) -> None:
    folder = tmp_path / "phone"
    picture(folder / "good.jpg")
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "text.jpg").write_text("no picture")
    (folder / "clip.mp4").write_bytes(b"film")
    (folder / "notes.md").write_text("passed over")
    done = take(folder)
    assert done.added == ("phone/good.jpg",)
    assert [bad.name for bad in done.refused] == ["phone/clip.mp4", "phone/empty.jpg", "phone/text.jpg"]
    assert all(bad.why and bad.todo for bad in done.refused)


def test_a_file_that_was_asked_for_and_is_no_picture_is_named(take: Take, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("x")
    assert [bad.name for bad in take(tmp_path / "notes.txt").refused] == ["notes.txt"]


def test_wrong_sources_stop_before_anything_is_taken(take: Take, car: Path, tmp_path: Path) -> None:
    good = picture(tmp_path / "a.jpg")
    with pytest.raises(FolderError, match="there is no"):
        take(good, tmp_path / "nowhere")
    with pytest.raises(FolderError, match="there is no"):
        take(good, tmp_path / ("x" * 300))
    with pytest.raises(FolderError, match="holds the inspection itself"):
        take(good, tmp_path)
    assert state(car) == {}


def test_a_time_without_an_offset_is_a_mistake(car: Path, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="offset"):
        take_in(car, [picture(tmp_path / "a.jpg")], arrived=dt.datetime(2026, 11, 18))  # noqa: DTZ001


def test_a_full_disk_stops_with_what_was_kept_whole_and_the_same_call_goes_on(
    take: Take, car: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = [picture(tmp_path / "phone" / f"{number}.jpg", 60 * number) for number in range(3)]
    full = hashlib.sha256(files[1].read_bytes()).hexdigest()
    real = keeping.write_bytes

    def soon_full(path: Path, data: bytes) -> None:
        if path.stem == full:
            raise WriteError("cannot write: No space left on device")
        real(path, data)

    monkeypatch.setattr(keeping, "write_bytes", soon_full)
    with pytest.raises(WriteError, match="No space"):
        take(tmp_path / "phone")
    assert [row["name"] for row in table(car)] == ["phone/0.jpg"]
    monkeypatch.undo()
    done = take(tmp_path / "phone")
    assert (len(done.added), len(done.already)) == (2, 1)


def test_an_add_that_was_killed_before_it_wrote_its_list_goes_on(take: Take, car: Path, tmp_path: Path) -> None:
    for number in range(3):
        picture(tmp_path / "phone" / f"{number}.jpg", 60 * number)
    take(tmp_path / "phone")
    whole = state(car)
    rows = arrivals.read(car)
    arrivals.write(car, rows[:1])
    (car / "photos/arrived/.left.part").write_bytes(b"half")
    done = take(tmp_path / "phone")
    assert done.added == ("phone/1.jpg", "phone/2.jpg")
    assert state(car) == whole


def test_a_kept_file_without_a_row_can_be_seen_and_is_adopted_by_the_next_add(
    take: Take, car: Path, tmp_path: Path
) -> None:
    take(picture(tmp_path / "lost.jpg", 1))
    (car / "photos/arrived/arrivals.csv").unlink()
    (file,) = kept(car)
    assert [photo.name for photo in everything(car).photos] == [f"arrived/{file.name}"]
    assert take(picture(tmp_path / "new.jpg", 2)).added == ("new.jpg",)
    assert [row["name"] for row in table(car)] == ["new.jpg", f"arrived/{file.name}"]
    assert [photo.name for photo in everything(car).photos] == [f"arrived/{file.name}", "new.jpg"]


def test_a_file_that_only_looks_kept_is_one_put_there_by_hand(take: Take, car: Path, tmp_path: Path) -> None:
    name = f"arrived/{'0' * 64}.jpg"
    picture(car / "photos" / name, 1)
    take(picture(tmp_path / "new.jpg", 2))
    assert [row["name"] for row in table(car)] == ["new.jpg"]
    assert [photo.name for photo in everything(car).photos] == [name, "new.jpg"]


@pytest.mark.parametrize("harm", ["missing", "changed"])
def test_a_kept_file_that_was_lost_or_harmed_is_named_and_comes_back_by_adding_again(
    take: Take, car: Path, tmp_path: Path, harm: str
) -> None:
    source = picture(tmp_path / "a.jpg")
    take(source)
    (file,) = kept(car)
    file.unlink() if harm == "missing" else file.write_bytes(b"short")
    assert [(bad.name, harm in bad.why) for bad in everything(car).refused] == [("a.jpg", True)]
    before = table(car)
    assert take(source).added == ("a.jpg",)
    assert file.read_bytes() == source.read_bytes()
    assert table(car) == before


def test_no_folder_of_photographs_is_no_photographs(car: Path) -> None:
    assert everything(car).photos == everything(car).refused == ()


def test_many_photographs_are_listed_in_batches(
    take: Take, car: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(60):
        picture(phone / f"{number:02}.jpg", number)
    times: list[int] = []
    real = arrivals.write

    def counted(folder: Path, rows: list[arrivals.Arrival]) -> None:
        times.append(len(rows))
        real(folder, rows)

    monkeypatch.setattr(arrivals, "write", counted)
    take(phone)
    assert times == [25, 50, 60]
    assert len(table(car)) == 60


def test_progress_counts_every_file(car: Path, tmp_path: Path, pack: Callable[..., Path], draw: Draw) -> None:
    for number in range(3):
        picture(tmp_path / "phone" / f"{number}.jpg", 60 * number)
    heard: list[tuple[int, int]] = []
    now = dt.datetime(2026, 11, 18, tzinfo=dt.UTC)
    take_in(car, [tmp_path / "phone"], lambda done, total: heard.append((done, total)), arrived=now)
    assert heard == [(1, 3), (2, 3), (3, 3)]
    heard.clear()
    packed = pack({"a.jpg": draw(), "b.jpg": draw((20, 20))}, tmp_path / "p.zip")
    take_in(car, [packed], lambda done, total: heard.append((done, total)), arrived=now)
    assert heard == [(1, 1), (2, 2)]

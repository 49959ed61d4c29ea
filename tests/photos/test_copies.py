"""Copies for the pages."""

from __future__ import annotations

import errno
import io
import threading
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageCms

from soundmetal.errors import WriteError
from soundmetal.photos import copies
from soundmetal.photos.copies import prepare
from soundmetal.photos.scan import scan


def filled(folder: Path, draw, count: int = 4, **options: Any):
    for n in range(count):
        (folder / f"{n}.jpg").write_bytes(draw(size=(80 + n, 60), **options))
    return scan(folder).photos


def test_copies_are_small_clean_and_named_by_content(folder: Path, tmp_path: Path, draw) -> None:
    exif = Image.Exif()
    exif[271] = "Tindertown"
    exif.get_ifd(0x8825).update({1: "N", 2: (1.0, 2.0, 3.0)})
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = draw(size=(400, 300), exif=exif, icc_profile=profile, comment=b"mine", xmp=b"<x/>")
    (folder / "1.jpg").write_bytes(data)
    found = scan(folder).photos
    made = prepare(found, tmp_path / "cache", long_side_px=100)
    copy = made.copies["1.jpg"]
    assert copy.path.name == f"{found[0].sha256[:32]}-100-q85-r{copies.RECIPE}.jpg"
    assert (copy.width, copy.height, copy.sha256) == (100, 75, found[0].sha256)
    written = copy.path.read_bytes()
    with Image.open(io.BytesIO(written)) as picture:
        assert picture.format == "JPEG"
        assert picture.size == (100, 75)
        assert set(picture.info) == {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    for trace in (b"Exif", b"Tindertown", b"ICC_PROFILE", b"mine", b"xmp", b"Photoshop"):
        assert trace not in written
    assert (folder / "1.jpg").read_bytes() == data


def test_a_copy_is_made_once(folder: Path, tmp_path: Path, draw, monkeypatch: pytest.MonkeyPatch) -> None:
    found = filled(folder, draw)
    first = prepare(found, tmp_path)
    monkeypatch.setattr(copies, "for_page", lambda *_: pytest.fail("made again"))
    assert prepare(found, tmp_path) == first


def test_another_recipe_makes_other_copies(folder: Path, tmp_path: Path, draw, monkeypatch) -> None:
    found = filled(folder, draw, 1)
    paths = {prepare(found, tmp_path).copies["0.jpg"].path}
    paths.add(prepare(found, tmp_path, quality=70).copies["0.jpg"].path)
    paths.add(prepare(found, tmp_path, long_side_px=50).copies["0.jpg"].path)
    monkeypatch.setattr(copies, "RECIPE", 99)
    paths.add(prepare(found, tmp_path).copies["0.jpg"].path)
    assert len(paths) == 4


@pytest.mark.parametrize("damage", [b"", b"\xff\xd8", b"half"])
def test_a_damaged_copy_is_made_again(folder: Path, tmp_path: Path, draw, damage: bytes) -> None:
    (folder / "0.jpg").write_bytes(draw(size=(800, 600)))
    found = scan(folder).photos
    path = prepare(found, tmp_path).copies["0.jpg"].path
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2] if damage == b"half" else damage)
    assert prepare(found, tmp_path).copies["0.jpg"].path.read_bytes() == whole


def test_equal_photographs_share_a_copy_and_each_keeps_its_name(folder: Path, tmp_path: Path, draw) -> None:
    for name in ("a.jpg", "b.jpg"):
        (folder / name).write_bytes(draw())
    made = prepare(scan(folder).photos, tmp_path).copies
    assert list(made) == ["a.jpg", "b.jpg"]
    assert made["a.jpg"] == made["b.jpg"]


def test_same_input_same_bytes_with_any_number_of_workers(folder: Path, tmp_path: Path, draw) -> None:
    found = filled(folder, draw, 6)
    one, four = (prepare(found, tmp_path / str(n), workers=n).copies for n in (1, 4))
    assert [copy.path.read_bytes() for copy in one.values()] == [copy.path.read_bytes() for copy in four.values()]
    assert list(one) == list(four)


def test_results_belong_to_their_photograph_when_some_fail(folder: Path, tmp_path: Path, draw) -> None:
    """Every copy has the width of its own original although two of six fail in between."""
    filled(folder, draw, 6)
    for n in (1, 4):
        path = folder / f"{n}.jpg"
        path.write_bytes(path.read_bytes()[:-30])
    found = scan(folder).photos
    made = prepare(found, tmp_path, workers=3)
    assert {name: copy.width for name, copy in made.copies.items()} == {f"{n}.jpg": 80 + n for n in (0, 2, 3, 5)}
    assert [bad.name for bad in made.refused] == ["1.jpg", "4.jpg"]
    assert all("cut off or damaged" in bad.why for bad in made.refused)


def test_progress_counts_every_photograph(folder: Path, tmp_path: Path, draw) -> None:
    found = filled(folder, draw, 3)
    told: list[tuple[int, int]] = []
    prepare([*found, *found[:1]], tmp_path, on_done=lambda done, total: told.append((done, total)))
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]


def test_a_file_that_went_away_is_refused(folder: Path, tmp_path: Path, draw) -> None:
    found = filled(folder, draw, 2)
    (folder / "0.jpg").unlink()
    made = prepare(found, tmp_path)
    assert list(made.copies) == ["1.jpg"]
    assert made.refused[0].why == "cannot be read: No such file or directory"


def test_a_full_disk_stops_with_a_write_error_and_leaves_nothing_half(folder, tmp_path, draw, monkeypatch) -> None:
    found = filled(folder, draw, 4)

    def full(*_args: object, **_more: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    cache = tmp_path / "cache"
    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(WriteError, match="No space left"):
        prepare(found, cache)
    assert list(cache.iterdir()) == []


def test_a_cache_that_is_a_file_is_a_write_error(tmp_path: Path) -> None:
    (tmp_path / "cache").touch()
    with pytest.raises(WriteError, match="cannot make the folder"):
        prepare([], tmp_path / "cache")


def test_two_at_a_time_into_one_cache(folder: Path, tmp_path: Path, draw) -> None:
    found = filled(folder, draw, 6)
    results: list[copies.Prepared] = []
    threads = [threading.Thread(target=lambda: results.append(prepare(found, tmp_path / "c"))) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert results[0] == results[1] == results[2]
    assert len(list((tmp_path / "c").iterdir())) == 6

"""What a photograph says of itself. Real cameras are in tests/validation/test_photo_metadata.py."""

from __future__ import annotations

import contextlib
import datetime as dt
import io
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from soundmetal.photos import exif as module
from soundmetal.photos import rawexif
from soundmetal.photos.exif import capture_time, position, read

SEASIDE = ((12.0, 30.0, 36.0), (41.0, 15.0, 0.0))


def block(
    taken: str = "2026:11:18 09:12:05", offset: str = "-07:00", gps: Any = SEASIDE, refs: str = "NW", **more: Any
) -> Image.Exif:
    exif = Image.Exif()
    exif[271], exif[272] = "Tindertown", "T4 Field"
    inner = exif.get_ifd(0x8769)
    inner[0x9003], inner[0x9011] = taken, offset
    if gps:
        exif.get_ifd(0x8825).update({1: refs[0], 2: gps[0], 3: refs[1], 4: gps[1]})
    if "orientation" in more:
        exif[0x0112] = more["orientation"]
    return exif


@pytest.mark.parametrize("kind", ["JPEG", "TIFF", "WEBP", "PNG", "HEIF"])
def test_the_same_facts_from_every_kind(draw, tmp_path: Path, kind: str) -> None:
    data = draw(kind=kind, exif=block().tobytes())
    path = tmp_path / "x"
    path.write_bytes(data)
    for facts in (read(data), read(path)):
        assert facts.taken == dt.datetime.fromisoformat("2026-11-18T09:12:05")
        assert facts.offset == "-07:00"
        assert (facts.make, facts.model) == ("Tindertown", "T4 Field")
        assert facts.latitude == pytest.approx(12.51, abs=1e-9)
        assert facts.longitude == pytest.approx(-41.25, abs=1e-9)
        assert (facts.width, facts.height, facts.orientation) == (80, 60, 1)
        assert facts.has_gps
        assert facts.problems == ()


@pytest.mark.parametrize("kind", ["JPEG", "TIFF", "WEBP", "PNG", "HEIF"])
def test_turned_by_a_quarter(draw, kind: str) -> None:
    """80 x 60 stored with orientation 6 is 60 x 80 in the hand; HEIC turns by its own box and once only."""
    facts = read(draw(kind=kind, exif=block(orientation=6).tobytes()))
    assert (facts.width, facts.height) == (60, 80)


def test_without_metadata(draw) -> None:
    assert read(draw()) == module.PhotoFacts(width=80, height=60)


@pytest.mark.parametrize("written", ["0000:00:00 00:00:00", "    :  :     :  :  ", "", "\0"])
def test_blank_times_are_unknown_and_no_problem(draw, written: str) -> None:
    facts = read(draw(exif=block(taken=written).tobytes()))
    assert facts.taken is None
    assert facts.problems == ()


@pytest.mark.parametrize("written", ["2026:13:01 00:00:00", "2026:02:30 10:00:00", "yesterday", "<script>"])
def test_impossible_times_are_unknown_and_named(draw, written: str) -> None:
    facts = read(draw(exif=block(taken=written).tobytes()))
    assert facts.taken is None
    assert any(problem.startswith("capture time") for problem in facts.problems)


@pytest.mark.parametrize("offset", ["", "   :  ", "UTC", "+25:00", "-07:75"])
def test_an_offset_that_is_none_is_left_out(draw, offset: str) -> None:
    assert read(draw(exif=block(offset=offset).tobytes())).offset is None


def test_a_latitude_above_90_is_refused_and_named(draw) -> None:
    facts = read(draw(exif=block(gps=((91.0, 0.0, 0.0), (10.0, 0.0, 0.0))).tobytes()))
    assert (facts.latitude, facts.longitude, facts.has_gps) == (None, None, True)
    assert "position: latitude 91 is above 90 degrees" in facts.problems


def test_nought_nought_is_no_fix(draw) -> None:
    facts = read(draw(exif=block(gps=((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))).tobytes()))
    assert (facts.latitude, facts.longitude, facts.has_gps) == (None, None, True)
    assert facts.problems == ()


@pytest.mark.parametrize(("refs", "signs"), [("NE", (1, 1)), ("SW", (-1, -1)), ("NW", (1, -1)), ("SE", (-1, 1))])
def test_hemispheres(draw, refs: str, signs: tuple[int, int]) -> None:
    facts = read(draw(exif=block(refs=refs).tobytes()))
    assert facts.latitude == pytest.approx(signs[0] * 12.51, abs=1e-9)
    assert facts.longitude == pytest.approx(signs[1] * 41.25, abs=1e-9)


@pytest.mark.parametrize("value", [None, "12", b"\0", (), (1, 2, 3, 4), ("x", 0, 0), (float("nan"), 0, 0)])
def test_angles_that_are_none(value: object) -> None:
    assert rawexif._degrees(value, "N", "NS") is None


def test_an_angle_without_its_hemisphere_is_unknown() -> None:
    assert rawexif._degrees((1, 2, 3), "", "NS") is None
    assert rawexif._degrees((1, 2, 3), "E", "NS") is None
    assert rawexif._degrees((1, 30), "s", "NS") == -1.5


@given(st.floats(-400, 400), st.floats(-400, 400))
def test_a_position_is_true_or_refused(latitude: float, longitude: float) -> None:
    try:
        kept = position(latitude, longitude)
    except ValueError:
        assert abs(latitude) > 90 or abs(longitude) > 180
    else:
        assert abs(latitude) <= 90
        assert abs(longitude) <= 180
        assert kept == ((None, None) if latitude == longitude == 0 else (latitude, longitude))


@given(st.datetimes(min_value=dt.datetime.fromisoformat("1850-01-01T00:00:00")))
def test_capture_times_round_trip(when: dt.datetime) -> None:
    whole = when.replace(microsecond=0)
    assert capture_time(whole.strftime("%Y:%m:%d %H:%M:%S")) == whole


@given(st.text(max_size=40))
def test_any_text_is_a_time_or_unknown_or_a_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        when = capture_time(text)
        assert when is None or text.strip().startswith(f"{when.year:04d}")


def test_when_exifread_fails_pillow_reads(draw, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_source: object) -> None:
        raise AssertionError("as it does at HEIC")

    monkeypatch.setattr(rawexif, "by_exifread", fail)
    facts = read(draw(exif=block().tobytes()))
    assert facts.make == "Tindertown"
    assert facts.problems == ("EXIF: as it does at HEIC",)


def test_both_readers_agree(draw) -> None:
    data = draw(exif=block(orientation=3).tobytes())
    with Image.open(io.BytesIO(data)) as picture:
        assert rawexif.by_exifread(data) == rawexif.by_pillow(picture.getexif())


def test_a_missing_file_is_only_a_problem(tmp_path: Path) -> None:
    facts = read(tmp_path / "gone.jpg")
    assert (facts.width, facts.height) == (0, 0)
    assert facts.problems[0].startswith("file: ")

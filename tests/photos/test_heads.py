"""The walk along a file's parts: real pictures pass, files of too many parts do not."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from PIL import Image

from soundmetal.errors import PhotoError
from soundmetal.photos import heads
from soundmetal.photos.settings import ScanSettings, settings

Draw = Callable[..., bytes]


def segment(count: int) -> bytes:
    return b"\xff\xd8" + b"\xff\xfe\x00\x03x" * count


@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("JPEG", {}),
        ("JPEG", {"progressive": True}),
        ("JPEG", {"comment": b"\xff\xda\xff\xd9" * 500}),
        ("PNG", {}),
        ("GIF", {}),
        ("WEBP", {}),
    ],
)
def test_pictures_pass_and_the_stream_is_back_at_its_start(draw: Draw, kind: str, options: dict[str, object]) -> None:
    stream = io.BytesIO(draw((300, 200), kind, **options))
    heads.check(stream, kind)
    assert stream.tell() == 0


def test_a_moving_picture_passes(draw: Draw) -> None:
    frames = [Image.new("RGB", (20, 20), (50 * n, 0, 0)) for n in range(5)]
    buffer = io.BytesIO()
    frames[0].save(buffer, "GIF", save_all=True, append_images=frames[1:], comment=b"x" * 2000)
    heads.check(buffer, "GIF")
    with Image.open(buffer) as picture:
        assert picture.is_animated


def test_the_limit_of_parts_is_the_setting(monkeypatch: pytest.MonkeyPatch) -> None:
    small = settings().model_copy(update={"scan": settings().scan.model_copy(update={"max_parts": 10})})
    monkeypatch.setattr(heads, "settings", lambda: small)
    heads.check(io.BytesIO(segment(9)), "JPEG")
    with pytest.raises(PhotoError, match="more than 10 parts"):
        heads.check(io.BytesIO(segment(10)), "JPEG")


def test_the_limit_of_scans_is_the_setting(draw: Draw, monkeypatch: pytest.MonkeyPatch) -> None:
    data = draw(progressive=True)
    count = data.count(b"\xff\xda")
    assert count > 3
    for limit, passes in ((count + 1, True), (count, True), (count - 1, False)):
        small = settings().model_copy(update={"scan": settings().scan.model_copy(update={"max_scans": limit})})
        monkeypatch.setattr(heads, "settings", lambda small=small: small)
        if passes:
            heads.check(io.BytesIO(data), "JPEG")
        else:
            with pytest.raises(PhotoError, match=f"more than {limit} scans"):
                heads.check(io.BytesIO(data), "JPEG")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "GIF"])
@pytest.mark.parametrize("share", range(11))
def test_a_cut_file_is_left_to_the_decoder(draw: Draw, kind: str, share: int) -> None:
    data = draw((60, 40), kind)
    heads.check(io.BytesIO(data[: len(data) * share // 10]), kind)


def test_nothing_between_markers_is_looked_through_only_so_far() -> None:
    heads.check(io.BytesIO(b"\xff\xd8" + bytes(60_000) + b"\xff\xd9"), "JPEG")
    with pytest.raises(PhotoError, match="holds nothing after that"):
        heads.check(io.BytesIO(b"\xff\xd8" + bytes(70_000) + b"\xff\xd9"), "JPEG")


def test_the_settings_have_room_for_real_pictures() -> None:
    """The largest PNG that is taken, in chunks of 8192 bytes as its common library writes them (from memory)."""
    limits: ScanSettings = settings().scan
    assert limits.max_bytes / 8192 < limits.max_parts

"""Captions out of a log of messages, whatever program wrote it."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from soundmetal.photos.arrivals import everything
from soundmetal.photos.intake import Intake
from soundmetal.photos.sources.captions import captions, text_of

NAMES = {"IMG_1.jpg", "IMG_12.jpg", "foto ñ.HEIC"}


@pytest.mark.parametrize(
    ("log", "expected"),
    [
        ("[18.11.26, 09:05:01] Ana: IMG_1.jpg floor", {"IMG_1.jpg": "[18.11.26, 09:05:01] Ana: floor"}),
        ("9:05 Ana: IMG_1.jpg\nleft rocker\nmore\n9:06 x", {"IMG_1.jpg": "9:05 Ana: left rocker"}),
        ("9:05 Ana: IMG_1.jpg\n9:06 Ana: other", {"IMG_1.jpg": "9:05 Ana:"}),
        ("IMG_1.jpg | rocker\nIMG_12.jpg | cowl", {"IMG_1.jpg": "| rocker", "IMG_12.jpg": "| cowl"}),
        ("rocker: img_1.JPG", {"IMG_1.jpg": "rocker:"}),
        ("media/2026/IMG_1.jpg cab corner", {"IMG_1.jpg": "cab corner"}),
        ("foto n\u0303.heic piso", {"foto ñ.HEIC": "piso"}),
        ("MY_IMG_1.jpg and XIMG_1.jpg", {}),
        ("IMG_1.jpg", {}),
        ("IMG_1.jpg a\nIMG_1.jpg b", {"IMG_1.jpg": "a"}),
        ("9:05 IMG_1.jpg\nIMG_12.jpg", {"IMG_1.jpg": "9:05", "IMG_12.jpg": ""}),
        ("İ IMG_1.jpg turkish", {"IMG_1.jpg": "İ turkish"}),
        ("", {}),
    ],
)
def test_the_line_that_names_a_picture_is_its_caption(log: str, expected: dict[str, str]) -> None:
    assert captions([log], NAMES) == {name: text for name, text in expected.items() if text}


def test_a_page_of_messages() -> None:
    page = (
        "<html><head><title>IMG_1.jpg title</title><style>p{}</style></head><body><script>IMG_1.jpg</script>"
        '<div class="m">9:05 <b>Ana</b> <a href="media/IMG_1.jpg"><img src="thumbs/x.jpg" alt="rust &amp; scale"></a>'
        ' at the rocker 3 < 5</div><div>9:06 <a href="foto%20%C3%B1.HEIC">piso</a></div><p>9:07 <b unclosed'
    )
    found = captions([text_of(page.encode(), "log.HTML")], NAMES)
    assert found == {
        "IMG_1.jpg": "9:05 Ana thumbs/x.jpg rust & scale at the rocker 3 < 5",
        "foto ñ.HEIC": "9:06 piso",
    }


def test_logs_in_other_encodings() -> None:
    assert captions([text_of("IMG_1.jpg rocker".encode("utf-16"), "log.txt")], NAMES) == {"IMG_1.jpg": "rocker"}
    assert captions([text_of(b"IMG_1.jpg pi\xf1on", "log.txt")], NAMES) == {"IMG_1.jpg": "pi\ufffdon"}


def test_a_caption_is_one_line_of_bounded_length() -> None:
    (text,) = captions([f"IMG_1.jpg \x1b[31m\t{'long ' * 300}"], NAMES).values()
    assert len(text) <= 500
    assert text.startswith("[31m long")


def test_an_export_folder_is_a_folder_with_captions(
    take: Callable[..., Intake], car: Path, phone: Path, draw: Callable[..., bytes]
) -> None:
    (phone / "media").mkdir()
    (phone / "media" / "IMG_1.jpg").write_bytes(draw())
    (phone / "IMG_12.jpg").write_bytes(draw((9, 9)))
    (phone / "log.txt").write_text("9:05 Ana: IMG_1.jpg (attached)\nunder the left door\n", "utf-8")
    done = take(phone)
    assert (done.added, done.refused) == (("phone/IMG_12.jpg", "phone/media/IMG_1.jpg"), ())
    assert [photo.caption for photo in everything(car).photos] == ["", "9:05 Ana: (attached) under the left door"]


@pytest.mark.parametrize(
    "log",
    [
        ".jpg" * 499_000,
        ".jpg\n" * 399_000,
        "<" * 1_990_000,
        "<!--" * 499_000,
        "<a href=" * 240_000,
        "&" * 1_990_000,
    ],
    ids=["suffixes", "lines", "tags", "comments", "addresses", "entities"],
)
def test_a_log_made_to_be_slow_is_not(log: str) -> None:
    start = time.perf_counter()
    assert captions([text_of(log.encode(), "log.html")], {f"{n}.jpg" for n in range(500)}) == {}
    assert captions([text_of(log.encode(), "log.txt")], {f"{n}.jpg" for n in range(500)}) == {}
    assert time.perf_counter() - start < 5

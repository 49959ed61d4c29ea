"""Names that arrive: kept as they are, cleaned where they must be, refused where they reach out or deceive."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.errors import PhotoError
from soundmetal.photos.sources.names import clean, free, hidden, shown

REFUSED = [
    "../evil.jpg",
    "a/../../evil.jpg",
    "..\\evil.jpg",
    "a/.. /evil.jpg",
    ".../evil.jpg",
    "/etc/evil.jpg",
    "\\\\server\\share\\evil.jpg",
    "C:\\evil.jpg",
    "c:evil.jpg",
    "con.jpg",
    "a/NUL",
    "Com1.tar.jpg",
    "lpt9 .jpg",
    "aux",
    "evil\0.jpg",
    "a\nb.jpg",
    "\x1b[31m.jpg",
    "\x7f.jpg",
    "\u202egpj.exe",
    "a\u2066b.jpg",
    "\u200fa.jpg",
    "x" * 256 + ".jpg",
    "d/" * 2048 + "a.jpg",
    "ñ" * 128 + ".jpg",
    "bad\udcff.jpg",
    "",
    ".",
    "..",
    "/",
    "   ",
]


@pytest.mark.parametrize("name", REFUSED, ids=range(len(REFUSED)))
def test_a_name_that_reaches_out_or_deceives_is_refused(name: str) -> None:
    with pytest.raises(PhotoError, match="name") as told:
        clean(name)
    assert told.value.todo == "Rename it and add it again."


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("rocker.left.outer/IMG 1.jpg", "rocker.left.outer/IMG 1.jpg"),
        ("./a//b.jpg", "a/b.jpg"),
        ("piso \\IMG.jpg. ", "piso/IMG.jpg"),
        ("n\u0303.jpg", "ñ.jpg"),
        ("con oxido.jpg", "con oxido.jpg"),
        ("a'b\"c<d>$(e)%s{0}車🚗.jpg", "a'b\"c<d>$(e)%s{0}車🚗.jpg"),
        ("2026-11-18 10:20.jpg", "2026-11-18 10:20.jpg"),
        (".hidden.jpg", ".hidden.jpg"),
    ],
)
def test_other_names_are_kept(name: str, kept: str) -> None:
    assert clean(name) == kept


@given(st.text(max_size=60) | st.text("./\\ a", max_size=12))
def test_a_cleaned_name_is_clean_and_stays_inside(name: str) -> None:
    try:
        kept = clean(name)
    except PhotoError:
        return
    assert clean(kept) == kept
    assert unicodedata.is_normalized("NFC", kept)
    assert all(part not in ("", ".", "..") and part == part.rstrip(" .") for part in kept.split("/"))


@given(st.text(max_size=300))
def test_a_shown_name_is_one_short_line(name: str) -> None:
    assert len(shown(name)) <= 120
    assert shown(name).isprintable()


def test_a_free_name_keeps_its_folder_and_its_suffix() -> None:
    assert free("a.b/c.jpg", {"a.b/c.jpg"}) == "a.b/c (2).jpg"
    assert free("a.b/c.jpg", set()) == "a.b/c.jpg"


def test_hidden_files() -> None:
    assert hidden(".a") and hidden("x/.y/z.jpg") and hidden("__MACOSX\\x.jpg")  # noqa: PT018
    assert not hidden("x/y.jpg")
    assert not hidden("./y.jpg")

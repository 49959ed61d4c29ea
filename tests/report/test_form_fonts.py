"""The font that fields are typed in: plain, ours, and as wide as the letters in its file."""

from __future__ import annotations

import io
import re

import pytest
from fontTools.ttLib import TTFont
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from soundmetal.paths import template_dir
from soundmetal.report.pdf import pdf_bytes

PAGE = """<!doctype html><html lang="en"><head><title>A form</title><style>{css}</style></head><body>
<h1>A form</h1><p>Name <input name="name" style="appearance: auto"></p></body></html>"""


@pytest.fixture(scope="module")
def form() -> DictionaryObject:
    css = (template_dir() / "base.css").read_text(encoding="utf-8")
    data = pdf_bytes(PAGE.format(css=css), allowed=[template_dir()], base=template_dir())
    found: DictionaryObject = PdfReader(io.BytesIO(data)).root_object["/AcroForm"]  # type: ignore[assignment]
    return found


def test_a_field_names_a_plain_font_that_is_there(form: DictionaryObject) -> None:
    said = form["/Fields"][0].get_object()["/DA"]
    name = re.fullmatch(r"[\d. ]+ rg (/\w+) [\d.]+ Tf", said)
    assert name, said  # no state of a page, which a field does not know
    font = form["/DR"]["/Font"][name[1]]
    assert (font["/Subtype"], font["/Encoding"]) == ("/TrueType", "/WinAnsiEncoding")
    assert font["/FontDescriptor"]["/Flags"] == 32  # letters of the Latin set (ISO 32000-2, table 121)


def test_its_widths_are_those_of_its_own_file(form: DictionaryObject) -> None:
    """Rounded to thousandths of the size, as PDF counts (ISO 32000-2, 9.2.4)."""
    font = next(
        one.get_object() for one in form["/DR"]["/Font"].values() if one.get_object()["/Subtype"] == "/TrueType"
    )
    file = TTFont(io.BytesIO(font["/FontDescriptor"]["/FontFile2"].get_data()))
    letters, advances, unit = file.getBestCmap(), file["hmtx"].metrics, file["head"].unitsPerEm
    for code in [*range(0x20, 0x7F), 0x80, 0x92, 0x96, *range(0xA1, 0x100)]:
        letter = letters.get(ord(bytes((code,)).decode("cp1252")))
        if letter is not None:
            assert abs(font["/Widths"][code - 32] - advances[letter][0] * 1000 / unit) <= 0.5, hex(code)
    assert {"A", "ñ", "Ø", "–"} <= {chr(code) for code in letters}


def test_it_says_which_letters_it_has(form: DictionaryObject) -> None:
    font = next(
        one.get_object() for one in form["/DR"]["/Font"].values() if one.get_object()["/Subtype"] == "/TrueType"
    )
    told = dict(re.findall(rb"<(\w\w)> <(\w{4})>", font["/ToUnicode"].get_data()))
    assert (told[b"41"], told[b"f1"], told[b"96"]) == (b"0041", b"00f1", b"2013")
    assert len(told) == 224

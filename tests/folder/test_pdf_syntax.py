"""Texts and bounds of the reader of PDF objects; the letters are held against the table of another reader (pypdf)."""

from __future__ import annotations

import pytest
from pypdf._codecs.pdfdoc import _pdfdoc_encoding

from soundmetal.folder.pdf_syntax import PdfFault, Reader, text_of


def test_each_letter_of_a_plain_text_is_that_of_another_reader() -> None:
    """PDFDocEncoding (ISO 32000-2, table D.2); what that table leaves open is no letter there."""
    told = {code: letter for code, letter in enumerate(_pdfdoc_encoding) if letter != "\x00"}
    assert len(told) == 251
    assert {code: text_of(bytes((code,))) for code in told} == told


@pytest.mark.parametrize("text", [b"[1 2 3 4]", b"<< /A 1 /B 2 /C 3 >>", b"((((((((((", b"(\\(\\(\\(\\()"])
def test_no_more_is_read_than_may_be(text: bytes) -> None:
    with pytest.raises(PdfFault, match="more parts than a report"):
        Reader(text, most=3).value()


def test_what_is_left_is_counted() -> None:
    reader = Reader(b"[1 [2] (a\\)b)] 7", most=100)
    assert reader.value() == [1, [2], b"a)b"]
    assert reader.left == 100 - 5 - 2  # five values, and two brackets or escapes in the text
    assert reader.value() == 7


def test_a_name_has_an_end() -> None:
    assert Reader(b"/" + b"a" * 4000).value() == "a" * 4000
    with pytest.raises(PdfFault, match="a name in it has no end"):
        Reader(b"/" + b"a" * 4001).value()

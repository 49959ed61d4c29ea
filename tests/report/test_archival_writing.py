"""What is packed only while a PDF is written ends as strict readers want it (ISO 19005-3, 6.1.7.1; from memory)."""

from __future__ import annotations

import io

import pydyf
from pypdf import PdfReader

from soundmetal.report import archival


def written(number: int, *, mended: bool) -> bytes:
    pdf = pydyf.PDF()
    pdf.add_page(pydyf.Dictionary({"Type": "/Page", "Parent": pdf.pages.reference}))
    pdf.add_object(pydyf.Stream([b"%d" % number * (number % 97)]))
    out = io.BytesIO()
    (archival._Writer(pdf) if mended else pdf.write)(out, b"1.7", False, True)
    return out.getvalue()


def test_what_is_packed_only_while_writing_does_not_look_shorter() -> None:
    """About one table of places in 256 ends in a carriage return: here many are made until some do."""
    unlucky = [n for n in range(3000) if b"\r\nendstream" in written(n, mended=False)]
    assert unlucky
    for number in unlucky:
        data = written(number, mended=True)
        assert b"\r\nendstream" not in data
        assert len(PdfReader(io.BytesIO(data)).pages) == 1
    lucky = next(n for n in range(3000) if n not in unlucky)
    assert written(lucky, mended=True) == written(lucky, mended=False)

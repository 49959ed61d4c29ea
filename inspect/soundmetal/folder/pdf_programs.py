"""What a PDF from outside would do when it is opened: one that would run, send or open anything is refused.

A file that came back is kept, and somebody will open it one day. None of our reports holds a program, and no reader
of PDFs adds one when a form is filled in (ISO 32000-2, 12.6; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from soundmetal.folder.pdf_file import PdfFile
from soundmetal.folder.pdf_syntax import PdfFault

#: Actions that lead to a page or to an address that the reader asks about first.
_HARMLESS = frozenset({"GoTo", "URI", "Named"})
#: Marks on a page that carry or play something.
_CARRY = frozenset({"FileAttachment", "RichMedia", "Screen", "Movie", "Sound", "3D"})
_MAX_PLACES = 20_000


def refuse_programs(pdf: PdfFile) -> None:
    """Raise PdfFault for a file that would run, send or open something, or has its form twice (XFA)."""
    names = pdf.dictionary(pdf.root.get("Names"))
    form = pdf.dictionary(pdf.root.get("AcroForm"))
    if "JavaScript" in names or "XFA" in form or not isinstance(pdf.get(form.get("Fields")) or [], list):
        raise PdfFault("holds a program, as no report of ours does")
    for place in _places(pdf, form):
        actions = [pdf.dictionary(place.get(key)) for key in ("OpenAction", "A")]
        if "AA" in place or any(one and _acts(pdf, one) for one in actions):
            raise PdfFault("holds a program, as no report of ours does")
        if _is(pdf.get(place.get("Subtype")), _CARRY):
            raise PdfFault("carries a file on a page, as no report of ours does")


def _acts(pdf: PdfFile, action: dict[str, Any]) -> bool:
    return "Next" in action or not _is(pdf.get(action.get("S")), _HARMLESS)


def _is(value: object, words: frozenset[str]) -> bool:
    return isinstance(value, str) and value in words


def _places(pdf: PdfFile, form: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Give all that can hold an action: the catalogue, pages, marks on them, fields and their parts."""
    yield pdf.root
    waiting, seen = [*_listed(pdf, form, "Fields"), pdf.root.get("Pages")], 0
    while waiting:
        place, seen = pdf.dictionary(waiting.pop()), seen + 1
        if seen + len(waiting) > _MAX_PLACES:
            raise PdfFault("has more pages or fields than a report")
        yield place
        waiting += [*_listed(pdf, place, "Kids"), *_listed(pdf, place, "Annots")]


def _listed(pdf: PdfFile, holder: dict[str, Any], key: str) -> list[Any]:
    found = pdf.get(holder.get(key))
    return found[:_MAX_PLACES] if isinstance(found, list) else []

"""The fields of a form in a PDF from outside: their names, and what each says, taken only where it is plain.

What a field says must be what its page shows, said once, in one way. Only fields of our own names are read; the
reading is bounded by `folder.pdf_file`. Any fault is a PdfFault.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from soundmetal.folder.carried import FILE
from soundmetal.folder.pdf_file import PdfFile
from soundmetal.folder.pdf_programs import refuse_programs
from soundmetal.folder.pdf_syntax import PdfFault, text_of

MARK = "sm"
#: Digits of the offer's digest that a field's name carries: nobody hits another state by accident.
DIGITS = 16
MAX_FIELDS = 5000
#: More than any one question of ours has.
_MAX_BUTTONS = 50
#: How far from its start a PDF may begin, and how far from its end say where its list of contents is.
_EDGE, _MAX_TAIL = 64, 2048
_OFF = "Off"
_BUTTON, _TEXT = "Btn", "Tx"


class Field:
    """One field of ours as the file has it."""

    def __init__(self, pdf: PdfFile, entries: dict[str, Any], name: str) -> None:
        """Take a field by its dictionary and its whole name."""
        self._pdf, self._entries = pdf, entries
        self.name, self.key = name, key_of(name)

    @property
    def shown(self) -> str:
        """Its key as a message tells it."""
        return self.key[:40]

    def text(self) -> str:
        """Give what was typed; PdfFault where it is no field for text, or holds none."""
        value = self._get("V")
        if self._get("FT") != _TEXT or not isinstance(value, bytes | None) or self._parts_with_names():
            raise PdfFault(f'the field "{self.shown}" holds no text')
        return text_of(value)

    def pressed(self, words: Sequence[str]) -> str:
        """Give the word of the button that is pressed, empty where none is; `words` are the report's, in order.

        A button is known by its word, or by its place among the words that the field lists (`Opt`).
        """
        if self._get("FT") != _BUTTON or self._parts_with_names():
            raise PdfFault(f'the field "{self.shown}" has no buttons')
        listed = tuple(text_of(self._pdf.get(word)) for word in self._list("Opt"))
        said, shown = self._word(self._get("V"), listed), {self._word(kid.get("AS"), listed) for kid in self._kids()}
        if shown - {""} != {said} - {""} and (shown or said):
            raise PdfFault(f'the answer to "{self.shown.removeprefix("reply-")}" shows one thing and says another')
        if said and said not in words:
            raise PdfFault(f'"{said[:40]}" is no answer to "{self.shown}". There are: {", ".join(words)}')
        if listed and listed != tuple(words):
            raise PdfFault(f'the buttons of "{self.shown}" are not those of a report')
        return said

    def _word(self, value: Any, listed: Sequence[str]) -> str:
        state = self._pdf.get(value)
        state = text_of(state) if isinstance(state, bytes) else state
        if state in (None, "", _OFF):
            return ""
        if not isinstance(state, str):
            raise PdfFault(f'the field "{self.shown}" has a button that is none')
        return next((word for place, word in enumerate(listed) if str(place) == state), state)

    def _kids(self) -> list[dict[str, Any]]:
        kids = self._list("Kids")
        if not kids or len(kids) > _MAX_BUTTONS:
            raise PdfFault(f'the field "{self.shown}" has no buttons, or more than a report')
        return [self._pdf.dictionary(kid) for kid in kids]

    def _parts_with_names(self) -> bool:
        """Tell whether it has fields inside, which would have answers of their own."""
        return any("T" in self._pdf.dictionary(kid) for kid in self._list("Kids"))

    def _list(self, key: str) -> list[Any]:
        found = self._get(key)
        return found[: _MAX_BUTTONS + 1] if isinstance(found, list) else []

    def _get(self, key: str) -> Any:
        return self._pdf.get(self._entries.get(key))


def fields_of(data: bytes) -> Iterator[Field]:
    """Give the fields of ours in the bytes of a PDF, as often as they are there."""
    _refuse_wrappings(data)
    pdf = PdfFile(data)
    if "XRefStm" in pdf.trailer:
        raise PdfFault("says one thing to old readers of PDFs and another to new ones")
    refuse_programs(pdf)
    _refuse_files(pdf)
    fields = pdf.get(pdf.dictionary(pdf.root.get("AcroForm")).get("Fields")) or []
    if len(fields) > MAX_FIELDS:
        raise PdfFault(f"has more than {MAX_FIELDS} fields")
    for field in fields:
        entries = pdf.dictionary(field)
        name = text_of(pdf.get(entries.get("T")))
        if _ours(name) and "Parent" not in entries:
            yield Field(pdf, entries, name)


def key_of(name: str) -> str:
    """Give the last part of a field's name: reply-F1, aim, signed, date."""
    return name.split("-", 3)[3]


def _ours(name: str) -> bool:
    parts = name.split("-", 3)
    return len(parts) == 4 and parts[0] == MARK and len(parts[2]) == DIGITS and bool(parts[3])


def _refuse_wrappings(data: bytes) -> None:
    """Refuse a PDF with something before or behind it: such a file can be one of another kind as well."""
    if not data[:_EDGE].lstrip().startswith(b"%PDF-"):
        raise PdfFault("is no PDF")
    if len(data) - data.rfind(b"startxref") > _MAX_TAIL and b"startxref" in data:
        raise PdfFault("has something behind its end")


def _refuse_files(pdf: PdfFile) -> None:
    """Refuse files inside, but for the inspection that a report carries; that one is not looked at."""
    inside = pdf.files_inside()
    names = {text_of(pdf.get(spec.get(key))) for spec in inside for key in ("F", "UF") if key in spec}
    if len(inside) > 1 or names - {FILE}:
        raise PdfFault("carries a file that no report of ours has")

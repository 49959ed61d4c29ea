"""Fill a report's form with a PDF program of others, as an owner would at home."""

from __future__ import annotations

import io
from collections.abc import Mapping

from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, TextStringObject


def fields_of(data: bytes) -> dict[str, str]:
    """Give the full name of each field by its last part: reply-F1, aim, signed, date."""
    return {name.split("-", 3)[3]: name for name in (PdfReader(io.BytesIO(data)).get_fields() or {})}


def filled(data: bytes, answers: Mapping[str, str]) -> bytes:
    """Fill fields by the last part of their names: a button by the word it stands for, text as it is."""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    form = writer.root_object["/AcroForm"].get_object()
    by_name = {str(field.get_object()["/T"]).split("-", 3)[3]: field.get_object() for field in form["/Fields"]}
    for key, value in answers.items():
        field = by_name[key]
        if field.get("/FT") == "/Btn":
            press(field, [str(word) for word in field["/Opt"]].index(value))
        else:
            field[NameObject("/V")] = TextStringObject(value)
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


def press(field: object, at: int) -> None:
    """Press one button of a group and let the others go."""
    field[NameObject("/V")] = NameObject(f"/{at}")
    for n, kid in enumerate(field["/Kids"]):
        kid.get_object()[NameObject("/AS")] = NameObject(f"/{at}" if n == at else "/Off")

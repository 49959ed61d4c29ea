"""The form as others write and fill it: what it may say is taken, anything else is refused with the reason."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from pypdf import PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, NumberObject, TextStringObject

from soundmetal.errors import AnswerError
from soundmetal.record.terms import Aim, Reply
from soundmetal.report.form import FormNames, read_form

NAMES = FormNames("q7w8e9r0", "0123456789abcdef")


def button(name: str, words: list[str], said: str, shown: int | None) -> DictionaryObject:
    kids = [
        DictionaryObject({NameObject("/AS"): NameObject(f"/{n}" if n == shown else "/Off")})
        for n in range(len(words))
    ]
    return DictionaryObject(
        {
            NameObject("/FT"): NameObject("/Btn"),
            NameObject("/T"): TextStringObject(name),
            NameObject("/V"): NameObject(f"/{said}"),
            NameObject("/Opt"): ArrayObject([TextStringObject(word) for word in words]),
            NameObject("/Kids"): ArrayObject(kids),
        }
    )


def reply(finding: str = "F1", at: int | None = 0, said: str | None = None) -> DictionaryObject:
    pressed = "Off" if at is None else str(at)
    return button(NAMES.reply(finding), ["yes", "no", "talk"], pressed if said is None else said, at)


def text(name: str, value: Any) -> DictionaryObject:
    return DictionaryObject(
        {NameObject("/FT"): NameObject("/Tx"), NameObject("/T"): TextStringObject(name), NameObject("/V"): value}
    )


def pdf(*fields: DictionaryObject) -> bytes:
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    form = DictionaryObject({NameObject("/Fields"): ArrayObject(list(fields))})
    writer.root_object[NameObject("/AcroForm")] = form
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


@pytest.mark.parametrize(("at", "answer"), [(0, Reply.YES), (1, Reply.NO), (2, Reply.TALK)])
def test_each_button_is_its_answer(at: int, answer: Reply) -> None:
    assert read_form(pdf(reply(at=at))).replies == {"F1": answer}


def test_a_whole_form() -> None:
    filled = read_form(
        pdf(
            reply("F1", 0),
            reply("F-2", 1),
            reply("F3", None),
            button(NAMES.field("aim"), ["arrest", "sound", "factory"], "2", 2),
            text(NAMES.field("signed"), TextStringObject("  Ana\r\n Quiroga ")),
            text(NAMES.field("date"), TextStringObject("")),
        )
    )
    assert filled.names == NAMES
    assert filled.replies == {"F1": Reply.YES, "F-2": Reply.NO}
    assert filled.aim is Aim.FACTORY
    assert (filled.signed, filled.date) == ("Ana Quiroga", "")
    assert not filled.empty


def test_a_program_that_writes_the_word_itself_is_understood() -> None:
    named = button(NAMES.reply("F1"), ["yes", "no", "talk"], "yes", None)
    named[NameObject("/Kids")][0][NameObject("/AS")] = NameObject("/yes")
    assert read_form(pdf(named)).replies == {"F1": Reply.YES}


def test_nothing_pressed_is_an_empty_form() -> None:
    assert read_form(pdf(reply(at=None), text(NAMES.field("signed"), TextStringObject("Ana")))).empty


def test_fields_of_others_are_never_looked_at() -> None:
    price = text("price.total", TextStringObject("1.00"))
    other = text("sm-note", TextStringObject("x"))
    assert read_form(pdf(reply(), price, other)).replies == {"F1": Reply.YES}


WRONG: dict[str, tuple[Callable[[], bytes], str]] = {
    "no form": (lambda: pdf(), "no form of ours"),
    "not a PDF": (lambda: b"PK\x03\x04" + bytes(200), "is no PDF"),
    "nothing at all": (lambda: b"", "is no PDF"),
    "shows one, says another": (lambda: pdf(reply(at=0, said="1")), "shows one thing and says another"),
    "shows yes, says nothing": (lambda: pdf(reply(at=0, said="Off")), "shows one thing and says another"),
    "says yes, shows nothing": (lambda: pdf(reply(at=None, said="0")), "shows one thing and says another"),
    "an answer that there is not": (
        lambda: pdf(button(NAMES.reply("F1"), ["yes", "maybe"], "1", 1)),
        '"maybe" is no answer',
    ),
    "twice": (lambda: pdf(reply(at=0), reply(at=1)), "twice and differently"),
    "two states": (
        lambda: pdf(reply(), button(FormNames("q7w8e9r0", "f" * 16).reply("F1"), ["yes", "no", "talk"], "0", 0)),
        "more than one report",
    ),
    "a field that no report has": (
        lambda: pdf(reply(), text(NAMES.field("price"), TextStringObject("1"))),
        "no report",
    ),
    "a number for a name": (lambda: pdf(reply(), text(NAMES.field("signed"), NumberObject(7))), "holds no text"),
    "a novel for a name": (lambda: pdf(reply(), text(NAMES.field("signed"), TextStringObject("x" * 301))), "longer"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_taken_is_refused(case: str) -> None:
    make, why = WRONG[case]
    with pytest.raises(AnswerError, match=why):
        read_form(make())


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.7, 0.9])
def test_half_a_file_is_refused(share: float) -> None:
    data = pdf(reply())
    with pytest.raises(AnswerError):
        read_form(data[: int(len(data) * share)])

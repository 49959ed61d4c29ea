"""The owner's answers in a PDF's form: how its fields are named, and how a filled one is read back.

Nothing in a file that came from outside is trusted. Only fields of our own names are read, only words that they may
hold are taken, and what a field says must be what the page shows. A file that holds a program, or carries one that no
report has, is refused, for it will be kept. Everything else in it is never looked at: no price, no page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from soundmetal.errors import AnswerError, one_line
from soundmetal.folder.pdf_syntax import PdfFault
from soundmetal.record.offer import Offer
from soundmetal.record.terms import Aim, Reply
from soundmetal.report.form_fields import DIGITS as DIGITS
from soundmetal.report.form_fields import MARK, Field, fields_of

#: A report of two hundred photographs has a tenth of this.
MAX_BYTES = 64_000_000
#: As long as a name in the record may be.
MAX_TEXT = 200
AIM, SIGNED, DATE, REPLY = "aim", "signed", "date", "reply-"
#: How the buttons of one finding are named inside the file.
REPLIES: Mapping[str, Reply] = {"yes": Reply.YES, "no": Reply.NO, "talk": Reply.TALK}
AIMS: Mapping[str, Aim] = {one.value: one for one in Aim}


@dataclass(frozen=True)
class FormNames:
    """Names of the form's fields for one state."""

    inspection: str
    digest: str

    @classmethod
    def of(cls, offer: Offer) -> FormNames:
        """Give the names for an offer."""
        return cls(offer.inspection, offer.digest[:DIGITS])

    def field(self, key: str) -> str:
        """Name one field.

        >>> FormNames("q7w8e9r0", "0123456789abcdef").field("aim")
        'sm-q7w8e9r0-0123456789abcdef-aim'
        """
        return f"{MARK}-{self.inspection}-{self.digest}-{key}"

    def reply(self, finding: str) -> str:
        """Name the field of one finding."""
        return self.field(REPLY + finding)


@dataclass(frozen=True)
class Filled:
    """A form as it came back; `signed` and `date` are texts as typed, empty where nothing was."""

    names: FormNames
    replies: Mapping[str, Reply]
    aim: Aim | None
    signed: str
    date: str

    @property
    def answered(self) -> tuple[str, ...]:
        """Keys of the fields that say something about the work."""
        return (*(REPLY + name for name in self.replies), *([AIM] if self.aim else []))

    @property
    def empty(self) -> bool:
        """Tell whether nothing was answered at all."""
        return not self.replies and self.aim is None


def read_form(data: bytes) -> Filled:
    """Read a filled form from the bytes of a PDF. AnswerError says why it cannot be taken."""
    if len(data) > MAX_BYTES:
        raise _refused(f"larger than {MAX_BYTES // 1_000_000} MB: no report of ours")
    try:
        said = _said(fields_of(data))
    except PdfFault as fault:
        raise _refused(str(fault)) from fault
    except Exception as error:  # whatever a broken file makes a reader raise
        raise _refused(f"cannot be read: {one_line(error)[:100]}") from error
    if not said:
        raise _refused(
            "holds no form of ours", todo="Type the answers in: soundmetal answers FOLDER --yes F1 --no F2"
        )
    names = {names for names, _ in said}
    if len(names) > 1:
        raise _refused("holds the forms of more than one report")
    return _filled(names.pop(), {key: value for (_, key), value in said.items()})


def asked_by(data: bytes) -> frozenset[str]:
    """Give the keys of the fields in a report of ours: reply-F1, aim, signed, date."""
    return frozenset(field.key for field in fields_of(data))


def _refused(what: str, todo: str = "") -> AnswerError:
    """Say why a file is not taken, and what to do where nothing better is known."""
    return AnswerError(what, todo=todo or "Ask the owner to fill in the report that was sent, and send that file.")


def _said(fields: Iterable[Field]) -> dict[tuple[FormNames, str], str]:
    """Give what each field says, by the form it belongs to and its key. PdfFault where one says two things."""
    said: dict[tuple[FormNames, str], str] = {}
    for field in fields:
        names, value = FormNames(*field.name.split("-", 3)[1:3]), _value(field)
        if said.setdefault((names, field.key), value) != value:
            raise PdfFault(f'answers "{field.shown}" twice and differently')
    return said


def _value(field: Field) -> str:
    if field.key in (SIGNED, DATE):
        return _text(field)
    if field.key == AIM:
        return field.pressed(tuple(AIMS))
    if not field.key.startswith(REPLY):
        raise PdfFault(f'has a field "{field.shown}" that no report has')
    return field.pressed(tuple(REPLIES))


def _text(field: Field) -> str:
    value = field.text()
    if len(value) > MAX_TEXT:
        raise PdfFault(f'"{field.shown}" is longer than {MAX_TEXT} letters')
    return one_line(value)


def _filled(names: FormNames, values: Mapping[str, str]) -> Filled:
    replies = {
        key.removeprefix(REPLY): REPLIES[value] for key, value in values.items() if key.startswith(REPLY) and value
    }
    aim = values.get(AIM)
    return Filled(names, replies, AIMS[aim] if aim else None, values.get(SIGNED, ""), values.get(DATE, ""))

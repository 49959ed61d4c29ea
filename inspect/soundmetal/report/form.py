"""The owner's answers in a PDF's form: how its fields are named, and how a filled one is read back.

Nothing in a file that came from outside is trusted. Only fields of our own names are read, only words that they may
hold are taken, and what a field says must be what the page shows. Everything else in the file is never looked at: no
price, no script, no attachment.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from soundmetal.errors import AnswerError, one_line
from soundmetal.record.offer import Offer
from soundmetal.record.terms import Aim, Reply

MARK = "sm"
#: Digits of the offer's digest that a field's name carries: nobody hits another state by accident.
DIGITS = 16
#: A report of two hundred photographs has a tenth of this.
MAX_BYTES = 64_000_000
MAX_FIELDS = 5000
MAX_TEXT = 300
AIM, SIGNED, DATE, REPLY = "aim", "signed", "date", "reply-"
#: How the buttons of one finding are named inside the file.
REPLIES: Mapping[str, Reply] = {"yes": Reply.YES, "no": Reply.NO, "talk": Reply.TALK}
_OFF = "Off"


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
    def empty(self) -> bool:
        """Tell whether nothing was answered at all."""
        return not self.replies and self.aim is None


def read_form(data: bytes) -> Filled:
    """Read a filled form from the bytes of a PDF. AnswerError says why it cannot be taken."""
    if len(data) > MAX_BYTES:
        raise _refused(f"larger than {MAX_BYTES // 1_000_000} MB: no report of ours")
    if not data[:1024].lstrip().startswith(b"%PDF-"):
        raise _refused("not a PDF")
    values = dict(_values(data))
    if not values:
        raise _refused(
            "holds no form of ours", todo="Type the answers in: soundmetal answers FOLDER --yes F1 --no F2"
        )
    names = {FormNames(*name.split("-", 3)[1:3]) for name in values}
    if len(names) > 1:
        raise _refused("holds the forms of more than one report")
    return _filled(names.pop(), {name.split("-", 3)[3]: value for name, value in values.items()})


def _refused(what: str, todo: str = "") -> AnswerError:
    """Say why a file is not taken, and what to do where nothing better is known."""
    return AnswerError(what, todo=todo or "Ask the owner to fill in the report that was sent, and send that file.")


def _filled(names: FormNames, values: Mapping[str, str]) -> Filled:
    known = {AIM, SIGNED, DATE}
    strange = next((key for key in values if key not in known and not key.startswith(REPLY)), None)
    if strange is not None:
        raise _refused(f'has a field "{strange[:40]}" that no report has')
    replies = {
        key.removeprefix(REPLY): _choice(REPLIES, value, key)
        for key, value in values.items()
        if key.startswith(REPLY) and value
    }
    aim = _choice({one.value: one for one in Aim}, values[AIM], AIM) if values.get(AIM) else None
    return Filled(names, replies, aim, _text(values, SIGNED), _text(values, DATE))


def _choice(known: Mapping[str, Any], value: str, key: str) -> Any:
    if value not in known:
        raise _refused(f'"{value[:40]}" is no answer to "{key[:40]}"', todo=f"There are: {', '.join(known)}.")
    return known[value]


def _text(values: Mapping[str, str], key: str) -> str:
    value = one_line(values.get(key, ""))
    if len(value) > MAX_TEXT:
        raise _refused(f'"{key}" is longer than {MAX_TEXT} letters')
    return value


def _values(data: bytes) -> Iterator[tuple[str, str]]:
    """Give name and value of every field of ours. AnswerError for a file that is broken or says two things."""
    with _quiet():
        try:
            found = list(_fields(_reader(data)))
        except AnswerError:
            raise
        except Exception as error:  # whatever a broken file makes a reader raise
            raise _refused(f"cannot be read: {one_line(error)[:100]}") from error
    seen: dict[str, str] = {}
    for name, value in found:
        if seen.setdefault(name, value) != value:
            raise _refused(f'answers "{name.split("-", 3)[3][:40]}" twice and differently')
    yield from seen.items()


def _reader(data: bytes) -> Any:
    from pypdf import PdfReader

    reader = PdfReader(io.BytesIO(data), strict=False)
    if reader.is_encrypted:
        raise _refused("encrypted", todo="Ask for the file without a password.")
    return reader


def _fields(reader: Any) -> Iterator[tuple[str, str]]:
    form = _get(reader.trailer["/Root"], "/AcroForm")
    if form is None:
        return
    fields = _get(form, "/Fields") or []
    if len(fields) > MAX_FIELDS:
        raise _refused(f"has more than {MAX_FIELDS} fields: no report of ours")
    for field in fields:
        one = field.get_object()
        name = str(_get(one, "/T") or "")
        if _ours(name) and "/Parent" not in one:
            yield name, _value(one, name)


def _ours(name: str) -> bool:
    parts = name.split("-", 3)
    return len(parts) == 4 and parts[0] == MARK and len(parts[2]) == DIGITS and bool(parts[3])


def _value(field: Any, name: str) -> str:
    if _get(field, "/FT") == "/Btn":
        return _pressed(field, name)
    value = _get(field, "/V")
    if value is None:
        return ""
    if not isinstance(value, str):
        raise _refused(f'the field "{name.split("-", 3)[3][:40]}" holds no text')
    return str(value)


def _pressed(field: Any, name: str) -> str:
    """Say which button of a group is pressed; what the file says and what the page shows must be the same."""
    kids = [kid.get_object() for kid in (_get(field, "/Kids") or [])]
    if len(kids) > MAX_FIELDS:
        raise _refused("has more buttons than a report")
    shown = {str(_get(kid, "/AS") or "/Off").lstrip("/") for kid in kids} - {_OFF}
    said = str(_get(field, "/V") or "/Off").lstrip("/")
    words = [str(word) for word in (_get(field, "/Opt") or [])]
    meant = {_word(state, words) for state in shown}
    value = "" if said == _OFF else _word(said, words)
    if len(meant) > 1 or (kids and meant != ({value} - {""})):
        raise _refused(
            f'the answer to "{name.split("-", 3)[3].removeprefix(REPLY)[:40]}" shows one thing and says another',
        )
    return value


def _word(state: str, words: list[str]) -> str:
    """Give the word of a button: its place in the list of words, or the word itself."""
    if state.isdecimal() and int(state) < len(words):
        return words[int(state)]
    return state


def _get(holder: Any, key: str) -> Any:
    value = holder.get(key)
    return value.get_object() if hasattr(value, "get_object") else value


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the reader's own remarks on a broken file off the screen."""
    logger = logging.getLogger("pypdf")
    was = logger.disabled
    logger.disabled = True
    try:
        yield
    finally:
        logger.disabled = was

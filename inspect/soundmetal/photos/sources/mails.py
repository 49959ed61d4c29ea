"""Pictures out of a saved mail: attached or inside the text, in mails inside mails, whatever type they claim.

Sources: RFC 5322 (format), RFC 2045 to 2047 (parts, encodings, encoded words), RFC 2183 (Content-Disposition),
RFC 2231 (long and foreign parameter values). The standard library's parser does the work.
"""

from __future__ import annotations

from collections.abc import Iterator
from email import policy
from email.errors import CloseBoundaryNotFoundDefect, HeaderParseError, StartBoundaryNotFoundDefect
from email.header import decode_header
from email.message import Message
from email.parser import BytesParser
from typing import Final, TypeAlias

from soundmetal.errors import PhotoError, one_line
from soundmetal.photos import pictures
from soundmetal.photos.scan import Refused
from soundmetal.photos.settings import settings
from soundmetal.photos.sources.kinds import HEAD_BYTES, sort_of
from soundmetal.photos.sources.models import ASK_AGAIN, UNPACK, Exhausted, Nested, PackedStream, Within
from soundmetal.photos.sources.names import clean
from soundmetal.photos.sources.zips import refuse_other

#: A head longer than this is a bomb for parsers that look at each parameter again and again.
_HEADER_LETTERS: Final = 20_000
#: Bytes of a line on average, at the least; the parser keeps every line as a text of its own, which costs memory.
_LEAST_LINE: Final = 25
_CUT: Final = (CloseBoundaryNotFoundDefect, StartBoundaryNotFoundDefect)
_SUFFIX: Final = {"JPEG": "jpg", "TIFF": "tif"}
_PICTURES: Final = frozenset(
    f"image/{kind}" for kind in ("jpeg", "jpg", "png", "tiff", "webp", "heic", "heif", "gif")
)


_Part: TypeAlias = "Message[str, str]"


def pieces(data: bytes, here: Within) -> PackedStream:
    """Give the pictures of a mail. Raises PhotoError where it cannot be read or is a bomb."""
    if data.count(b"\n") > settings().sources.max_packed_bytes // _LEAST_LINE:
        raise PhotoError("is cut into more lines than a mail has", todo=UNPACK)
    try:
        mail = BytesParser(policy=policy.compat32).parsebytes(data)
    except RecursionError as error:
        raise PhotoError("is a mail in a mail in a mail without end", todo=UNPACK) from error
    except Exception as error:  # the parser forgives nearly everything; what it does not is one refusal
        raise PhotoError(f"the mail cannot be read ({one_line(error)})", todo=UNPACK) from error
    cut = False
    for number, part in enumerate(_leaves(mail, here), 1):
        cut = cut or any(isinstance(defect, _CUT) for defect in part.defects)
        if part.is_multipart() and not _encoded(part):
            continue
        name = ""
        try:
            name = _name(part)
            yield from _part(part, name, number, here)
        except Exhausted:
            raise
        except PhotoError as error:
            yield here.refuse(name or f"part {number}", error)
    if cut:
        yield Refused(here.source, "the mail is cut off", ASK_AGAIN)


def _leaves(mail: _Part, here: Within) -> Iterator[_Part]:
    """Give all parts in order, those of mails inside as well; without recursion, as mails may be deep."""
    waiting = [mail]
    while waiting:
        here.budget.count()
        part = waiting.pop()
        yield part
        inner = part.get_payload()
        if isinstance(inner, list) and not _encoded(part):
            waiting += [one for one in reversed(inner) if isinstance(one, Message)]


def _part(part: _Part, name: str, number: int, here: Within) -> PackedStream:
    if not name and part.get_content_maintype() == "text":
        return
    data = _content(part)
    if not isinstance(data, bytes):
        return
    here.budget.spend(len(data))
    sort = sort_of(data[:HEAD_BYTES], name)
    if sort == "picture":
        original = name or f"picture {number}.{_suffix(data)}"
        caption = one_line(_words(str(part.get("Content-Description", ""))))[: settings().sources.caption_letters]
        yield here.piece(clean(original), original, lambda: data, caption)
    elif sort in ("ZIP", "mail", "archive"):
        yield Nested(data, here.inside(clean(name or f"part {number}")))
    elif not name and part.get_content_type() in _PICTURES:
        raise PhotoError("is no picture that can be used here", todo="Use JPEG, PNG, TIFF, WebP or HEIC.")
    else:
        refuse_other(name, len(data))


def _encoded(part: _Part) -> bool:
    """Tell whether a mail inside is encoded, which RFC 2046, 5.2.1 forbids and some programs do all the same."""
    encoding = str(part.get("Content-Transfer-Encoding", "")).strip().lower()
    return part.get_content_type() == "message/rfc822" and encoding in ("base64", "quoted-printable")


def _content(part: _Part) -> object:
    """Give the decoded bytes of a part. What the parser took for a mail inside is the encoded text of one."""
    inner = part.get_payload()
    if not (isinstance(inner, list) and inner and isinstance(inner[0], Message)):
        return part.get_payload(decode=True)
    mail = inner[0]
    mail["Content-Transfer-Encoding"] = part["Content-Transfer-Encoding"]
    return mail.get_payload(decode=True)


def _suffix(data: bytes) -> str:
    kind = pictures.kind_of(data[: pictures.HEAD_BYTES]) or "picture"
    return _SUFFIX.get(kind, kind.lower())


def _name(part: _Part) -> str:
    """Give the file name that a part says, decoded; empty where it says none. Raises PhotoError."""
    heads = (str(part.get(field, "")) for field in ("Content-Disposition", "Content-Type"))
    if max(map(len, heads)) > _HEADER_LETTERS:
        raise PhotoError("its head is longer than any mail's", todo=pictures.FETCH_AGAIN)
    try:
        return _words(part.get_filename("") or "")
    except Exception as error:  # broken parameters fail in many ways
        raise PhotoError("its name cannot be read", todo=pictures.FETCH_AGAIN) from error


def _words(text: str) -> str:
    """Decode encoded words, which many programs write in names although RFC 2047 forbids it there."""
    if "=?" not in text:
        return text
    try:
        return "".join(_decoded(value, charset) for value, charset in decode_header(text.replace("\r\n", "")))
    except (HeaderParseError, ValueError):
        return text


def _decoded(value: bytes | str, charset: str | None) -> str:
    if isinstance(value, str):
        return value
    try:
        return value.decode(charset or "ascii", "replace")
    except (LookupError, UnicodeError):
        return value.decode("latin-1")

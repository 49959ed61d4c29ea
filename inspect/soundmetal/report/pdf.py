"""HTML to PDF: tagged (PDF/UA-1), to be kept (PDF/A-3a), same bytes for the same page, only the allowed fetched."""

from __future__ import annotations

import datetime as dt
import gc
import logging
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote, urlsplit
from urllib.request import url2pathname

from soundmetal.errors import RenderError, WriteError
from soundmetal.folder.atomic import write_bytes
from soundmetal.report import archival, page_tree

#: The scheme of addresses that name one of the allowed files by its name alone.
_PICTURE = "picture"
_SOURCE = re.compile(r'(?<=src=")file:[^"]+(?=")')
_KINDS = {".jpg": "image/jpeg", ".png": "image/png", ".ttf": "font/ttf", ".css": "text/css"}


@dataclass(frozen=True)
class Inside:
    """A file that a PDF carries: its name there, what a reader is told of it, its content and its date."""

    name: str
    told: str
    data: bytes
    date: dt.date


def write_pdf(html: str, target: Path, *, allowed: Sequence[Path], base: Path, inside: Sequence[Inside] = ()) -> None:
    """Render a document and write it whole or not at all.

    `allowed` are the folders and files that the document may read, `base` what its relative addresses start from; any
    other address is refused. `inside` are files that it carries: what the pages were made from. Language, title,
    author, subject and date stand in the document's head. RenderError where anything at all went wrong on the way,
    WriteError where the file, or one on the way, cannot be written.
    """
    write_bytes(target, pdf_bytes(html, allowed=allowed, base=base, inside=inside))


def pdf_bytes(html: str, *, allowed: Sequence[Path], base: Path, inside: Sequence[Inside] = ()) -> bytes:
    """Render a document to the bytes of a PDF. See `write_pdf`."""
    return paged(html, allowed=allowed, base=base, inside=inside)[0]


def paged(html: str, *, allowed: Sequence[Path], base: Path, inside: Sequence[Inside] = ()) -> tuple[bytes, int]:
    """Render a document to the bytes of a PDF, and say how many pages it has. See `write_pdf`."""
    pages: list[int] = []

    def finished(made: Any, pdf: Any) -> None:
        pages.append(len(made.pages))
        archival.finish(made, pdf, complete=not complaints.missing_letter)

    with _collector_resting(), _every_warning_counts() as complaints:
        try:
            fetcher = Fetcher(allowed)
            document = page_tree.document(fetcher.placeless(html), base.resolve().as_uri() + "/", fetcher)
            data: bytes = document.write_pdf(
                **archival.options(),
                attachments=[_attached(one) for one in inside],
                finisher=finished,
            )
        except RenderError:
            raise
        except OSError as error:
            why = error.strerror or str(error)
            raise WriteError(f"no PDF: {why}", todo="Make room for temporary files, and do it again.") from error
        except Exception as error:
            raise RenderError(
                f"the PDF could not be made: {error}", todo="Report this; it is not your mistake."
            ) from error
    return data, pages[-1]


def _attached(one: Inside) -> Any:
    """Make a file ready to be carried as the source of the pages (ISO 32000-2, 7.11.3 and 14.13)."""
    from weasyprint import Attachment

    day = dt.datetime.combine(one.date, dt.time(), dt.UTC)
    dated = {"created": day, "modified": day}
    return Attachment(string=one.data, name=one.name, description=one.told, relationship="Source", **dated)


class Fetcher:
    """Hands WeasyPrint the files it may have, and refuses everything else: no network, no other place on the disk."""

    def __init__(self, allowed: Sequence[Path]) -> None:
        """Allow these files, and what lies under these folders."""
        self.allowed = tuple(path.resolve() for path in allowed)
        self._pictures = {path.name: path for path in self.allowed if path.is_file()}

    def placeless(self, html: str) -> str:
        """Name the pictures of a document by their own name, not by where they lie.

        A PDF keeps a trace of every picture's address, and the same folder gives the same bytes wherever it lies.
        """
        return _SOURCE.sub(self._named, html)

    def _named(self, match: re.Match[str]) -> str:
        path = self.path_of(unescape(match[0]))
        return f"{_PICTURE}:{quote(path.name)}" if self._pictures.get(path.name) == path else match[0]

    def __call__(self, url: str, *_: Any, **__: Any) -> Any:
        """Give one file. RenderError for any other address."""
        from weasyprint.urls import URLFetcherResponse

        path = self.path_of(url)
        try:
            data = path.read_bytes()
        except OSError as error:
            raise RenderError(
                f'cannot read "{path.name}": {error.strerror}', todo="Make the report again."
            ) from error
        kind = _KINDS.get(path.suffix.lower(), "application/octet-stream")
        return URLFetcherResponse(url, data, {"Content-Type": kind})

    def path_of(self, url: str) -> Path:
        """Give the path that an address names. RenderError where it is not allowed."""
        parts = urlsplit(url)
        if parts.scheme == _PICTURE and (picture := self._pictures.get(unquote(parts.path))):
            return picture
        if parts.scheme == "file" and parts.netloc in ("", "localhost"):
            path = Path(url2pathname(unquote(parts.path))).resolve()
            if any(path == place or path.is_relative_to(place) for place in self.allowed):
                return path
        raise RenderError(f'a page asked for "{url[:80]}", which it may not read', todo="Look for it in the notes.")


@contextmanager
def _collector_resting() -> Iterator[None]:
    """Rendering makes a great many objects that live to the end: looking for garbage meanwhile only costs time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


#: A letter that no font on this machine has is drawn as a box, which anybody can see; a whole report must not fail
#: because a note holds an emoji.
_MISSING_LETTER = ".notdef glyph"


class _Complaints(logging.Handler):
    """Keeps what WeasyPrint complains of."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []
        self.missing_letter = False

    def emit(self, record: logging.LogRecord) -> None:
        if record.getMessage().startswith(_MISSING_LETTER):
            self.missing_letter = True
        else:
            self.heard.append(record.getMessage())


@contextmanager
def _every_warning_counts() -> Iterator[_Complaints]:
    """Turn any complaint while rendering into a RenderError: a page with something missing is not sent to anybody."""
    logger, complaints = logging.getLogger("weasyprint"), _Complaints()
    handlers, propagate = logger.handlers[:], logger.propagate
    logger.handlers, logger.propagate = [complaints], False
    try:
        yield complaints
    finally:
        logger.handlers, logger.propagate = handlers, propagate
    if complaints.heard:
        raise RenderError(
            f"the PDF is not complete: {complaints.heard[0]}", todo="Report this; it is not your mistake."
        )

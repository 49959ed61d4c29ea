"""What people name on the command line: folders, single files; pictures and packed files alike, told by content."""

from __future__ import annotations

import dataclasses
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from soundmetal.errors import FolderError, PhotoError
from soundmetal.photos.scan import Entry, Found, Refused, key, look, walk
from soundmetal.photos.settings import settings
from soundmetal.photos.sources import packed
from soundmetal.photos.sources.captions import captions, text_of
from soundmetal.photos.sources.kinds import HEAD_BYTES, Sort, sort_of
from soundmetal.photos.sources.models import UNPACK, Budget, Piece, Stream, Within, stem
from soundmetal.photos.sources.names import clean, shown
from soundmetal.photos.sources.zips import matters, refuse_other

_NO_PICTURE = PhotoError("no picture that can be used here", todo="Use JPEG, PNG, TIFF, WebP or HEIC.")


@dataclass(frozen=True)
class Listed:
    """A file to be looked at: its name with the source's own in front; `asked` where a person named that file."""

    entry: Entry
    root: Path
    source: str
    asked: bool
    caption: str = ""


def check(sources: Sequence[Path], target: Path) -> None:
    """Raise FolderError for a source that is not there or that holds the inspection, before anything is taken."""
    for source in sources:
        if not os.path.exists(source):  # noqa: PTH110 - Path.exists raises where a name is too long
            raise FolderError(f'there is no "{source}"', todo="Check the spelling.")
        if source.resolve() in (target.resolve(), *target.resolve().parents):
            raise FolderError(f'"{source}" holds the inspection itself', todo="Name where the photographs come from.")


def listed(sources: Sequence[Path]) -> tuple[list[Listed], list[Refused]]:
    """List the files of all sources, captions looked up; nothing but logs of messages is read yet."""
    files: list[Listed] = []
    refused: list[Refused] = []
    for source in sources:
        name = key(source.resolve().name)
        if source.is_dir():
            files += _with_captions(
                [Listed(one, source.resolve(), name, False) for one in walk(source, name, refused)]
            )
        else:
            name = key(source.name)
            files.append(Listed(Entry(name, source, link=False), source.resolve().parent, name, asked=True))
    return files, [Refused(shown(bad.name), bad.why, bad.todo) for bad in refused]


def _with_captions(files: list[Listed]) -> list[Listed]:
    names = {one.entry.path.name for one in files}
    found = captions(_logs(files), names)
    return [dataclasses.replace(one, caption=found.get(one.entry.path.name, "")) for one in files]


def _logs(files: list[Listed]) -> Iterator[str]:
    for one in files:
        path = one.entry.path
        try:
            if sort_of(b"", path.name) == "text" and 0 < path.stat().st_size <= settings().sources.max_log_bytes:
                yield text_of(path.read_bytes(), path.name)
        except OSError:  # a log that cannot be read costs its captions, no picture
            continue


def opened(one: Listed) -> Stream:
    """Give what a file is or holds; nothing is raised for what stands in it."""
    entry = one.entry
    try:
        sort = _sort(one)
        if sort == "archive":
            raise PhotoError("is an archive that is not opened here", todo=UNPACK)
        if sort in ("ZIP", "mail"):
            name = clean(entry.name)
            within = Within(f"{stem(name)}/", name, Budget.full())
            with entry.path.open("rb") as stream:
                yield from packed.opened(stream, within)
            return
        found = look(entry, one.root)
        if found is not None:
            name = clean(entry.name)
            told = (shown(entry.name), found.sha256, one.caption)
            yield Piece(name, entry.name, one.source, lambda: _bytes(found), *told)
        else:
            refuse_other(entry.name, 1)
            if one.asked:
                raise _NO_PICTURE
    except PhotoError as error:
        yield Refused(shown(entry.name), error.what, error.todo)
    except OSError as error:
        yield Refused(shown(entry.name), f"cannot be read: {error.strerror}", "Make it readable, or leave it out.")


def _sort(one: Listed) -> Sort:
    """Look into an ordinary file; what is none, or cannot be read, is judged where pictures are."""
    entry = one.entry
    try:
        if not entry.path.is_file():
            return "other"
        if entry.link and not entry.path.resolve().is_relative_to(one.root):
            if matters(entry.name):
                raise PhotoError("a link that leads out of the folder", todo="Add the file itself.")
            return "other"
        with entry.path.open("rb") as stream:
            return sort_of(stream.read(HEAD_BYTES), entry.path.name)
    except OSError:
        return "other"


def _bytes(found: Found) -> bytes:
    try:
        return found.path.read_bytes()
    except OSError as error:
        raise PhotoError(f"cannot be read: {error.strerror}", todo="Fetch it again.") from error

"""What lies in the folder: every file that is a picture by its content, and every one that only pretends to be."""

from __future__ import annotations

import hashlib
import os
import stat
import unicodedata
from collections.abc import Container, Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final

from soundmetal.errors import FolderError, PhotoError, one_line
from soundmetal.photos import pictures
from soundmetal.photos.settings import settings

#: Suffixes that promise a picture or a film: such a file is named when it cannot be used, others are passed over.
PICTURE_SUFFIXES: Final = frozenset(
    """.jpg .jpeg .jpe .jfif .mpo .png .tif .tiff .webp .heic .heif .hif .gif
    .bmp .avif .dng .cr2 .cr3 .nef .arw .orf .pef .raf .rw2 .srw""".split()  # noqa: SIM905 - easier to read
)
FILM_SUFFIXES: Final = frozenset((".mov", ".mp4", ".m4v", ".avi", ".3gp", ".mkv", ".webm"))
_LEAVE_OUT: Final = "Put the photograph itself here, or take the file away."


@dataclass(frozen=True)
class Found:
    """A file that is a picture by its first bytes.

    `name` is its path below the folder with `/` between the parts (Unicode NFC), the key in the record; of one that
    was taken in, the name it arrived with, while `path` is where it is kept. `caption` is what came written with it.
    """

    name: str
    path: Path
    kind: str
    sha256: str
    size_bytes: int
    caption: str = ""


@dataclass(frozen=True)
class Refused:
    """A file that cannot be used, why, and what to do about it."""

    name: str
    why: str
    todo: str

    def __str__(self) -> str:
        return f"{one_line(self.name)}: {self.why.rstrip('.')}. {self.todo}".strip()


@dataclass(frozen=True)
class Scan:
    """What a folder holds, sorted by name."""

    photos: tuple[Found, ...]
    refused: tuple[Refused, ...]


def refuse(name: str, error: PhotoError) -> Refused:
    """Make the line for a file out of the error it met."""
    return Refused(name, error.what, error.todo)


def key(name: str) -> str:
    """Write a path as the record does: Unicode NFC, whatever the file system made of it.

    >>> key("pin\\u0303o/1.jpg") == "pi\\u00f1o/1.jpg"
    True
    """
    return unicodedata.normalize("NFC", name)


def scan(folder: Path, known: Container[str] = ()) -> Scan:
    """Walk a folder and its subfolders; hidden files are passed over, links are not followed out of it.

    Files whose name is `known` are passed over too. One bad file never stops the rest. Raises FolderError when the
    folder itself cannot be read.
    """
    if not folder.is_dir():
        raise FolderError(f'"{folder}" is not a folder', todo="Name the folder that holds the photographs.")
    root = folder.resolve()
    photos: dict[str, Found] = {}
    refused: list[Refused] = []
    for entry in walk(folder, "", refused):
        if entry.name in known:
            continue
        try:
            found = look(entry, root)
            if found and found.name in photos:
                raise PhotoError("another file has the same name in another spelling", todo="Rename one of them.")
            if found:
                photos[found.name] = found
        except PhotoError as error:
            refused.append(refuse(entry.name, error))
    return Scan(tuple(photos[name] for name in sorted(photos)), tuple(sorted(refused, key=lambda bad: bad.name)))


def scan_file(path: Path) -> Scan:
    """Look at one file as `scan` looks at each; one that promises no picture is refused too, it was asked for."""
    entry = Entry(key(path.name), path, link=False)
    try:
        found = look(entry, path.resolve().parent)
        if found is None:
            raise PhotoError("no picture that can be used here", todo="Use JPEG, PNG, TIFF, WebP or HEIC.")
    except PhotoError as error:
        return Scan((), (refuse(entry.name, error),))
    return Scan((found,), ())


@dataclass(frozen=True)
class Entry:
    """A file met on the disk: its name for the record, where it is, whether it is a link."""

    name: str
    path: Path
    link: bool

    @property
    def promises(self) -> bool:
        """Whether its suffix promises a picture or a film."""
        return promises(self.path.name)


def promises(name: str) -> bool:
    """Tell whether a name promises a picture or a film.

    >>> promises("a/IMG_1.JPG"), promises("notes.txt")
    (True, False)
    """
    return suffix_of(name) in PICTURE_SUFFIXES | FILM_SUFFIXES


def suffix_of(name: str) -> str:
    """Give the suffix of a name in small letters, with its dot; empty where there is none."""
    return PurePosixPath(name).suffix.lower()


def walk(folder: Path, below: str, refused: list[Refused]) -> Iterator[Entry]:
    """Give the files of a folder and its subfolders in order; what cannot be looked at goes to `refused`."""
    try:
        with os.scandir(folder) as listing:
            entries = sorted(listing, key=lambda entry: entry.name)
    except OSError as error:
        refused.append(Refused(below or ".", f"the folder cannot be read: {error.strerror}", "Make it readable."))
        return
    for entry in entries:
        if entry.name.startswith("."):
            continue
        name = key(f"{below}/{entry.name}" if below else entry.name)
        path = folder / entry.name
        if entry.is_dir(follow_symlinks=False):
            yield from walk(path, name, refused)
        elif not _is_text(name):
            shown = os.fsencode(name).decode("utf-8", "backslashreplace")
            refused.append(Refused(shown, "its name is not valid text", "Rename the file."))
        elif entry.is_symlink() and path.is_dir():
            refused.append(Refused(name, "a link to a folder is not followed", _LEAVE_OUT))
        else:
            yield Entry(name, path, entry.is_symlink())


def _is_text(name: str) -> bool:
    return not any("\ud800" <= char <= "\udfff" for char in name)


def look(entry: Entry, root: Path) -> Found | None:
    """Identify one file by its content; None where it is no picture and promised none. Raises PhotoError."""
    try:
        return _identify(entry, root)
    except (OSError, RuntimeError) as error:  # Python up to 3.12 tells a loop of links by RuntimeError
        if not entry.promises and not isinstance(error, PermissionError):
            return None
        why = getattr(error, "strerror", None) or "the link leads to itself"
        raise PhotoError(f"cannot be read: {why}", todo=_LEAVE_OUT) from error


def _identify(entry: Entry, root: Path) -> Found | None:
    if entry.link and not entry.path.resolve().is_relative_to(root):
        if entry.promises:
            raise PhotoError("a link that leads out of the folder", todo=_LEAVE_OUT)
        return None
    status = entry.path.stat()
    if not stat.S_ISREG(status.st_mode):  # opening a pipe would wait for ever
        if entry.promises:
            raise PhotoError("not an ordinary file", todo=_LEAVE_OUT)
        return None
    with entry.path.open("rb") as stream:
        kind = pictures.kind_of(stream.read(pictures.HEAD_BYTES))
        if kind is None:
            refuse_pretender(entry.path.name, status.st_size)
            return None
        _refuse_heavy(status.st_size)
        stream.seek(0)
        digest = hashlib.file_digest(stream, "sha256").hexdigest()
    with pictures.open_picture(entry.path):
        return Found(entry.name, entry.path, kind, digest, status.st_size)


def _refuse_heavy(size_bytes: int) -> None:
    limit = settings().scan.max_bytes
    if size_bytes > limit:
        megabytes = f"{size_bytes / 1e6:.0f} MB is more than {limit / 1e6:.0f} MB"
        raise PhotoError(megabytes, todo="Save a smaller copy and use that.")


def refuse_pretender(name: str, size_bytes: int) -> None:
    """Raise PhotoError for a file that is no picture by its content where its name promises one."""
    suffix = suffix_of(name)
    if suffix in FILM_SUFFIXES:
        raise PhotoError("a film, not a photograph", todo="Take still pictures out of it and add those.")
    if suffix not in PICTURE_SUFFIXES:
        return
    if not size_bytes:
        raise PhotoError("the file is empty", todo=pictures.FETCH_AGAIN)
    raise PhotoError(
        f"ends in {suffix} but is no picture that can be used here", todo="Use JPEG, PNG, TIFF, WebP or HEIC."
    )

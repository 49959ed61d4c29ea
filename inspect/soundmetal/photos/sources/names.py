"""Names that arrive with photographs: kept as people wrote them, unless they try to reach out or to deceive.

No name ever becomes a path on the disk (kept files are called by their content), so a refused name costs a renaming
and never protects more than the record and the eyes of who reads it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Iterator
from pathlib import PurePosixPath
from typing import Final

from soundmetal.errors import PhotoError
from soundmetal.photos.settings import settings

_REMEDY: Final = "Rename it and add it again."
_DRIVE = re.compile(r"[A-Za-z]:")
#: Marks and overrides of the writing direction (Unicode Bidirectional Algorithm, UAX #9, table 1; from memory).
_TURNING: Final = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
#: Names that Windows keeps for devices, with any suffix ("Naming Files, Paths, and Namespaces"; from memory).
_DEVICES: Final = frozenset(
    (
        "con",
        "prn",
        "aux",
        "nul",
        "conin$",
        "conout$",
        *(f"{port}{n}" for port in ("com", "lpt") for n in "123456789¹²³"),
    )
)
_SHOWN: Final = 120


def clean(original: str) -> str:
    r"""Give the name for the record: Unicode NFC, `/` between the parts, no blanks or dots at their ends.

    Raises PhotoError for a name that leads out of its folder, hides what it is, or is longer than the settings say.

    >>> clean("rocker left. \\pin\u0303o/IMG 1.jpg ")
    'rocker left/piño/IMG 1.jpg'
    """
    text = unicodedata.normalize("NFC", original).replace("\\", "/")
    _refuse_characters(text)
    parts = [part.strip() for part in text.split("/")]
    if text.startswith("/") or any(_DRIVE.match(part) for part in parts):
        raise PhotoError("its name is a path from the root of a disk", todo=_REMEDY)
    if any(len(part) > 1 and not part.strip(". ") for part in parts):
        raise PhotoError("its name leads out of its folder", todo=_REMEDY)
    kept = [tidy for part in parts if (tidy := part.rstrip(". "))]
    if not kept:
        raise PhotoError("it has no name", todo=_REMEDY)
    if any(part.split(".")[0].strip().casefold() in _DEVICES for part in kept):
        raise PhotoError("its name is kept for a device on some computers", todo=_REMEDY)
    name = "/".join(kept)
    _refuse_long(name, kept)
    return name


def _refuse_characters(text: str) -> None:
    if "\0" in text:
        raise PhotoError("its name holds a NUL", todo=_REMEDY)
    if not _TURNING.isdisjoint(text):
        raise PhotoError("its name holds marks that turn the direction of reading", todo=_REMEDY)
    if any(unicodedata.category(char) == "Cc" for char in text):
        raise PhotoError("its name holds control characters", todo=_REMEDY)
    if any("\ud800" <= char <= "\udfff" for char in text):
        raise PhotoError("its name is not valid text", todo=_REMEDY)


def _refuse_long(name: str, parts: list[str]) -> None:
    limits = settings().sources
    longest = max(len(part.encode()) for part in parts)
    if len(name.encode()) > limits.max_name_bytes or longest > limits.max_part_bytes:
        raise PhotoError(f"its name is longer than {limits.max_part_bytes} bytes", todo=_REMEDY)


def shown(original: str) -> str:
    r"""Write any name so that a person can read it on one line: what cannot be seen as its code, the middle left out.

    >>> shown("a\u202egpj.exe"), len(shown("x" * 4096))
    ('a\\u202egpj.exe', 120)
    """
    text = "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in original)
    half = (_SHOWN - 3) // 2
    return text if len(text) <= _SHOWN else f"{text[: half + 1]}...{text[-half:]}"


def free(name: str, taken: Container[str]) -> str:
    """Give the name, or the first with a number that is not taken.

    >>> free("x/a.jpg", {"x/a.jpg", "x/a (2).jpg"})
    'x/a (3).jpg'
    """
    return next(one for one in _numbered(name) if one not in taken)


def _numbered(name: str) -> Iterator[str]:
    yield name
    path = PurePosixPath(name)
    number = 2
    while True:
        yield str(path.with_name(f"{path.stem} ({number}){path.suffix}"))
        number += 1


def hidden(name: str) -> bool:
    """Tell whether a part of the name makes it a hidden file, as systems and phones strew them.

    >>> hidden("__MACOSX/._IMG_1.jpg"), hidden("a/IMG_1.jpg"), hidden("../a.jpg")
    (True, False, False)
    """
    parts = [part for part in name.replace("\\", "/").split("/") if part.strip(". ")]
    return any(part.startswith(".") or part == "__MACOSX" for part in parts)

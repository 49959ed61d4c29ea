"""What every kind of source gives: pieces, each a file that may be a photograph, and a budget that bombs run into."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from soundmetal.errors import PhotoError
from soundmetal.photos.scan import Refused
from soundmetal.photos.settings import settings
from soundmetal.photos.sources.names import shown

#: What to do with a packed file that cannot be read as it is.
UNPACK: Final = "Unpack it on your computer and add the folder."
ASK_AGAIN: Final = "Ask for it again; what could be read was taken."


@dataclass(frozen=True)
class Piece:
    """One picture that arrives: its name for the record, as it was written, where from, and how to get its bytes.

    `load` gives the whole content and raises PhotoError; it holds only until the next piece is asked for. `sha256` is
    empty where the content has not been read yet. `original` is the name with its folders, not cleaned, `label`
    names the piece in messages.
    """

    name: str
    original: str
    source: str
    load: Callable[[], bytes]
    label: str
    sha256: str = ""
    caption: str = ""


#: What comes out of a source, one after the other.
Stream = Iterator[Piece | Refused]


@dataclass
class Budget:
    """What one source may still give: bytes unpacked, and files."""

    bytes_left: int
    members_left: int

    @classmethod
    def full(cls) -> Budget:
        """Give what the settings allow."""
        limits = settings().sources
        return cls(limits.max_unpacked_bytes, limits.max_members)

    def spend(self, size_bytes: int) -> None:
        """Take bytes off; raise Exhausted when none are left."""
        self.bytes_left -= size_bytes
        if self.bytes_left < 0:
            gigabytes = settings().sources.max_unpacked_bytes / 1e9
            raise Exhausted(f"gives more than {gigabytes:g} GB when unpacked", todo=UNPACK)

    def count(self) -> None:
        """Take one file off; raise Exhausted when too many came."""
        self.members_left -= 1
        if self.members_left < 0:
            raise Exhausted(f"holds more than {settings().sources.max_members} files", todo=UNPACK)


class Exhausted(PhotoError):
    """The source as a whole is refused from here on."""


@dataclass(frozen=True)
class Within:
    """Where in the nest of sources we are: what goes before names, the source, how deep, what is left."""

    prefix: str
    source: str
    budget: Budget
    depth: int = 1

    def inside(self, kept: str) -> Within:
        """Step into a packed file of that name. Raises PhotoError where that is too deep."""
        deepest = settings().sources.max_depth
        if self.depth >= deepest:
            raise PhotoError(f"is packed more than {deepest} times", todo=UNPACK)
        prefix = f"{self.prefix}{stem(kept)}/"
        return replace(self, prefix=prefix, source=f"{self.source} > {kept}", depth=self.depth + 1)

    def piece(self, kept: str, original: str, load: Callable[[], bytes], caption: str = "") -> Piece:
        """Make a piece of a picture inside; `kept` is its name, cleaned."""
        label = f"{self.source} > {shown(original)}"
        return Piece(self.prefix + kept, self.prefix + original, self.source, load, label, caption=caption)

    def refuse(self, original: str, error: PhotoError) -> Refused:
        """Name a file inside that cannot be used."""
        return Refused(f"{self.source} > {shown(original)}", error.what, error.todo)

    def refuse_all(self, error: PhotoError) -> Refused:
        """Name the packed file itself."""
        return Refused(self.source, error.what, error.todo)


@dataclass(frozen=True)
class Nested:
    """A packed file inside another, to be opened before the next piece is asked for."""

    data: bytes
    within: Within


#: What comes out of a packed file before those inside it are opened.
PackedStream = Iterator[Piece | Refused | Nested]


def stem(name: str) -> str:
    """Give a name without its suffix.

    >>> stem("a.b/letter.eml"), stem("a.b/letter"), stem(".zip")
    ('a.b/letter', 'a.b/letter', '.zip')
    """
    folder, slash, last = name.rpartition("/")
    return f"{folder}{slash}{last.rpartition('.')[0] or last}"

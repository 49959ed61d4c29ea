"""Opening what is packed, told by its content: a ZIP, a ZIP without its end, a mail; and what is packed inside."""

from __future__ import annotations

import io
from typing import IO

from soundmetal.errors import PhotoError
from soundmetal.photos.scan import Refused
from soundmetal.photos.settings import settings
from soundmetal.photos.sources import mails, salvage, zips
from soundmetal.photos.sources.kinds import HEAD_BYTES, sort_of
from soundmetal.photos.sources.models import ASK_AGAIN, UNPACK, Exhausted, Nested, PackedStream, Piece, Stream, Within


def opened(stream: IO[bytes], here: Within) -> Stream:
    """Give the pictures of a packed file that stays open meanwhile, and of those inside it.

    What is wrong with it as a whole comes last, by name; only Exhausted is raised, and that only out of the inside.
    """
    told = 0
    try:
        for thing in _by_sort(stream, here):
            told += 1
            if isinstance(thing, Nested):
                yield from opened(io.BytesIO(thing.data), thing.within)
            else:
                yield thing
    except Exhausted as error:
        if here.depth > 1:  # the budget is the outermost file's
            raise
        told += 1
        yield here.refuse_all(error)
    except PhotoError as error:
        told += 1
        yield here.refuse_all(error)
    if not told:
        yield Refused(here.source, "holds no photograph", "Add the photographs themselves.")


def _by_sort(stream: IO[bytes], here: Within) -> PackedStream:
    sort = sort_of(stream.read(HEAD_BYTES), "")
    if sort == "archive":
        raise PhotoError("is an archive that is not opened here", todo=UNPACK)
    if sort == "ZIP":
        yield from _zip(stream, here)
    else:
        yield from mails.pieces(_all(stream), here)


def _all(stream: IO[bytes]) -> bytes:
    """Read a mail whole, if it is not too large for that."""
    limit = settings().sources.max_packed_bytes
    if stream.seek(0, 2) > limit:
        raise PhotoError(f"is larger than {limit / 1e6:g} MB", todo="Save the photographs out of it and add those.")
    stream.seek(0)
    return stream.read()


def _zip(stream: IO[bytes], here: Within) -> PackedStream:
    try:
        yield from zips.pieces(stream, here)
    except zips.Damaged as error:
        found = False
        for thing in salvage.pieces(stream, here):
            found = found or isinstance(thing, Piece)
            yield thing
        yield Refused(here.source, error.what, ASK_AGAIN if found else UNPACK)

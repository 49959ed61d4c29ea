"""Copies for the pages: upright, small, without any metadata, in sRGB; made in parallel, kept by content.

A copy carries no EXIF (no position of anybody's yard goes to a customer, and page makers re-encode a picture that has
an EXIF block), no profile and no comment. Originals are only read.
"""

from __future__ import annotations

import contextlib
import io
import os
import tempfile
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PIL import Image

from soundmetal.errors import PhotoError, WriteError
from soundmetal.photos import blocks, covers, pictures
from soundmetal.photos.covers import Outline
from soundmetal.photos.scan import Found, Refused, refuse
from soundmetal.photos.settings import settings
from soundmetal.photos.shrink import for_page

#: Goes up whenever a copy would look different, so that older ones are not used again.
RECIPE: Final = 3


@dataclass(frozen=True)
class Copy:
    """A copy ready for a page; size in pixels, `sha256` of the original that it was made from."""

    path: Path
    width: int
    height: int
    sha256: str


@dataclass(frozen=True)
class Prepared:
    """Copies by the photograph's name, and the photographs that could not be decoded, sorted by name."""

    copies: dict[str, Copy]
    refused: tuple[Refused, ...]


#: Told after every photograph: how many are done, how many there are.
OnDone = Callable[[int, int], None]


def prepare(
    founds: Iterable[Found],
    cache_dir: Path,
    *,
    long_side_px: int | None = None,
    quality: int | None = None,
    workers: int | None = None,
    on_done: OnDone | None = None,
    covered: Mapping[str, frozenset[Outline]] | None = None,
) -> Prepared:
    """Make, or find again, a copy of every photograph; a broken one is refused by name and the rest go on.

    Sizes in pixels, quality as JPEG programs count it; what is None comes from the settings. Photographs with the
    same bytes share one copy. `covered` gives by name what must not be seen; the same picture under another name is
    covered as well. Raises WriteError when the cache cannot be written.
    """
    defaults = settings().copies
    founds = tuple(founds)
    recipe = _Recipe(
        cache_dir,
        long_side_px or defaults.long_side_px,
        quality or defaults.quality,
        _by_content(founds, covered or {}),
    )
    _make_folder(cache_dir)
    same: dict[str, list[Found]] = {}
    for found in founds:
        same.setdefault(found.sha256, []).append(found)
    copies: dict[str, Copy] = {}
    refused: list[Refused] = []
    total, done = sum(len(group) for group in same.values()), 0
    with pictures.quiet, blocks.kept, ThreadPoolExecutor(workers or defaults.workers) as pool:
        running = {pool.submit(recipe.copy, group[0]): group for group in same.values()}
        for future in _ended(running):
            for found in running[future]:
                _keep(found, future, copies, refused)
                done += 1
                if on_done:
                    on_done(done, total)
    refused.sort(key=lambda bad: bad.name)
    return Prepared({name: copies[name] for name in sorted(copies)}, tuple(refused))


def _by_content(founds: Iterable[Found], covered: Mapping[str, frozenset[Outline]]) -> dict[str, frozenset[Outline]]:
    """Give the covers by content, those of all the names of one picture together."""
    together: dict[str, frozenset[Outline]] = {}
    for found in founds:
        if covers_here := covered.get(found.name):
            together[found.sha256] = together.get(found.sha256, frozenset()) | covers_here
    return together


def _ended(running: Iterable[Future[Copy]]) -> Iterable[Future[Copy]]:
    """Give the futures as they end; when one cannot write, do not start the rest."""
    waiting = list(running)
    for future in as_completed(waiting):
        if isinstance(future.exception(), WriteError):
            for other in waiting:
                other.cancel()
        yield future


def _keep(found: Found, future: Future[Copy], copies: dict[str, Copy], refused: list[Refused]) -> None:
    try:
        copies[found.name] = future.result()
    except PhotoError as error:
        refused.append(refuse(found.name, error))


def _make_folder(cache_dir: Path) -> None:
    try:
        cache_dir.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        todo = "Make room or name another folder."
        raise WriteError(f'cannot make the folder "{cache_dir}": {error.strerror}', todo=todo) from error


@dataclass(frozen=True)
class _Recipe:
    """Where copies go, how large and how good they are, what is covered on them (by content)."""

    cache_dir: Path
    long_side_px: int
    quality: int
    covered: Mapping[str, frozenset[Outline]]

    def copy(self, found: Found) -> Copy:
        """Find or make one copy. Raises PhotoError, WriteError."""
        hidden = self.covered.get(found.sha256, frozenset())
        end = f"-c{covers.name_of(hidden)}" if hidden else ""
        name = f"{found.sha256[:32]}-{self.long_side_px}-q{self.quality}-r{RECIPE}{end}.jpg"
        path = self.cache_dir / name
        size = _size_of(path)
        if size is None:
            picture = for_page(found.path, self.long_side_px)
            covers.paint(picture, hidden)
            size = picture.size
            _write(path, _encoded(picture, self.quality))
        return Copy(path, size[0], size[1], found.sha256)


def _size_of(path: Path) -> tuple[int, int] | None:
    """Give the size of a copy made before; None when there is none, or it is damaged."""
    try:
        complete = path.stat().st_size > 4 and _last_two(path) == b"\xff\xd9"
    except OSError:
        return None
    if not complete:
        return None
    with contextlib.suppress(PhotoError), pictures.open_picture(path) as picture:
        return picture.size
    return None


def _last_two(path: Path) -> bytes:
    with path.open("rb") as stream:
        stream.seek(-2, os.SEEK_END)
        return stream.read()


def _encoded(picture: Image.Image, quality: int) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=quality)
    return buffer.getvalue()


def _write(path: Path, data: bytes) -> None:
    """Write beside, then swap in: a reader sees a whole copy or none. Raises WriteError."""
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".copy-", suffix=".part")
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        Path(temporary).replace(path)
    except OSError as error:
        if temporary:
            Path(temporary).unlink(missing_ok=True)
        raise WriteError(
            f'cannot write "{path}": {error.strerror}', todo="Make room or name another folder."
        ) from error

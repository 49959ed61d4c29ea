"""An inspection folder made again from the PDF that its customer was sent: the record, and copies of the photographs.

Copies keep their own name (`report-copy-001.jpg`): nobody shall take them for what the camera wrote. What cannot come
back is said, in the record's first lines and to who restores it.
"""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from soundmetal.data import DATA
from soundmetal.errors import FolderError, WriteError
from soundmetal.folder import yaml_text
from soundmetal.folder.atomic import write_bytes, write_text
from soundmetal.folder.carried import Carried, Carry, Opened, photograph_names, with_names
from soundmetal.folder.shop import SHOP, shop_path
from soundmetal.folder.store import HIDDEN, RECORD, from_text

PHOTOS = "photos"
_START = DATA / "start" / SHOP
_BOOK = {
    True: "The shop book: put your own shop.yaml here, or prices follow the defaults.",
    False: "The shop book: prices follow the shop.yaml that was here already.",
}
_JPEG = b"\xff\xd8\xff"


@dataclass(frozen=True)
class Restored:
    """What was written (the record last), and in sentences what could not be brought back."""

    written: tuple[Path, ...]
    lost: tuple[str, ...]

    def take_back(self) -> None:
        """Remove what was written, and the folders where nothing else lies in them."""
        for path in self.written:
            path.unlink(missing_ok=True)
        folder = self.written[-1].parent
        for place in (folder / HIDDEN / "copies", folder / HIDDEN, folder / PHOTOS, folder):
            with contextlib.suppress(OSError):
                place.rmdir()


def restore(folder: Path, opened: Opened) -> Restored:
    """Make the folder of an inspection out of what a PDF carried.

    Nothing is overwritten: FolderError where an inspection or photographs are there already. The record comes last,
    so that a folder that has one is whole.
    """
    _must_be_free(folder)
    carried, pictures = opened.carried, _usable(opened.pictures)
    names = _names(carried, pictures)
    lost = (_BOOK[shop_path(folder, "") is None], *_lost(carried, names))
    text = _text(folder, carried, names, lost)
    _make(folder / PHOTOS)
    written = []
    for photo in carried.photographs:
        if photo.name in names and photo.copy_sha256:
            written.append(folder / PHOTOS / names[photo.name])
            write_bytes(written[-1], pictures[photo.copy_sha256])
    if shop_path(folder, "") is None:
        written.append(folder / SHOP)
        write_text(written[-1], _START.read_text(encoding="utf-8"))
    write_text(folder / RECORD, text)
    return Restored((*written, folder / RECORD), lost)


def _must_be_free(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise FolderError(f'"{folder.name}" is a file', todo="Name a folder.")
    if any(folder.glob("inspection.y*ml")):
        raise FolderError(f'"{folder.name}" holds an inspection already', todo="Name another folder.")
    photos = folder / PHOTOS
    if photos.exists() and (not photos.is_dir() or any(photos.iterdir())):
        raise FolderError(f'"{folder.name}" holds photographs already', todo="Name a folder that is empty.")


def _make(photos: Path) -> None:
    try:
        photos.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(f'cannot make "{photos}": {error.strerror}', todo="Choose another place.") from error


def _usable(pictures: Mapping[str, bytes]) -> dict[str, bytes]:
    """Keep what is a JPEG by its content: that is all that the pages hold."""
    return {digest: data for digest, data in pictures.items() if data.startswith(_JPEG)}


def _names(carried: Carried, pictures: Mapping[str, bytes]) -> dict[str, str]:
    """Give the file of each photograph that comes back, by the name that the record calls it by."""
    back = [photo.name for photo in carried.photographs if photo.copy_sha256 in pictures]
    return {name: f"report-copy-{number:03d}.jpg" for number, name in enumerate(back, 1)}


def _text(folder: Path, carried: Carried, names: Mapping[str, str], lost: tuple[str, ...]) -> str:
    """Write the record anew with the names of the copies; comments that were carried stay."""
    tree = yaml_text.parse(carried.text, Path(RECORD))
    with_names(tree, names)
    _say_zones(tree, carried, names)
    tree.pop("shop", None)  # a path of another machine, and nothing that a PDF may name
    head = "# Brought back from the PDF that the customer was sent. What it could not give:\n"
    text = head + "".join(f"# - {line}\n" for line in lost) + yaml_text.dump(tree)
    from_text(folder, folder / RECORD, text)
    return text


def _say_zones(tree: Any, carried: Carried, names: Mapping[str, str]) -> None:
    """Write down which zone a copy shows: its own name does not tell any more."""
    notes = tree.get("photos") or {}
    for photo in carried.photographs:
        if photo.name in names and photo.zone:
            note = notes.setdefault(names[photo.name], {})
            note.setdefault("zone", photo.zone)
    if notes:
        tree["photos"] = notes


def _lost(carried: Carried, names: Mapping[str, str]) -> list[str]:
    """Say what does not come back."""
    came = [photo for photo in carried.photographs if photo.name in names]
    gone = [photo for photo in carried.photographs if photo.name not in names]
    lost = []
    if came:
        lost.append(f"{_counted(len(came))} came back as the report's small copy, not as the camera wrote it.")
    if gone:
        lost.append(f"{_counted(len(gone))} stood on no page, or as no whole picture, and did not come back.")
    torn = [str(one["id"]) for one in _findings(carried) if photograph_names({"findings": [one]}) - names.keys()]
    if torn:
        lost.append(f"Photographs of these findings are among those: {', '.join(torn)}.")
    if carried.record.get("answers"):
        lost.append("The states that were sent and the forms that came back: only the answers stand in the record.")
    if carried.how is Carry.NEUTRAL:
        lost.append("Names of photographs, comments, notes on zones, hours spent: the PDF was made without them.")
        lost.append("Telephone and mail of the owner: the PDF was made without them.")
    return lost


def _findings(carried: Carried) -> list[Any]:
    return list(carried.record.get("findings") or ())


def _counted(count: int) -> str:
    return "One photograph" if count == 1 else f"{count} photographs"

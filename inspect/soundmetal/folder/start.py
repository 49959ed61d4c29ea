"""A new inspection folder: a record whose comments teach, with every zone of the body listed to be answered."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from soundmetal.car.models import Body, Zone
from soundmetal.data import DATA
from soundmetal.errors import FolderError, WriteError
from soundmetal.folder.atomic import write_text
from soundmetal.folder.shop import SHOP, shop_path
from soundmetal.folder.store import RECORD, from_text

_START = DATA / "start"


def start(folder: Path, body: Body, date: dt.date, language: str) -> tuple[Path, ...]:
    """Make the folder with its record, a place for photographs and, where none is near, a shop book.

    Gives the files that were written. FolderError where a record is there already: nothing is overwritten.
    """
    if folder.exists() and not folder.is_dir():
        raise FolderError(f'"{folder.name}" is a file', todo="Name a folder.")
    if any(folder.glob("inspection.y*ml")):
        raise FolderError(
            f'"{folder.name}" holds an inspection already', todo="Open its inspection.yaml, or name another."
        )
    try:
        (folder / "photos").mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(
            f'cannot make the folder "{folder.name}": {error.strerror}', todo="Choose another place."
        ) from error
    written = [folder / RECORD]
    text = record_text(body, date, language)
    from_text(folder, folder / RECORD, text)
    write_text(folder / RECORD, text)
    if shop_path(folder, "") is None:
        write_text(folder / SHOP, (_START / "shop.yaml").read_text(encoding="utf-8"))
        written.append(folder / SHOP)
    return tuple(written)


def record_text(body: Body, date: dt.date, language: str) -> str:
    """Write the commented record for a body that nobody has looked at yet: no zone is answered, none is sound."""
    template = (_START / "inspection.yaml").read_text(encoding="utf-8")
    zones = "\n".join(_zone_lines(zone, language) for zone in body.zones)
    values = {
        "BODY": body.id,
        "STRUCTURE": body.structure.value,
        "DATE": date.isoformat(),
        "LANGUAGE": language,
        "ZONES": zones,
    }
    for name, value in values.items():
        template = template.replace(f"<{name}>", value)
    return template


def _zone_lines(zone: Zone, language: str) -> str:
    asked = ", ".join(f"{check.value}: not done" for check in zone.checks)
    return f"  {zone.id}: {{{asked}}}  # {zone.name(language)}"

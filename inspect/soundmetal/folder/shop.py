"""The shop book: the shop's own `shop.yaml` laid over the defaults, so that it names only what differs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from soundmetal.calc.units import MM_PER_INCH
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import FolderError, Place, RecordError, SettingsError
from soundmetal.folder import yaml_text
from soundmetal.folder.messages import validate
from soundmetal.handbook.gauge import MILL_TOLERANCE, msg
from soundmetal.record.shopbook import Sheet, ShopBook

SHOP = "shop.yaml"
#: So many findings are named where the shop book stops the work on all of them.
NAMED = 6


def shop_path(folder: Path, name: str) -> Path | None:
    """Find the shop book: named in the record, or shop.yaml in the folder or the one above; None: the defaults."""
    if name:
        path = (folder / name).resolve()
        if not path.is_file():
            raise FolderError(f'no shop book "{name}"', todo="Correct the key shop in the record, or leave it out.")
        return path
    for place in (folder, folder.resolve().parent):
        if (place / SHOP).is_file():
            return place / SHOP
    return None


def load_shop_book(folder: Path, name: str = "", findings: Sequence[str] = ()) -> ShopBook:
    """Read the shop book for an inspection folder. SettingsError names file, line and the nearest right word.

    `findings` are the ids of what cannot be worked out without it; the error names them.
    """
    path = shop_path(folder, name)
    defaults = read_yaml("shop_book.yaml")
    if path is None:
        return _default_book()
    try:
        own = yaml_text.parse(yaml_text.read_text(path), path)
        book = validate(ShopBook, _laid_over(defaults, own), path, lines=own)
        _check_gauges(book.sheets, path, own)
    except RecordError as error:
        todo = f"{error.todo} {_waiting(findings)}".strip()
        raise SettingsError(error.what, place=error.place, todo=todo) from error
    return book


def _check_gauges(sheets: Sequence[Sheet], path: Path, own: Mapping[str, Any]) -> None:
    """A gauge is on the table, and its sheet as thick as the mill may roll and coat it. RecordError otherwise."""
    for number, sheet in enumerate(sheets):
        if sheet.gauge is not None and (fault := _gauge_fault(sheet.gauge, sheet.thickness)):
            loc = ("sheets", number, "gauge")
            place = Place(path, yaml_text.line_of(own, loc), f"sheets[{number + 1}].gauge")
            raise RecordError(f'sheet "{sheet.id}": {fault}', place=place, todo="Correct it, or leave the gauge out.")


def _gauge_fault(gauge: int, thickness_mm: float) -> str:
    try:
        known = msg(gauge)
    except ValueError as error:
        return str(error)
    coated_mm = max(known.mm, (known.galvanized_inch or 0.0) * MM_PER_INCH)
    if known.mm * (1 - MILL_TOLERANCE) <= thickness_mm <= coated_mm * (1 + MILL_TOLERANCE):
        return ""
    return f"{gauge} gauge is {known.mm:g} mm thick, not {thickness_mm:g} mm"


def _waiting(findings: Sequence[str]) -> str:
    if not findings:
        return ""
    more = len(findings) - NAMED
    named = ", ".join(findings[:NAMED]) + (f" and {more} more" if more > 0 else "")
    return f"Until then {named} cannot be priced."


def _default_book() -> ShopBook:
    try:
        return ShopBook.model_validate(read_yaml("shop_book.yaml"))
    except ValidationError as error:
        first = error.errors()[0]
        raise SettingsError(
            f"{first['loc']}: {first['msg']}", place=Place(DATA / "shop_book.yaml"), todo="Install again."
        ) from error


def _laid_over(defaults: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """Lay the shop's own values over the defaults; lists are taken whole, so that a sheet can be removed."""
    merged = dict(defaults)
    for key, value in own.items():
        below = defaults.get(key)
        both_maps = isinstance(below, Mapping) and isinstance(value, Mapping)
        merged[key] = _laid_over(below, value) if both_maps and below is not None else value
    return merged

"""The shop book: the shop's own `shop.yaml` laid over the defaults, so that it names only what differs."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import FolderError, Place, RecordError, SettingsError
from soundmetal.folder import yaml_text
from soundmetal.folder.messages import validate
from soundmetal.record.shopbook import ShopBook

SHOP = "shop.yaml"


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


def load_shop_book(folder: Path, name: str = "") -> ShopBook:
    """Read the shop book for an inspection folder. SettingsError names file, line and the nearest right word."""
    path = shop_path(folder, name)
    defaults = read_yaml("shop_book.yaml")
    if path is None:
        return _default_book()
    try:
        own = yaml_text.parse(yaml_text.read_text(path), path)
        return validate(ShopBook, _laid_over(defaults, own), path, lines=own)
    except RecordError as error:
        raise SettingsError(error.what, place=error.place, todo=error.todo) from error


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

"""Work that leaves the shop and comes back: which of the shop book's lines a panel or the whole car asks for."""

from __future__ import annotations

from collections.abc import Iterator

from soundmetal.record.shopbook import OutsideWork, ShopBook
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method, Option

#: The rule (data/methods.yaml) by which a frame part has to be repaired by others.
FRAME_RULE = "R9"


def of_panel(option: Option, shop: ShopBook, aim: Aim) -> Iterator[tuple[str, OutsideWork]]:
    """Give the outside work that one option asks for, in the shop book's order."""
    for name, work in shop.outside.items():
        if work.per == "panel" and _aimed(work, aim) and _asked(work, option):
            yield name, work


def of_car(taken: tuple[Option, ...], shop: ShopBook, aim: Aim) -> Iterator[tuple[str, OutsideWork]]:
    """Give the outside work that the car asks for once, if any of the options taken does."""
    for name, work in shop.outside.items():
        if work.per == "car" and _aimed(work, aim) and any(_asked(work, option) for option in taken):
            yield name, work


def _aimed(work: OutsideWork, aim: Aim) -> bool:
    return not work.only_aim or aim.value in work.only_aim


def _asked(work: OutsideWork, option: Option) -> bool:
    worked = option.method is not Method.LEAVE
    referred = option.method is Method.REFER
    return {
        "always": worked,
        "metal work": bool(option.geometry.blanks),
        "referred": referred,
        "referred frame": referred and FRAME_RULE in option.rules,
    }[work.only]

"""How new metal meets old: edge to edge, unless an overlap is allowed by everybody who has a say."""

from __future__ import annotations

from soundmetal.car.models import Role, Zone
from soundmetal.grade.books import RuleBook
from soundmetal.record.shopbook import ShopBook


def overlap_allowed(zone: Zone, shop: ShopBook, book: RuleBook) -> bool:
    """Tell whether a patch may lie over the old metal: hidden, the shop wants it, and the rule book lets it.

    Never on visible skin; the rule book has its say where the part carries load.
    """
    if zone.visible or not shop.policies.overlap_allowed:
        return False
    structure = zone.frame_part or zone.role is Role.LOAD_BEARING
    return book.overlap_allowed_on_structure or not structure

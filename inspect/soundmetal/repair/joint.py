"""How new metal meets old: edge to edge, unless an overlap is allowed by everybody who has a say."""

from __future__ import annotations

from soundmetal.car.models import Role, Zone
from soundmetal.grade.books import RuleBook
from soundmetal.grade.models import Step
from soundmetal.record.shopbook import ShopBook


def overlap_allowed(zone: Zone, shop: ShopBook, book: RuleBook) -> bool:
    """Tell whether a patch may lie over the old metal: hidden, the shop wants it, and the rule book lets it.

    Never on visible skin; the rule book has its say where the part carries load.
    """
    if zone.visible or not shop.policies.overlap_allowed:
        return False
    structure = zone.frame_part or zone.role is Role.LOAD_BEARING
    return book.overlap_allowed_on_structure or not structure


def why_joined_so(zone: Zone, shop: ShopBook, book: RuleBook) -> Step:
    """Tell why new metal meets old edge to edge here, or why it may lie over it."""
    if zone.visible:
        text = "Edge to edge: on skin that shows, an overlap would trap water and draw a line in the paint."
        return Step(text, {}, "common practice, from memory")
    if not shop.policies.overlap_allowed:
        return Step("Edge to edge, as the shop book asks everywhere.", {}, "shop book")
    if not overlap_allowed(zone, shop, book):
        return Step("Edge to edge: the rule book lets no overlap stand on a part that carries load.", {}, book.id)
    text = "An overlap may stand here: it is hidden, and the shop book and the rule book both allow it."
    return Step(text, {}, f"shop book and rule book {book.id}")

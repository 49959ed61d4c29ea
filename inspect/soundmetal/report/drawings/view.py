"""From where a panel is seen in the shop's drawings, so that a drawing can be held up against the car.

A panel's own mm run from its front and from its lower side; of one that lies flat the lower side is the outer edge,
or the left one where the panel has no side. So right-hand panels are drawn turned round, their front at the right.
What lies across the car is measured from its left edge and seen from behind, left at the left, on both sides alike.
Inner panels of a side are seen from outside as well: from the car's own side, with what hides them taken off.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from soundmetal.report.drawings.dimension import SMALL_MM, Field
from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.language import Language
from soundmetal.report.palette import QUIET


class SeenFrom(StrEnum):
    """The side from which a panel is drawn: nobody's in particular, a skin's outside, from above, from behind."""

    PLAIN = "plain"
    OUTSIDE = "outside"
    ABOVE = "above"
    BEHIND = "behind"


#: What stands at the bottom of the drawing.
_BOTTOM = {
    (SeenFrom.PLAIN, True): "lower side at the bottom, 1 : {scale}",
    (SeenFrom.PLAIN, False): "lower side at the bottom, 1 : {scale}",
    (SeenFrom.OUTSIDE, True): "seen from outside, lower side at the bottom, 1 : {scale}",
    (SeenFrom.OUTSIDE, False): "seen from outside, lower side at the bottom, 1 : {scale}",
    (SeenFrom.BEHIND, True): "seen from behind, lower side at the bottom, 1 : {scale}",
    (SeenFrom.BEHIND, False): "seen from behind, lower side at the bottom, 1 : {scale}",
    (SeenFrom.ABOVE, True): "seen from above, outer edge at the bottom, 1 : {scale}",
    (SeenFrom.ABOVE, False): "seen from above, left edge at the bottom, 1 : {scale}",
}


@dataclass(frozen=True)
class View:
    """How one panel is drawn: from where, whether it belongs to a side, whether its front is at the right."""

    seen: SeenFrom = SeenFrom.PLAIN
    sided: bool = False
    front_right: bool = False

    @property
    def begins(self) -> str:
        """The sentence that tells where an opening begins, with its name and both distances."""
        if self.seen is SeenFrom.BEHIND:
            return "{name} begins {along} from the left edge and {up} from the lower side."
        if self.seen is not SeenFrom.ABOVE:
            return "{name} begins {along} from the front and {up} from the lower side."
        if self.sided:
            return "{name} begins {along} from the front and {up} from the outer edge."
        return "{name} begins {along} from the front and {up} from the left edge."


#: A panel of which nothing is known.
PLAIN = View()


def view_of(zone_id: str, *, skin: bool, flat: bool, across: bool = False) -> View:
    """Give the view of a zone that is a `skin`, that lies `flat`, or that lies `across` the car.

    >>> view_of("rocker.right.outer", skin=True, flat=False)
    View(seen=<SeenFrom.OUTSIDE: 'outside'>, sided=True, front_right=True)
    """
    sides = {"left", "right"} & set(zone_id.split("."))
    if across:
        return View(SeenFrom.BEHIND, bool(sides), False)
    seen = SeenFrom.ABOVE if flat else SeenFrom.OUTSIDE if skin or sides else SeenFrom.PLAIN
    return View(seen, bool(sides), sides == {"right"})


def front_arrow(drawing: Drawing, lang: Language, view: View, y: float, right_mm: float) -> None:
    """Write where the front is: at the left end, or at the right one where the panel is turned round."""
    word = (lang.text("left") if view.seen is SeenFrom.BEHIND else lang.text("front")).unescape()
    if view.front_right:
        drawing.text(right_mm, y, f"{word} →", SMALL_MM, fill=QUIET, text_anchor="end")
    else:
        drawing.text(0.4, y, f"← {word}", SMALL_MM, fill=QUIET)


def orient(drawing: Drawing, field: Field, lang: Language, view: View, y: float) -> None:
    """Write under a drawing where its front is, from where it is seen, and its scale."""
    end = drawing.width_mm - 0.4
    front_arrow(drawing, lang, view, y, end)
    scale = lang.look.number(field.scale, int(field.scale % 1 > 0))
    words = lang.text(_BOTTOM[view.seen, view.sided], scale=scale).unescape()
    if view.front_right:
        drawing.text(0.4, y, words, SMALL_MM, fill=QUIET)
    else:
        drawing.text(end, y, words, SMALL_MM, fill=QUIET, text_anchor="end")

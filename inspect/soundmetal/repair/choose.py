"""The choice for one panel: least expected price for the aim, and what became of every other method.

Prices are read off the options, never made here; `scope` puts them in. The owner's answers do not change the choice.
"""

from __future__ import annotations

from decimal import Decimal

from soundmetal.grade.models import Graded, Step
from soundmetal.record.terms import Aim
from soundmetal.repair.geometry import visible_seam_mm
from soundmetal.repair.models import Choice, Loser, Method, Option
from soundmetal.repair.practice import practice

#: The rule that ranks possible methods (data/methods.yaml).
RULE = "R7"


def choose(options: tuple[Option, ...], aim: Aim, near_price: float, graded: tuple[Graded, ...] = ()) -> Choice:
    """Choose among the priced options of one panel.

    `near_price` is the share of the least price (0 to 1) within which less seam on visible skin wins. Where the aim
    asks for whole panels and metal has to be cut, a possible whole panel on visible skin is taken: what may be
    treated keeps its panel. ValueError when nothing is possible.
    """
    possible = [option for option in options if option.feasible]
    if not possible:
        raise ValueError(f"no method is possible on {options[0].panel}" if options else "no options")
    taken, key = _best(possible, aim, near_price)
    losers = tuple(Loser(o, _why_lost(o, taken, key)) for o in options if o is not taken)
    return Choice(taken.panel, taken, _why_taken(taken, key), losers, graded)


def _best(possible: list[Option], aim: Aim, near_price: float) -> tuple[Option, str]:
    whole = [o for o in possible if o.method is Method.FULL_PANEL and o.geometry.visible]
    cut = all(o.method is not Method.TREAT for o in possible)
    if whole and cut and practice().aims[aim].whole_panels:
        return whole[0], "whole_panel"
    cheapest = min(possible, key=_price)
    limit = _price(cheapest) * (1 + Decimal(str(near_price)))
    near = [o for o in possible if _price(o) <= limit]
    best = min(near, key=lambda o: (visible_seam_mm(o.geometry), _price(o)))
    if len(possible) == 1:
        return best, "only"
    return best, "least" if _price(best) == _price(cheapest) else "near_price"


def _why_taken(taken: Option, key: str) -> Step:
    if taken.method is Method.LEAVE:
        key = "sound"
    if taken.method is Method.REFER:
        key = "refer_frame" if "R9" in taken.rules else "refer" if taken.geometry.blanks else "refer_treat"
    return Step(practice().chosen[key], {"method_word": taken.method}, RULE if key != "sound" else "R1")


def _why_lost(option: Option, taken: Option, key: str) -> Step:
    if option.why_not is not None:
        return option.why_not
    if key == "whole_panel":
        return practice().reason("whole_panel", RULE)
    more = _price(option) - _price(taken)
    if more <= 0:
        return practice().reason("near_price", RULE)
    return practice().reason("dearer", RULE, more_money=more)


def _price(option: Option) -> Decimal:
    if option.price is None:
        raise ValueError(f"{option.method} on {option.panel} has no price yet")
    return option.price

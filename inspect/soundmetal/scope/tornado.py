"""What drives the spread of the price: the operations, hidden growth and outside prices that move it most."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from soundmetal.calc.shares import swings, variance_shares
from soundmetal.grade.models import Step
from soundmetal.record.shopbook import ShopBook
from soundmetal.scope.models import Driver
from soundmetal.scope.money import cents
from soundmetal.scope.simulate import GROWTH, INNER, WORK, Draws, Part

#: Drivers shown; what is left has too little to say by itself.
SHOWN = 8
SOURCE = "simulation"
_WORK = "Hours of one operation ({work_word}): {panel_zone}"
_GROWTH = "How far the rust goes once it is open: {panel_zone}"
_INNER = "Whether the layer behind is spent as well: {panel_zone}"
_PRICE = "What others will ask ({work_word}): {panel_zone}"
_CAR_PRICE = "What others will ask ({work_word})"


def drivers(draws: Draws, shop: ShopBook, most: int = SHOWN) -> tuple[Driver, ...]:
    """Give the causes with the largest share in the variance of the whole price, the largest first, tax included.

    Every cause's share is its covariance with the price, so that all shares together are 1; beside it stands by how
    much it moves the price alone, from its P10 to its P90. Causes that move nothing are left out.
    """
    if not draws.parts:
        return ()
    money = np.vstack([part.money for part in draws.parts]) * (1 + float(shop.tax) / 100)
    shares = variance_shares(money)
    order = sorted(range(len(shares)), key=lambda n: (-round(float(shares[n]), 9), n))
    best = [n for n in order if shares[n] > 1e-6][:most]
    if not best:
        return ()
    ends = swings(money[best])
    return tuple(_driver(draws.parts[n], float(shares[n]), ends[k], shop) for k, n in enumerate(best))


def _driver(part: Part, share: float, ends: Sequence[float], shop: ShopBook) -> Driver:
    low, high = (cents(float(end)) for end in ends)
    return Driver(part.cause, part.panel, part.name, _text(part, shop), share, low, high)


def _text(part: Part, shop: ShopBook) -> Step:
    values: dict[str, object] = {"panel_zone": part.panel}
    if part.cause == GROWTH:
        return Step(_GROWTH, values, SOURCE)
    if part.cause == INNER:
        return Step(_INNER, values, SOURCE)
    book = shop.operations if part.cause == WORK else shop.outside
    values["work_word"] = book[part.name].name["en"] if part.name in book else part.name
    text = _WORK if part.cause == WORK else _PRICE if part.panel else _CAR_PRICE
    return Step(text, values, SOURCE)

from __future__ import annotations

from decimal import Decimal

import pytest

from soundmetal.grade.models import Step
from soundmetal.record.terms import Aim
from soundmetal.repair.choose import choose
from soundmetal.repair.models import Geometry, Method, Option


def option(method: Method, price: str | None, seam_mm: float = 0.0, visible: bool = True) -> Option:
    plan = Geometry(seam_mm=seam_mm, visible=visible, blanks=1)
    money = Decimal(price) if price else None
    return Option("hood", method, ("F1",), plan, True, price=money)


IMPOSSIBLE = Option("hood", Method.LEAVE, ("F1",), Geometry(), False, Step("There is rust.", {}, "R1"))


def test_the_least_price_wins_and_losers_keep_theirs() -> None:
    patch, whole = option(Method.PATCH, "500.00", 600), option(Method.FULL_PANEL, "900.00")
    choice = choose((IMPOSSIBLE, patch, whole), Aim.SOUND, 0.05)
    assert choice.taken is patch
    assert choice.reason.text.startswith("It has the least expected price")
    reasons = {loser.option.method: loser.reason for loser in choice.losers}
    assert reasons[Method.LEAVE].text == "There is rust."
    assert reasons[Method.FULL_PANEL].values == {"more_money": Decimal("400.00")}


@pytest.mark.parametrize(("price", "wins"), [("525.00", True), ("525.01", False)])
def test_within_five_per_cent_less_seam_on_skin_wins(price: str, wins: bool) -> None:
    patch, section = option(Method.PATCH, "500.00", 600), option(Method.BUTT_WELD, price, 300)
    choice = choose((patch, section), Aim.SOUND, 0.05)
    assert (choice.taken is section) is wins
    if wins:
        assert "less seam on visible skin" in choice.reason.text
        assert "more seam" in choice.losers[0].reason.text


def test_hidden_seam_counts_for_nothing() -> None:
    patch = option(Method.PATCH, "500.00", 600, visible=False)
    section = option(Method.BUTT_WELD, "510.00", 300, visible=False)
    assert choose((patch, section), Aim.SOUND, 0.05).taken is patch


def test_factory_takes_the_whole_panel_on_visible_skin() -> None:
    patch, whole = option(Method.PATCH, "500.00", 600), option(Method.FULL_PANEL, "2500.00")
    choice = choose((patch, whole), Aim.FACTORY, 0.05)
    assert choice.taken is whole
    assert "leaves a seam" in choice.losers[0].reason.text
    out_of_sight = option(Method.FULL_PANEL, "2500.00", visible=False)
    assert choose((patch, out_of_sight), Aim.FACTORY, 0.05).taken is patch


def test_factory_keeps_a_panel_that_may_be_treated() -> None:
    treat, whole = option(Method.TREAT, "150.00"), option(Method.FULL_PANEL, "2500.00")
    assert choose((treat, whole), Aim.FACTORY, 0.05).taken is treat


def test_the_only_way_is_said_to_be_the_only_one() -> None:
    choice = choose((IMPOSSIBLE, option(Method.PATCH, "500.00")), Aim.SOUND, 0.05)
    assert choice.reason.text == "It is the only method possible here."


def test_refer_says_who_decides() -> None:
    choice = choose((IMPOSSIBLE, option(Method.REFER, "500.00")), Aim.SOUND, 0.05)
    assert "qualified structural repairer" in choice.reason.text


def test_no_way_and_no_price_are_errors() -> None:
    with pytest.raises(ValueError, match="no method is possible on hood"):
        choose((IMPOSSIBLE,), Aim.SOUND, 0.05)
    with pytest.raises(ValueError, match="no price yet"):
        choose((option(Method.PATCH, None),), Aim.SOUND, 0.05)

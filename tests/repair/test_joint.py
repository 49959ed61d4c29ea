from __future__ import annotations

from typing import Any

import pytest

from soundmetal.repair.joint import overlap_allowed


@pytest.mark.parametrize(
    ("wanted", "visible", "role", "book", "allowed"),
    [
        (False, False, "floor", "uk", False),  # the shop's own policy is edge to edge
        (True, True, "skin", "uk", False),  # never on visible skin
        (True, False, "floor", "shop", True),
        (True, False, "load-bearing", "shop", False),  # the rule book has its say on structure
        (True, False, "load-bearing", "uk", True),
    ],
)
def test_overlap_only_where_all_allow_it(
    bench: Any, wanted: bool, visible: bool, role: str, book: str, allowed: bool
) -> None:
    shop = bench.shop({"policies": {"overlap_allowed": wanted}})
    assert overlap_allowed(bench.zone(visible=visible, role=role), shop, bench.book(book)) is allowed

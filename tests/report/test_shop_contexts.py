"""A template of the packet is told exactly what its documented context holds: no name more, no name less."""

from __future__ import annotations

import pytest
from page_contexts import assert_documented, assert_names, assert_row_names

from soundmetal.report import shop_contexts as contexts
from soundmetal.report import shop_plan_contexts as plans
from soundmetal.report.shop_office_contexts import Office

PAGES: dict[str, type] = {
    "shop/packet.html": contexts.Packet,
    "shop/front.html": contexts.Front,
    "shop/office.html": Office,
    "shop/job.html": contexts.JobPage,
    "shop/sheets.html": plans.Sheets,
    "shop/others.html": contexts.Others,
    "shop/order.html": plans.Order,
    "shop/wall.html": plans.Wall,
}


@pytest.mark.parametrize(("name", "context"), PAGES.items())
def test_names_used_equal_names_documented(name: str, context: type) -> None:
    assert_names(name, context)


@pytest.mark.parametrize(("name", "context"), PAGES.items())
def test_names_of_rows_equal_names_documented(name: str, context: type) -> None:
    assert_row_names(name, context)


@pytest.mark.parametrize("context", PAGES.values())
def test_contexts_are_documented_and_frozen(context: type) -> None:
    assert_documented(context)

"""The page for the office: the price to the cent, what drives it, make or buy, outside work; read back as text."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from soundmetal import pipeline
from soundmetal.report.job import Job
from soundmetal.report.shop import shop_html
from soundmetal.report.shop_office import marked_up, office
from soundmetal.report.shop_office_contexts import Office
from soundmetal.report.shop_telling import ShopTelling, shop_telling
from soundmetal.scope.models import Line
from soundmetal.scope.tornado import SHOWN

BOOK = """
tax: 7.5
tax_name: Sales tax
markup: 18
deposit: 30
bought:
  - {zone: rocker.left.outer, price: 168.00, freight: 38.00, trim_h: 1.0}
"""


def money(text: str) -> Decimal:
    return Decimal(re.sub(r"[^\d.]", "", text))


@pytest.fixture
def with_book(small_inspection: Path) -> Callable[[str], Job]:
    def work(text: str) -> Job:
        (small_inspection / "shop.yaml").write_text(f"shop: {{name: Weir Lane Metal}}\n{text}", encoding="utf-8")
        loaded = pipeline.load(small_inspection)
        return pipeline.work_out(loaded, pipeline.album_of(loaded))

    return work


@pytest.fixture
def shop(with_book: Callable[[str], Job]) -> ShopTelling:
    return shop_telling(with_book(BOOK), "en")


@pytest.fixture
def page(shop: ShopTelling) -> Office:
    return office(shop)


def test_rows_and_tax_add_up_to_the_price_to_the_cent(page: Office, shop: ShopTelling) -> None:
    net = sum((money(row.amount) for row in page.prices), Decimal(0))
    tax = sum((money(row.amount) for row in page.taxes), Decimal(0))
    assert net == money(page.net) == shop.job.scope.total.net
    assert net + tax == money(page.likely) == shop.job.scope.total.likely
    assert tax == (net * Decimal("0.075")).quantize(Decimal("0.01"), "ROUND_HALF_UP")


def test_no_kind_of_line_is_told_in_two_rows(page: Office) -> None:
    heads = [str(row.words).split(":")[0] for row in page.prices]
    assert len(heads) == len(set(heads))


def test_half_a_per_cent_of_tax_is_told(page: Office) -> None:
    assert [row.words.replace("\u00a0", " ") for row in page.taxes] == ["Sales tax, 7.5 %"]


def test_deposit_and_mark_up_are_told_to_the_cent(page: Office, shop: ShopTelling) -> None:
    said = " ".join(page.said).replace("\u00a0", " ")
    total = shop.job.scope.total
    asked = (total.likely * Decimal("0.3")).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert f"Deposit before work begins: ${asked:,}, 30 % of the likely price." in said
    held = marked_up(shop, total.lines)
    assert f"Mark-up of 18 % on sheet, small material and bought panels is in these lines: ${held}." in said


def test_mark_up_is_what_was_put_on_top_and_freight_has_none(shop: ShopTelling) -> None:
    """Worked by hand: 100.00 and 18 % make 118.00; 168.00 and 18 % make 198.24, and 38.00 of freight 236.24."""
    blank = shop.job.scope.total.lines[0].text
    sheet = Line("sheet", "floor.left.front", ("F1",), blank, 0.0, Decimal("118.00"))
    panel = Line("bought panel", "rocker.left.outer", ("F1",), blank, 0.0, Decimal("236.24"))
    labour = Line("labour", "rocker.left.outer", ("F1",), blank, 1.0, Decimal("95.00"))
    assert marked_up(shop, [sheet]) == Decimal("18.00")
    assert marked_up(shop, [panel]) == Decimal("30.24")
    assert marked_up(shop, [labour]) == Decimal("0.00")


def test_a_shop_without_mark_up_tax_or_deposit_is_told_none(with_book: Callable[[str], Job]) -> None:
    page = office(shop_telling(with_book("markup: 0\ntax: 0\ndeposit: 0\n"), "en"))
    assert page.taxes == ()
    assert len(page.said) == 1
    assert page.net == page.likely


def test_causes_stand_largest_first_with_their_share(page: Office, shop: ShopTelling) -> None:
    drivers = shop.job.scope.total.drivers
    assert 0 < len(page.drivers) == len(drivers) <= SHOWN
    shares = [one.share for one in drivers]
    assert shares == sorted(shares, reverse=True)
    assert all("<title>" in row.bar for row in page.drivers)
    assert all(str(row.words).rstrip(".") in page.aloud for row in page.drivers)


def test_make_or_buy_stands_for_every_piece_with_its_break_even(page: Office, shop: ShopTelling) -> None:
    weighed = [job for job in shop.jobs if job.work.choice.taken.buying]
    assert weighed
    assert [row.number for row in page.buying] == [job.number for job in weighed]
    rocker = next(row for row in page.buying if row.panel == "Left outer rocker")
    assert (money(rocker.price), money(rocker.freight)) == (Decimal("198.24"), Decimal("38.00"))
    assert money(rocker.paid) == money(rocker.price) + money(rocker.freight)
    even = (float(money(rocker.paid)) + float(rocker.fit) * 95.0 - float(money(rocker.sheet))) / 95.0
    assert float(rocker.even) == pytest.approx(even, abs=0.1)  # hours stand with one decimal
    assert rocker.none == ""


def test_without_a_panel_to_buy_it_is_said_what_one_may_cost(with_book: Callable[[str], Job]) -> None:
    page = office(shop_telling(with_book(""), "en"))
    assert page.buying
    assert all(row.none == "no panel in the shop book" and not row.even for row in page.buying)
    assert all(money(row.most) > 0 and row.taken == "made here" for row in page.buying)


def test_outside_work_is_told_with_its_days(with_book: Callable[[str], Job]) -> None:
    told = with_book("")
    shop = shop_telling(told, "en")
    rows = office(shop).away
    outside = [line for line in told.scope.total.lines if line.kind == "outside work"]
    assert [money(row.amount) for row in rows] == [line.amount for line in outside]
    assert all(row.away and row.when for row in rows)


def test_nothing_to_price_makes_no_page(job: Job) -> None:
    scopes = {
        aim: replace(scope, total=replace(scope.total, lines=(), drivers=())) for aim, scope in job.scopes.items()
    }
    assert "For the office" not in shop_html(replace(job, scopes=scopes), "en")

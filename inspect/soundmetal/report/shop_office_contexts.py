"""What the packet's page for the office is told, the only one with money on it; see `shop_contexts`."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True)
class PriceRow:
    """One line of the price: what for, hours where it has any, amount to the cent."""

    words: Markup
    hours: str
    amount: str


@dataclass(frozen=True)
class DriverRow:
    """One cause of the price's spread: its share in it, by how much it alone moves the price, drawn as a bar."""

    words: Markup
    share: str
    less: str
    more: str
    bar: Markup


@dataclass(frozen=True)
class BuyRow:
    """Make or buy for the piece of one job: what making takes, what buying takes, and where the two meet.

    `price` to `paid` and `even`, the break-even in hours of making, are empty where the shop book has no panel, and
    `none` says so. `most` is what a bought panel may cost with freight until making is the better; `taken` is which
    of the two the price has.
    """

    number: int
    anchor: str
    panel: str
    findings: str
    make: str
    sheet: str
    price: str
    freight: str
    fit: str
    paid: str
    even: str
    most: str
    none: Markup
    taken: str


@dataclass(frozen=True)
class AwayRow:
    """Work outside the shop: what, for which panel, days away, when, its price."""

    words: Markup
    away: str
    when: Markup
    amount: str


@dataclass(frozen=True)
class Office:
    """What the price rests on, for whoever answers for it; no row at all where nothing is priced.

    `prices` add up to `net`, with `taxes` to `likely`; `strip` is the range drawn, `said` the sentences on range,
    mark-up and deposit. `drivers` are what moves the price most, `aloud` says them in words, `drivers_note` what the
    figures mean. `buying` weighs make and buy, `buying_note` tells its terms; `away` is outside work; `learning`
    says where hours spent are written. `setting` is the class that sets the page closer where it is full.
    """

    prices: tuple[PriceRow, ...]
    net: str
    taxes: tuple[PriceRow, ...]
    likely: str
    strip: Markup
    said: tuple[Markup, ...]
    aloud: str
    drivers: tuple[DriverRow, ...]
    drivers_note: Markup
    buying: tuple[BuyRow, ...]
    buying_note: Markup
    away: tuple[AwayRow, ...]
    learning: Markup
    setting: str = ""

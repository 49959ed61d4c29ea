"""An offer of a made-up inspection, for whatever compares or keeps offers."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from soundmetal.record.offer import Ends, MoneyEnds, Offer, OfferedAim, OfferedFinding, OfferedPanel
from soundmetal.record.terms import Aim, Basis


def an_offer(
    price: int = 1000, method: str = "patch", marks: tuple[str, ...] = ("a" * 16, "b" * 16), aim: Aim = Aim.SOUND
) -> Offer:
    """Make an offer whose findings F1, F2... have these marks, one panel each with one price."""
    names = [f"F{n + 1}" for n in range(len(marks))]
    found = {
        name: OfferedFinding(zone=f"zone.{name}", level="spent", safety=False, mark=mark)
        for name, mark in zip(names, marks, strict=True)
    }
    money = MoneyEnds(low=Decimal(price - 200), likely=Decimal(price), high=Decimal(price + 200))
    hours = Ends(low=1.0, likely=2.0, high=3.0)
    panels = {
        f"zone.{name}": OfferedPanel(findings=(name,), method=method, hours=hours, price=money) for name in names
    }
    whole = OfferedAim(hours=hours, price=money, days=hours, panels=panels)
    return Offer(
        inspection="abcdef", date=dt.date(2026, 11, 18), basis=Basis.LIFT, aim=aim, currency="USD",
        findings=found, aims=dict.fromkeys(Aim, whole),
    )  # fmt: skip

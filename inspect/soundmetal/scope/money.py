"""Money: Decimal to the cent, rounded half up once, where a line is made."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")


def cents(amount: Decimal | float | int) -> Decimal:
    """Round to the cent, half up.

    >>> cents(Decimal("2.345")), cents(0.1 + 0.2)
    (Decimal('2.35'), Decimal('0.30'))
    """
    exact = amount if isinstance(amount, Decimal) else Decimal(repr(amount))
    return exact.quantize(CENT, ROUND_HALF_UP)


def hours_price(hours: float, rate: Decimal) -> Decimal:
    """Price of some hours at a rate, to the cent.

    >>> hours_price(1.5, Decimal("95.00"))
    Decimal('142.50')
    """
    return cents(Decimal(repr(hours)) * rate)


def with_percent(amount: Decimal, percent: Decimal) -> Decimal:
    """Add a percentage, not rounded yet.

    >>> with_percent(Decimal("10.00"), Decimal(15))
    Decimal('11.5000')
    """
    return amount * (1 + percent / Decimal(100))

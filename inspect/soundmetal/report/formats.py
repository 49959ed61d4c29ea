"""Numbers as a reader likes them: by language, by units, by currency. The space before a unit never breaks.

Inch fractions go to a sixteenth (common practice, no source); thicknesses are decimals, as callipers show them.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from babel import Locale
from babel.core import UnknownLocaleError
from babel.dates import format_date, format_skeleton
from babel.numbers import format_currency, format_decimal

from soundmetal.record.terms import Units

#: No-break space: a number and its unit stay on one line.
NBSP = "\u00a0"
CENT = Decimal("0.01")
LETTERS_THEN_FIGURE = re.compile(r"([A-Z]{2,})(\d)")
#: Exact by definition (international yard and pound agreement, 1959).
MM_PER_IN = 25.4
MM_PER_FT = 304.8
#: Under this, inches are told to a sixteenth; above it, to a quarter: nobody reads rust finer (chosen, no source).
FINE_UNDER_MM = 12 * MM_PER_IN
#: From here on US lengths are told in feet (common practice, no source).
FEET_FROM_MM = 10 * MM_PER_FT
#: From here on metric lengths are told in metres.
METRES_FROM_MM = 2000.0
#: From here on areas are told in square metres or square feet.
LARGE_AREA_MM2 = 500_000.0
#: Which country's habits go with a language and its reader's units; any other language goes by its own name.
LOCALES = {
    ("en", Units.US): "en_US",
    ("en", Units.METRIC): "en_GB",
    ("es", Units.US): "es_US",
    ("es", Units.METRIC): "es_419",
}


def locale_of(code: str, units: Units) -> Locale:
    """Give the habits of dates, numbers and money for a language and units."""
    try:
        return Locale.parse(LOCALES.get((code, units), code))
    except (UnknownLocaleError, ValueError):
        return Locale.parse("en_US")


def sixteenths(mm: float) -> str:
    """Give inches with a fraction to the nearest sixteenth, without the unit; under 1/16 in as a decimal.

    >>> sixteenths(138.0).replace(NBSP, " "), sixteenths(76.2), sixteenths(0.5)
    ('5 7/16', '3', '0.02')
    """
    inches = mm / MM_PER_IN
    if 0 < inches < 1 / 16:
        return f"{inches:.2f}"
    whole, rest = divmod(round(inches * 16), 16)
    if not rest:
        return str(whole)
    part = Fraction(rest, 16)
    return f"{whole}{NBSP}{part}" if whole else str(part)


def quarter(mm: float) -> float:
    """Round a length to the nearest quarter inch, in mm.

    >>> quarter(419.0) / MM_PER_IN
    16.5
    """
    return round(mm / MM_PER_IN * 4) / 4 * MM_PER_IN


@dataclass(frozen=True)
class Look:
    """How one reader's numbers look. `word` translates the units' short names."""

    code: str
    units: Units
    currency: str
    round_to: Decimal
    word: Callable[[str, str], str]

    @property
    def locale(self) -> Locale:
        """The habits of the reader's country."""
        return locale_of(self.code, self.units)

    def number(self, value: float, decimals: int = 0) -> str:
        """Give a number with at most that many decimals, grouped as the reader likes."""
        exact = Decimal(str(value)).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
        pattern = "#,##0" + ("." + "0" * decimals if decimals else "")
        return str(format_decimal(exact, format=pattern, locale=self.locale))

    def whole(self, value: float) -> str:
        """Give a whole number."""
        return self.number(value)

    def with_unit(self, number: str, unit: str) -> str:
        """Put a number and its unit together so that no line end parts them."""
        return f"{number}{NBSP}{self.word(unit, 'unit')}"

    def percent(self, value: float | Decimal) -> str:
        """Give per cent (value 0 to 100): whole where it was reckoned; a rate that somebody wrote as it was written.

        What is above nothing is never shown as nothing.
        """
        if isinstance(value, Decimal):
            shown = self.number(float(value), max(0, -int(value.normalize().as_tuple().exponent)))
        else:
            shown = "<1" if 0 < value < 0.5 else self.number(value)
        return f"{shown}{NBSP}%"

    def length(self, mm: float) -> str:
        """Give a length: mm or m; inches to a sixteenth, or feet when long."""
        if self.units is Units.METRIC:
            if mm >= METRES_FROM_MM:
                return self.with_unit(self.number(mm / 1000, 1), "m")
            return self.with_unit(self.number(mm, 0 if mm >= 10 else 1), "mm")
        if mm >= FEET_FROM_MM:
            return self.with_unit(self.number(mm / MM_PER_FT, 1), "ft")
        return self.with_unit(sixteenths(mm if mm < FINE_UNDER_MM else quarter(mm)), "in")

    def thickness(self, mm: float) -> str:
        """Give a thickness of steel: two decimals of a mm, three of an inch."""
        if self.units is Units.METRIC:
            return self.with_unit(self.number(mm, 2), "mm")
        return self.with_unit(self.number(mm / MM_PER_IN, 3), "in")

    def area(self, mm2: float) -> str:
        """Give an area: cm2 or m2; square inches or square feet."""
        if self.units is Units.METRIC:
            if mm2 >= LARGE_AREA_MM2:
                return self.with_unit(self.number(mm2 / 1e6, 2), "m²")
            return self.with_unit(self.number(mm2 / 100), "cm²")
        if mm2 >= LARGE_AREA_MM2:
            return self.with_unit(self.number(mm2 / MM_PER_FT**2, 1), "sq ft")
        return self.with_unit(self.number(mm2 / MM_PER_IN**2), "sq in")

    def hours(self, hours: float) -> str:
        """Give hours: one decimal under ten, whole above."""
        return self.with_unit(self.number(hours, 1 if hours < 10 else 0), "h")

    def money(self, amount: Decimal | float) -> str:
        """Give money rounded half up to the shop's step; cents only where the step has cents."""
        step = self.round_to or CENT
        rounded = (Decimal(str(amount)) / step).quantize(Decimal(1), ROUND_HALF_UP) * step
        pattern = self.locale.currency_formats["standard"].pattern
        whole = step == step.to_integral_value()
        return self._money(rounded, pattern.replace("0.00", "0") if whole else pattern)

    def exact_money(self, amount: Decimal) -> str:
        """Give money to the cent, as an invoice does."""
        return self._money(amount.quantize(CENT, ROUND_HALF_UP), None)

    def _money(self, amount: Decimal, pattern: str | None) -> str:
        """Write an amount; a currency told by letters is set off from its figures, and nothing in it breaks."""
        text = format_currency(amount, self.currency, pattern, locale=self.locale, currency_digits=False)
        return LETTERS_THEN_FIGURE.sub(rf"\1{NBSP}\2", str(text)).replace(" ", NBSP)

    def date(self, day: dt.date) -> str:
        """Give a date written out."""
        return str(format_date(day, format="long", locale=self.locale))

    def day(self, day: dt.date) -> str:
        """Give day and month, for a calendar; nothing in it breaks."""
        return str(format_skeleton("MMMd", day, locale=self.locale)).replace(" ", NBSP)

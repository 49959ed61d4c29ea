"""Lengths and areas as people write them (`0.9 mm`, `4 1/2 in`, `150 x 80 mm`, `120 cm2`), metric inside.

A length without a unit is refused: 2 could be millimetres or inches, and nobody at the car can ask.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

#: Exact by definition: 1 in = 25.4 mm (international yard and pound agreement, 1959); coating gauges read mil.
MM_PER = {
    "um": 0.001,
    "µm": 0.001,
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "mil": 0.0254,
    "in": 25.4,
    '"': 25.4,
    "ft": 304.8,
}
_UNIT = r'(um|µm|mm|cm|mil|m|in|"|ft)'
#: 1,200 is twelve hundred to one reader and one point two to another.
_TWO_MEANINGS = re.compile(r"[1-9]\d{0,2},\d{3}")
_NUMBER = r"(\d+(?:[.,]\d+)?(?:\s+\d+/\d+)?|\d+/\d+|[.,]\d+)"
_LENGTH = re.compile(rf"\s*{_NUMBER}\s*{_UNIT}\.?\s*", re.IGNORECASE)
_SIZE = re.compile(rf"\s*{_NUMBER}\s*{_UNIT}?\s*(?:x|×|by)\s*{_NUMBER}\s*{_UNIT}\.?\s*", re.IGNORECASE)
_AREA = re.compile(rf"\s*{_NUMBER}\s*(?:sq\.?\s*)?{_UNIT}\s*(?:2|²)?\s*", re.IGNORECASE)


def number(text: str) -> float:
    """Read `1.5`, `1,5`, `1/4` or `4 1/2`.

    >>> number("4 1/2")
    4.5
    """
    whole = sum(Fraction(part.replace(",", ".")) for part in text.split())
    return float(whole)


def _checked(value: float, text: object) -> float:
    if not math.isfinite(value) or value < 0 or value > 20_000_000:
        raise ValueError(f"{text!s} is not a size that a car can have")
    return value


def _fraction_safe(text: str, shown: object) -> float:
    if _TWO_MEANINGS.fullmatch(text):
        plain, point = text.replace(",", ""), text.replace(",", ".")
        raise ValueError(f'"{shown}" can be read in two ways: write {plain} or {point}')
    try:
        return number(text)
    except (ZeroDivisionError, ValueError) as error:
        raise ValueError(f'"{shown}" is not a number') from error


def length_mm(value: object) -> float:
    """Read a length with its unit; give millimetres.

    >>> length_mm("0.9 mm"), length_mm("4 1/2 in")
    (0.9, 114.3)
    """
    match = _LENGTH.fullmatch(str(value))
    if not match:
        raise ValueError(f'"{value}" is not a length: write a number and its unit, such as 0.9 mm or 4 1/2 in')
    return _checked(_fraction_safe(match[1], value) * MM_PER[match[2].lower()], value)


def size_mm(value: object) -> tuple[float, float]:
    """Read length x width with a unit; give both in millimetres, as written.

    >>> size_mm("150 x 80 mm"), size_mm("6 x 3 in")
    ((150.0, 80.0), (152.4, 76.2))
    """
    if isinstance(value, tuple):
        value = f"{value[0]} x {value[1]} mm"
    match = _SIZE.fullmatch(str(value))
    if not match:
        raise ValueError(f'"{value}" is not a size: write length x width and the unit, such as 150 x 80 mm')
    first, unit_1, second, unit_2 = match.groups()
    one = _fraction_safe(first, value) * MM_PER[(unit_1 or unit_2).lower()]
    two = _fraction_safe(second, value) * MM_PER[unit_2.lower()]
    if not one or not two:
        raise ValueError(f'"{value}" has no extent: write both sides larger than nothing')
    return _checked(one, value), _checked(two, value)


def area_mm2(value: object) -> float:
    """Read an area with its unit; give square millimetres.

    >>> area_mm2("120 cm2"), area_mm2("2 sq in")
    (12000.0, 1290.32)
    """
    match = _AREA.fullmatch(str(value))
    if not match or not re.search(r"sq|2\s*$|²", str(value)):
        raise ValueError(f'"{value}" is not an area: write a number and a square unit, such as 120 cm2 or 20 sq in')
    return _checked(_fraction_safe(match[1], value) * MM_PER[match[2].lower()] ** 2, value)


def _unless_number(reader: Any) -> Any:
    def read(value: object) -> Any:
        if isinstance(value, (bool, int, float)):
            raise ValueError(f"{value} has no unit: write for instance {value} mm or {value} in")
        return reader(value)

    return read


def _plain(value: float) -> str:
    """Write a number as people do: no exponent, no trailing noughts; a billionth of a mm is nothing."""
    return f"{value:.9f}".rstrip("0").rstrip(".")


def _schema(example: str, what: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "description": what, "examples": [example]})


#: A length in mm, written with its unit.
LengthMm = Annotated[
    float,
    BeforeValidator(_unless_number(length_mm)),
    PlainSerializer(lambda mm: f"{_plain(mm)} mm"),
    _schema("0.9 mm", "a length with its unit: um, mm, cm, m, in, ft, mil"),
]
#: Two lengths in mm, written `150 x 80 mm`.
SizeMm = Annotated[
    tuple[float, float],
    BeforeValidator(_unless_number(size_mm)),
    PlainSerializer(lambda s: f"{_plain(s[0])} x {_plain(s[1])} mm"),
    _schema("150 x 80 mm", "length x width with the unit"),
]
#: An area in mm2, written `120 cm2`.
AreaMm2 = Annotated[
    float,
    BeforeValidator(_unless_number(area_mm2)),
    PlainSerializer(lambda a: f"{_plain(a)} mm2"),
    _schema("120 cm2", "an area with a square unit"),
]

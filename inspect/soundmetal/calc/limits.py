"""Guards shared by the formulas: a value that cannot be is refused with its name, never bent into range."""

from __future__ import annotations

import math


def positive(value: float, name: str) -> float:
    """Give a finite value over 0 back, or raise ValueError.

    >>> positive(0.9, "thickness_mm")
    0.9
    """
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{name} is {value!r}: it must be more than 0")
    return value


def not_negative(value: float, name: str) -> float:
    """Give a finite value of 0 or more back, or raise ValueError.

    >>> not_negative(0.0, "gap_mm")
    0.0
    """
    if not (math.isfinite(value) and value >= 0):
        raise ValueError(f"{name} is {value!r}: it must be 0 or more")
    return value


def within(value: float, name: str, least: float, most: float) -> float:
    """Give a value back that lies between two limits, both allowed, or raise ValueError.

    >>> within(0.4, "rho", 0, 1)
    0.4
    """
    if not least <= value <= most:
        raise ValueError(f"{name} is {value!r}: it must lie between {least:g} and {most:g}")
    return value

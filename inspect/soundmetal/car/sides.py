"""Left and right: the catalogue writes the left side only, the right one is its mirror image."""

from __future__ import annotations

import re
from collections.abc import Mapping

from soundmetal.car.models import Point

LEFT, RIGHT = "left", "right"


def has_side(zone_id: str) -> bool:
    """Tell whether a zone (or an access group) exists on both sides.

    >>> has_side("rocker.left.outer"), has_side("firewall")
    (True, False)
    """
    return LEFT in zone_id.split(".")


def other_side(zone_id: str) -> str:
    """Give the id on the car's right of one on its left.

    >>> other_side("rocker.left.outer")
    'rocker.right.outer'
    """
    return ".".join(RIGHT if part == LEFT else part for part in zone_id.split("."))


def mirrored(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Mirror points at the car's centre line; the order is turned so that the shape keeps its sense of rotation.

    >>> mirrored(((0.0, -2.0), (1.0, -2.0), (1.0, -1.0)))
    ((1.0, 1.0), (1.0, 2.0), (0.0, 2.0))
    """
    return tuple((x, 0.0 - y) for x, y in reversed(points))


def reworded(text: str, words: Mapping[str, str]) -> str:
    """Replace whole words, such as left by right.

    >>> reworded("Estribo izquierdo exterior", {"izquierdo": "derecho"})
    'Estribo derecho exterior'
    """
    if not words:
        return text
    pattern = r"\b(" + "|".join(re.escape(word) for word in words) + r")\b"
    return re.sub(pattern, lambda match: words[match.group(1)], text)

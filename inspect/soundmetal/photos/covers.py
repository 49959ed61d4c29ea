"""What must not be seen by anybody outside: covers take the pixels away in every copy; originals stay as they are."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from typing import Final

from PIL import Image, ImageDraw
from shapely import MultiPoint, Polygon

from soundmetal.photos.scan import key
from soundmetal.record.models import CallOut, Inspection
from soundmetal.record.terms import MarkKind

#: One outline in parts of the upright picture's width and height; two points are opposite corners of a box.
Outline = tuple[tuple[float, float], ...]
#: A flat grey that reads as "left out" on dark and on light pictures.
_GREY: Final = (128, 128, 128)
#: Pixels round the outline that go as well: the picture was made smaller before, which mixes neighbours.
_MARGIN_PX: Final = 3


def outlines(marks: Iterable[CallOut]) -> frozenset[Outline]:
    """Give the outlines of the covers among the marks of a photograph."""
    return frozenset(mark.points for mark in marks if mark.kind is MarkKind.COVER)


def by_photograph(inspection: Inspection) -> dict[str, frozenset[Outline]]:
    """Give the covers of each photograph that has any, by its name."""
    named = [(name, note.marks) for name, note in inspection.photos.items()]
    named += [(use.file, use.marks) for finding in inspection.findings for use in finding.photos]
    found: dict[str, frozenset[Outline]] = {}
    for name, marks in named:
        if covers := outlines(marks):
            found[key(name)] = found.get(key(name), frozenset()) | covers
    return found


def name_of(covers: frozenset[Outline]) -> str:
    """Give a short name that differs when the covers differ; empty for none.

    >>> name_of(frozenset())
    ''
    """
    return hashlib.sha256(repr(sorted(covers)).encode()).hexdigest()[:16] if covers else ""


def _closed(outline: Outline) -> Outline:
    """Give an outline whose inside is plain; of one that crosses itself the whole span, rather than leave a gap."""
    if len(outline) < 3 or Polygon(outline).is_valid:
        return outline
    hull = MultiPoint(outline).convex_hull
    if hull.area:
        return tuple((x, y) for x, y in hull.exterior.coords)
    left, top, right, bottom = hull.bounds
    return (left, top), (right, bottom)


def paint(picture: Image.Image, covers: frozenset[Outline]) -> None:
    """Paint the covers over an upright picture (RGB), with a small margin; what was there is gone."""
    brush = ImageDraw.Draw(picture)
    for outline in sorted(covers):
        points = [(x * picture.width, y * picture.height) for x, y in _closed(outline)]
        if len(points) == 2:
            (left, right), (top, bottom) = (sorted(ends) for ends in zip(*points, strict=True))
            box = (left - _MARGIN_PX, top - _MARGIN_PX, right + _MARGIN_PX, bottom + _MARGIN_PX)
            brush.rectangle(box, fill=_GREY)
        else:
            brush.polygon(points, fill=_GREY)
            brush.line([*points, points[0]], fill=_GREY, width=2 * _MARGIN_PX + 1, joint="curve")
            for x, y in points:
                brush.ellipse((x - _MARGIN_PX, y - _MARGIN_PX, x + _MARGIN_PX, y + _MARGIN_PX), fill=_GREY)

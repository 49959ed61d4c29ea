"""A found lay made tidy: parts pushed together towards the corner, and the largest rectangle that stays whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from soundmetal.scope.sheets.search import Layout
from soundmetal.scope.sheets.skyline import Placed


def settle(layout: Layout, length: int, width: int) -> Layout:
    """Push every part to the left and down as far as the others and the piece to keep allow; measure what is left.

    >>> one, other = Placed(0, 0, 0, 4, 4), Placed(1, 6, 2, 4, 4)
    >>> settle(Layout((one, other), (), 32, None), 20, 10).placed[1]
    Placed(number=1, x=4, y=0, width=4, height=4)
    """
    kept = [layout.offcut] if layout.offcut else []
    placed = list(layout.placed)
    moved = True
    while moved:
        moved = False
        for n in sorted(range(len(placed)), key=lambda k: (placed[k].x, placed[k].y)):
            others = [*placed[:n], *placed[n + 1 :], *kept]
            pushed = _down(_left(placed[n], others), others)
            moved |= pushed != placed[n]
            placed[n] = pushed
    free = largest_empty(placed, length, width)
    return Layout(tuple(placed), layout.left, layout.area, free)


def largest_empty(placed: Sequence[Placed], length: int, width: int) -> Placed | None:
    """Give the largest empty rectangle on a sheet; None where nothing is free.

    >>> largest_empty([Placed(0, 0, 0, 4, 4)], 10, 6)
    Placed(number=-1, x=4, y=0, width=6, height=6)
    """
    cuts = sorted({0, length, *(end for p in placed for end in (p.x, p.x + p.width))})
    best: Placed | None = None
    for first, x0 in enumerate(cuts):
        for x1 in cuts[first + 1 :]:
            if best is not None and (x1 - x0) * width <= best.width * best.height:
                continue
            low, high = max(_gaps(placed, x0, x1, width), key=lambda gap: gap[1] - gap[0])
            if high > low and (best is None or (x1 - x0) * (high - low) > best.width * best.height):
                best = Placed(-1, x0, low, x1 - x0, high - low)
    return best


def _gaps(placed: Sequence[Placed], x0: int, x1: int, width: int) -> Iterator[tuple[int, int]]:
    """Free stretches of a band across the sheet."""
    low = 0
    for part in sorted((p for p in placed if p.x < x1 and p.x + p.width > x0), key=lambda p: p.y):
        yield low, part.y
        low = max(low, part.y + part.height)
    yield low, width


def _left(part: Placed, others: Sequence[Placed]) -> Placed:
    walls = (
        o.x + o.width
        for o in others
        if o.y < part.y + part.height and part.y < o.y + o.height and o.x + o.width <= part.x
    )
    return part._replace(x=max(walls, default=0))


def _down(part: Placed, others: Sequence[Placed]) -> Placed:
    floors = (
        o.y + o.height
        for o in others
        if o.x < part.x + part.width and part.x < o.x + o.width and o.y + o.height <= part.y
    )
    return part._replace(y=max(floors, default=0))

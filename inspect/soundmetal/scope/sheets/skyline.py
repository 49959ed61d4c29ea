"""Rectangles packed along a skyline: the lowest gap is filled first, with what fits its width and its walls best.

All lengths are whole numbers, so that two edges either meet or do not, and the same input packs the same on every
machine. The method is the best-fit skyline of the strip packing papers (Burke, Kendall and Whitwell 2004; scoring of
the fit after Leung, Zhang and Sim 2011), from memory of their ideas.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple


class Part(NamedTuple):
    """A rectangle to place: its number, width and height, and whether it may be turned by 90 degrees."""

    number: int
    width: int
    height: int
    turns: bool = True


class Placed(NamedTuple):
    """A rectangle in its place: lower left corner, width and height as it lies."""

    number: int
    x: int
    y: int
    width: int
    height: int


@dataclass(slots=True)
class Step:
    """One level stretch of the skyline."""

    x: int
    y: int
    width: int


@dataclass(frozen=True, slots=True)
class Packing:
    """What one pass placed, the skyline above it, and the numbers of the parts that found no room."""

    placed: tuple[Placed, ...]
    skyline: tuple[tuple[int, int, int], ...]
    left: tuple[int, ...]

    @property
    def height(self) -> int:
        """Height that the placed parts reach."""
        return max((one.y + one.height for one in self.placed), default=0)

    @property
    def area(self) -> int:
        """Area of the placed parts."""
        return sum(one.width * one.height for one in self.placed)


def pack(parts: Sequence[Part], width: int, height: int, *, scored: bool = True) -> Packing:
    """Pack parts, taken in their order, into a box of that width and height, from below.

    `scored` lets a part that fits the gap's width or its walls exactly go before its turn.

    >>> pack([Part(0, 4, 2), Part(1, 6, 3), Part(2, 4, 1)], 10, 5).height
    3
    """
    line = [Step(0, 0, width)]
    todo = list(parts)
    placed: list[Placed] = []
    while todo:
        at = min(range(len(line)), key=lambda n: (line[n].y, line[n].x))
        gap = line[at]
        if gap.y >= height:
            break
        walls = _walls(line, at, height)
        found = _best(todo, gap, walls, height, scored)
        if found is None:
            _fill_up(line, at, height)
            continue
        index, wide, tall = found
        part = todo.pop(index)
        left = _goes_left(walls, tall, scored)
        x = gap.x if left else gap.x + gap.width - wide
        placed.append(Placed(part.number, x, gap.y, wide, tall))
        _raise(line, at, wide, tall, left)
    return Packing(tuple(placed), tuple((s.x, s.y, s.width) for s in line), tuple(part.number for part in todo))


def _walls(line: Sequence[Step], at: int, height: int) -> tuple[int, int]:
    """Height of the walls left and right of a gap; the border of the box is as high as the box."""
    y = line[at].y
    left = line[at - 1].y - y if at else height - y
    right = line[at + 1].y - y if at + 1 < len(line) else height - y
    return left, right


def _best(
    todo: Sequence[Part], gap: Step, walls: tuple[int, int], height: int, scored: bool
) -> tuple[int, int, int] | None:
    """The part that fits the gap best, and how it lies; of equals the first in order."""
    room = height - gap.y
    space = gap.width
    left, right = walls
    best, best_score = None, -1
    for index, (_, width, tall, turns) in enumerate(todo):
        if width <= space and tall <= room:
            score = 2 * (width == space) + (tall == left) + (tall == right) if scored else 0
            if score > best_score:
                best, best_score = (index, width, tall), score
        if turns and tall <= space and width <= room and width != tall:
            score = 2 * (tall == space) + (width == left) + (width == right) if scored else 0
            if score > best_score:
                best, best_score = (index, tall, width), score
        if best_score == 4 or (best and not scored):
            break
    return best


def _goes_left(walls: tuple[int, int], tall: int, scored: bool) -> bool:
    """Lay a part against the wall it is level with, else against the higher one."""
    left, right = walls
    if scored and (tall == left) is not (tall == right):
        return tall == left
    return left >= right


def _raise(line: list[Step], at: int, wide: int, tall: int, left: bool) -> None:
    """Put a part of that size onto one step, at its left or right end, and join what is level."""
    gap = line[at]
    top = Step(gap.x if left else gap.x + gap.width - wide, gap.y + tall, wide)
    rest = gap.width - wide
    if not rest:
        line[at] = top
    elif left:
        line[at : at + 1] = [top, Step(gap.x + wide, gap.y, rest)]
    else:
        line[at : at + 1] = [Step(gap.x, gap.y, rest), top]
        at += 1
    _join(line, at)


def _fill_up(line: list[Step], at: int, height: int) -> None:
    """Raise a gap in which nothing fits to its lower wall: that much is waste."""
    gap = line[at]
    sides = [line[n].y for n in (at - 1, at + 1) if 0 <= n < len(line)]
    gap.y = min(sides, default=height)
    _join(line, at)


def _join(line: list[Step], at: int) -> None:
    for n in (at, at - 1):
        if n >= 0 and n + 1 < len(line) and line[n].y == line[n + 1].y:
            line[n].width += line[n + 1].width
            del line[n + 1]

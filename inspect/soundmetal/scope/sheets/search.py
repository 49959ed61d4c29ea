"""The search for a good order of parts: sorted orders first, then swaps from the best of them. Seeded, so repeatable.

What is good is said by a cost, lower is better; a `goal` ends the search. A sheet is packed across and along.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from soundmetal.scope.sheets.skyline import Packing, Part, Placed, pack

Cost = tuple[int, ...]
Packed = TypeVar("Packed")
#: How often a swap also turns one of the two parts.
_TURNED_SHARE = 0.3
_SEED = 20
#: No more swaps than so many for each part.
_PER_PART = 60

_SORTS: tuple[Callable[[Part], tuple[int, int]], ...] = (
    lambda p: (-p.width * p.height, p.number),
    lambda p: (-max(p.width, p.height), p.number),
    lambda p: (-p.width, p.number),
    lambda p: (-p.height, p.number),
    lambda p: (-(p.width + p.height), p.number),
    lambda p: (-min(p.width, p.height), p.number),
)


@dataclass(frozen=True)
class Effort:
    """How long to search: `tries` swaps in all, shared by the best `starts` sorted orders."""

    tries: int
    starts: int

    def for_parts(self, count: int) -> Effort:
        """Give the effort for so many parts: one try takes longer with more of them, and few have few orders."""
        return Effort(min(self.tries // max(count, 1), _PER_PART * count), self.starts)


@dataclass(frozen=True)
class Layout:
    """Parts on one sheet, the numbers of those that found no room, and the largest rectangle that stays whole."""

    placed: tuple[Placed, ...]
    left: tuple[int, ...]
    area: int
    offcut: Placed | None

    @property
    def offcut_area(self) -> int:
        """Area of that rectangle."""
        return self.offcut.width * self.offcut.height if self.offcut else 0


def best_of(
    parts: Sequence[Part],
    pack_one: Callable[[Sequence[Part], bool], Packed],
    cost: Callable[[Packed], Cost],
    goal: Cost,
    effort: Effort,
) -> Packed:
    """Give the packing of least cost that is found. `pack_one` packs an order, scored or strictly in turn."""
    tried: list[tuple[Cost, int, list[Part], Packed]] = []
    for order in _orders(parts):
        for scored in (True, False):
            packed = pack_one(order, scored)
            tried.append((cost(packed), len(tried), order, packed))
            if tried[-1][0] <= goal:
                return packed
    tried.sort(key=lambda one: one[:2])
    best_cost, _, _, best = tried[0]
    chance = random.Random(_SEED)  # noqa: S311 - a search, not a secret
    for start_cost, _, order, packed in tried[: effort.starts]:
        found = _swapped(order, (start_cost, packed), pack_one, cost, goal, effort.tries // effort.starts, chance)
        if found[0] < best_cost:
            best_cost, best = found
        if best_cost <= goal:
            break
    return best


def strip(parts: Sequence[Part], width: int, effort: Effort, least_height: int = 0) -> Packing:
    """Pack all parts into a strip of that width, as low as can be found; stop at `least_height`.

    ValueError where a part is too wide for the strip either way.
    """
    endless = sum(part.width + part.height for part in parts)
    found = best_of(
        parts,
        lambda order, scored: pack(order, width, endless, scored=scored),
        lambda packing: (len(packing.left), packing.height),
        (0, least_height),
        effort.for_parts(len(parts)),
    )
    if found.left:
        raise ValueError(f"parts {found.left} are wider than the strip")
    return found


def fill(parts: Sequence[Part], length: int, width: int, effort: Effort) -> Layout:
    """Lay as much as can be found on one sheet; where all fits, so that the largest rectangle stays whole."""
    whole = sum(part.width * part.height for part in parts)
    found = [_one_way(parts, length, width, effort, along=along) for along in (True, False)]
    return min(found, key=lambda layout: (whole - layout.area, -layout.offcut_area))


def _one_way(parts: Sequence[Part], length: int, width: int, effort: Effort, *, along: bool) -> Layout:
    """Pack from the left end across the sheet (`along`: what is left is a piece of its full width), or from below."""
    whole = sum(part.width * part.height for part in parts)
    box = (width, length) if along else (length, width)

    def pack_one(order: Sequence[Part], scored: bool) -> Layout:
        return _layout(pack(order, *box, scored=scored), box, along=along)

    def cost(layout: Layout) -> Cost:
        return whole - layout.area, -layout.offcut_area

    laid = [Part(p.number, p.height, p.width, p.turns) if along else p for p in parts]
    # Nothing is better than all parts in one tight block: then the rest of the sheet stays whole.
    goal = (0, -(box[0] * (box[1] - -(-whole // box[0]))))
    return best_of(laid, pack_one, cost, goal, effort.for_parts(len(parts)))


def _layout(packing: Packing, box: tuple[int, int], *, along: bool) -> Layout:
    """Read a packing in the sheet's own coordinates, x along its length."""
    free = largest_free(packing.skyline, box[1])
    if not along:
        return Layout(packing.placed, packing.left, packing.area, free)
    placed = tuple(_over(one) for one in packing.placed)
    return Layout(placed, packing.left, packing.area, _over(free) if free else None)


def _over(one: Placed) -> Placed:
    """Mirror a place about the diagonal; the part itself is laid by its corner, so nothing is mirrored on it."""
    return Placed(one.number, one.y, one.x, one.height, one.width)


def largest_free(skyline: Sequence[tuple[int, int, int]], height: int) -> Placed | None:
    """Give the largest rectangle between the skyline and the top; None where nothing is free.

    >>> largest_free([(0, 6, 4), (4, 2, 6)], 10)
    Placed(number=-1, x=4, y=2, width=6, height=8)
    """
    best: Placed | None = None
    for first, (x, _, _) in enumerate(skyline):
        top = 0
        for step_x, step_y, step_width in skyline[first:]:
            top = max(top, step_y)
            one = Placed(-1, x, top, step_x + step_width - x, height - top)
            if one.height > 0 and (best is None or one.width * one.height > best.width * best.height):
                best = one
    return best


def _orders(parts: Sequence[Part]) -> Iterator[list[Part]]:
    """Give the parts as they are, upright and flat, each sorted in several ways."""
    upright = [_laid(part, part.width > part.height) for part in parts]
    flat = [_laid(part, part.height > part.width) for part in parts]
    for lying in (list(parts), upright, flat):
        yield from (sorted(lying, key=sort) for sort in _SORTS)


def _laid(part: Part, over: bool) -> Part:
    return Part(part.number, part.height, part.width, True) if over and part.turns else part


def _swapped(
    order: Sequence[Part],
    start: tuple[Cost, Packed],
    pack_one: Callable[[Sequence[Part], bool], Packed],
    cost: Callable[[Packed], Cost],
    goal: Cost,
    tries: int,
    chance: random.Random,
) -> tuple[Cost, Packed]:
    """Swap two parts at a time and keep what is no worse."""
    now, (now_cost, best) = list(order), start
    for _ in range(tries):
        one, other = chance.randrange(len(now)), chance.randrange(len(now))
        new = list(now)
        new[one], new[other] = new[other], new[one]
        if chance.random() < _TURNED_SHARE:
            new[one] = _laid(new[one], True)
        packed = pack_one(new, True)
        new_cost = cost(packed)
        if new_cost <= now_cost:
            now, now_cost, best = new, new_cost, packed
            if now_cost <= goal:
                break
    return now_cost, best

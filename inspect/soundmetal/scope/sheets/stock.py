"""Which sheets to take: offcuts first, then the new sheets that cost least and hold everything.

Of plans that cost the same, the one with fewer sheets, then the one that leaves the largest piece whole.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from soundmetal.scope.sheets.search import Effort, Layout, fill
from soundmetal.scope.sheets.skyline import Part

#: Sets of sheets that are tried with the whole effort, and all that are tried at all.
_SEARCHED, _TRIED = 3, 40
_QUICK = Effort(0, 1)


@dataclass(frozen=True)
class Slab:
    """A sheet or offcut to lay on: which, the room inside its border in whole units, and what it costs."""

    sheet: str
    length: int
    width: int
    price: Decimal
    offcut: bool = False

    @property
    def area(self) -> int:
        """Room inside the border."""
        return self.length * self.width

    def takes(self, part: Part) -> bool:
        """Whether a part fits on the empty slab."""
        lies = part.width <= self.length and part.height <= self.width
        return lies or (part.turns and part.height <= self.length and part.width <= self.width)


Laid = tuple[Slab, Layout]


def plan(parts: Sequence[Part], slabs: Sequence[Slab], offcuts: Sequence[Slab], effort: Effort) -> tuple[Laid, ...]:
    """Lay all parts on offcuts and then on new sheets, of which there are enough. Slabs without parts are left out.

    Every part must fit on one of `slabs` (ValueError).
    """
    strange = [part.number for part in parts if not any(slab.takes(part) for slab in slabs)]
    if strange:
        raise ValueError(f"parts {strange} fit on no sheet")
    done, left = _on_offcuts(parts, offcuts, Effort(effort.tries // 4, effort.starts))
    return (*done, *(_on_sheets(left, slabs, effort) if left else ()))


def _on_offcuts(parts: Sequence[Part], offcuts: Sequence[Slab], effort: Effort) -> tuple[list[Laid], list[Part]]:
    """Fill the smallest offcuts first, so that small parts do not use up a large one."""
    done: list[Laid] = []
    left = list(parts)
    for slab in sorted(offcuts, key=lambda s: (s.area, s.length, s.sheet)):
        if not any(slab.takes(part) for part in left):
            continue
        layout = fill(left, slab.length, slab.width, effort)
        done.append((slab, layout))
        left = _left(left, layout)
    return done, left


def _on_sheets(parts: Sequence[Part], slabs: Sequence[Slab], effort: Effort) -> tuple[Laid, ...]:
    """The cheapest set of sheets that takes all; each cheaper set than what greed finds is tried as well."""
    best = _greedy(parts, slabs)
    searched = 0
    for tried, combo in enumerate(_cheaper(parts, slabs, best)):
        if tried == _TRIED:
            break
        full = searched < _SEARCHED
        searched += full
        laid = _lay(parts, combo, effort if full else _QUICK)
        if laid is not None:
            best = laid
            break
    again = _lay(parts, sorted((slab for slab, _ in best), key=_largest_first), effort)
    return min((one for one in (best, again) if one is not None), key=_worth)


def _greedy(parts: Sequence[Part], slabs: Sequence[Slab]) -> tuple[Laid, ...]:
    """Take the sheet that costs least for the area laid on it, again and again."""
    done: list[Laid] = []
    left = list(parts)
    while left:
        laid = [(slab, fill(left, slab.length, slab.width, _QUICK)) for slab in slabs if any(map(slab.takes, left))]
        best = min(laid, key=lambda one: (one[0].price / one[1].area, len(one[1].left), -one[1].offcut_area))
        done.append(best)
        left = _left(left, best[1])
    return tuple(done)


def _cheaper(parts: Sequence[Part], slabs: Sequence[Slab], known: Sequence[Laid]) -> Iterator[tuple[Slab, ...]]:
    """Sets of sheets with room enough that cost less than a known plan, or as much with fewer; cheapest first."""
    need = sum(part.width * part.height for part in parts)
    limit = (sum((slab.price for slab, _ in known), Decimal(0)), len(known))
    heap: list[tuple[Decimal, int, tuple[int, ...]]] = [(Decimal(0), 0, ())]
    while heap:
        price, count, chosen = heapq.heappop(heap)
        if (price, count) >= limit:
            return
        combo = tuple(slabs[n] for n in chosen)
        if combo and sum(slab.area for slab in combo) >= need and all(any(s.takes(p) for s in combo) for p in parts):
            yield tuple(sorted(combo, key=_largest_first))
        for n in range(chosen[-1] if chosen else 0, len(slabs)):
            if count < len(parts):
                heapq.heappush(heap, (price + slabs[n].price, count + 1, (*chosen, n)))


def _lay(parts: Sequence[Part], combo: Sequence[Slab], effort: Effort) -> tuple[Laid, ...] | None:
    """Lay all parts on these sheets, one after the other; None where some find no room."""
    done: list[Laid] = []
    left = list(parts)
    for n, slab in enumerate(combo):
        if not left:
            break
        room = sum(other.area for other in combo[n:])
        if sum(part.width * part.height for part in left) > room:
            return None
        layout = fill(left, slab.length, slab.width, effort)
        done.append((slab, layout))
        left = _left(left, layout)
    return None if left else tuple(laid for laid in done if laid[1].placed)


def _left(parts: Sequence[Part], layout: Layout) -> list[Part]:
    numbers = set(layout.left)
    return [part for part in parts if part.number in numbers]


def _largest_first(slab: Slab) -> tuple[int, int, str]:
    return -slab.area, -slab.length, slab.sheet


def _worth(laid: Sequence[Laid]) -> tuple[Decimal, int, int]:
    """Price, sheets, and the largest piece that stays whole; lower is better."""
    price = sum((slab.price for slab, _ in laid), Decimal(0))
    return price, len(laid), -max((layout.offcut_area for _, layout in laid), default=0)

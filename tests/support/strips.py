"""Strip packing instances with known optimum, and a search that proves the optimum reachable without turning.

Hopper and Turton (2000), the authors' data sheet (read); Burke, Kendall and Whitwell (2004) and Jakobs (1996), a
public collection of data sets (read).
"""

from __future__ import annotations

from collections import Counter

Placement = tuple[int, int, int, int]

#: Id: strip width, optimal height, rectangles (width along the strip's width x height).
INSTANCES: dict[str, tuple[int, int, str]] = {
    "HT-C1P1": (20, 20, "2x12 7x12 8x6 3x6 3x5 5x5 3x12 3x7 5x7 2x6 3x2 4x2 3x4 4x4 9x2 11x2"),
    "HT-C1P2": (20, 20, "4x1 4x5 9x4 3x5 3x9 1x4 5x3 4x1 5x5 7x2 9x3 3x13 2x8 15x4 5x4 10x6 7x2"),
    "HT-C1P3": (20, 20, "4x14 5x2 2x2 9x7 5x5 2x5 7x7 3x5 6x5 3x2 6x2 4x6 6x3 10x3 6x3 10x3"),
    "HT-C2P3": (
        40, 15,
        "12x7 7x7 7x1 5x1 3x2 6x2 7x2 5x2 3x1 6x1 12x6 9x6 12x2 7x2 10x3 4x1 5x1 16x3 5x3 4x2 5x2 10x3 9x3 16x3 5x3",
    ),
    "BKW-N1": (40, 40, "7x6 7x6 40x16 5x20 24x24 7x4 4x4 7x8 4x20 5x4"),
    "BKW-N2": (
        30, 50,
        "23x9 19x4 12x21 6x4 6x4 7x13 9x4 4x6 4x6 23x6 16x6 4x14 14x6 6x6 5x4 7x6 14x11 4x7 8x4 14x4",
    ),
    "JK-J1": (
        40, 15,
        "12x6 4x7 6x7 10x2 2x5 2x5 6x4 6x4 4x2 4x6 4x6 7x9 4x5 4x5 6x3 6x3 2x4 2x4 8x4 8x6 8x3 2x6 8x2 3x5 3x4",
    ),
}  # fmt: skip

#: The rows of the check values that name an instance.
ROWS = {"NST-01": "HT-C1P1", "NST-02": "HT-C1P2", "NST-04": "HT-C2P3", "NST-05": "BKW-N1", "NST-07": "JK-J1"}


def sizes(name: str) -> list[tuple[int, int]]:
    """Give the rectangles of an instance: along the strip's width, along its height."""
    pairs = (pair.split("x") for pair in INSTANCES[name][2].split())
    return [(int(first), int(second)) for first, second in pairs]


def key(name: str) -> tuple[int, int, int, int]:
    """Name an instance by what it is: strip width, optimal height, count, summed area."""
    width, height, _ = INSTANCES[name]
    return width, height, len(sizes(name)), sum(w * h for w, h in sizes(name))


def without_waste(width: int, height: int, parts: list[tuple[int, int]]) -> list[Placement] | None:
    """Fill width x height with all parts, none turned and nothing left over; None where there is no way.

    Gives x, y, width and height of each part. Exhaustive: the lowest and then leftmost gap must be filled by some
    part from its left corner. Which side is quicker to search along is not known before, so both are tried in turn,
    each time with ten times the patience.
    """
    turned = [(h, w) for w, h in parts]
    for patience in (10**n for n in range(3, 9)):
        for across in (False, True):
            search = Search(height, width, turned) if across else Search(width, height, parts)
            try:
                found = search.fill(patience)
            except TimeoutError:
                continue
            return [(y, x, h, w) for x, y, w, h in search.placed] if across and found else search.placed or None
    raise TimeoutError("no answer in 10^8 steps")


class Search:
    """One search from the lower side on; `placed` holds the parts once they all lie."""

    def __init__(self, width: int, height: int, parts: list[tuple[int, int]]) -> None:
        self.left, self.line, self.height = Counter(parts), [0] * width, height
        self.placed: list[Placement] = []

    def fill(self, patience: int) -> bool:
        """Tell whether the rest can be filled; TimeoutError after so many parts tried."""
        self.steps = patience
        return self._fill()

    def _fill(self) -> bool:
        line, left, low = self.line, self.left, min(self.line)
        if low == self.height:
            return left.total() == 0
        x = line.index(low)
        room = next((n for n in range(x, len(line)) if line[n] != low), len(line)) - x
        for w, h in sorted(left, key=lambda size: (-size[0] * size[1], size)):
            if not left[w, h] or w > room or low + h > self.height:
                continue
            self.steps -= 1
            if self.steps < 0:
                raise TimeoutError
            left[w, h] -= 1
            line[x : x + w] = [low + h] * w
            self.placed.append((x, low, w, h))
            if (w == room or any(left[one] and one[0] <= room - w for one in left)) and self._fill():
                return True
            self.placed.pop()
            line[x : x + w] = [low] * w
            left[w, h] += 1
        return False

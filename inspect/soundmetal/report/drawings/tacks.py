"""Where to tack and in which order: the seam to scale, every tack a dot, numbered as they are made."""

from __future__ import annotations

import math

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, LEVEL_FILL, PAPER, QUIET, RAMP
from soundmetal.scope.models import TackPlan

FIRST = LEVEL_FILL[RAMP[3]]
NUMBER_MM = 2.5
DOT_MM = 0.75
_MARGIN_MM = 3.5
#: Dots closer than this on paper leave no room for a number at each; then only the first ones get theirs.
_ROOM_MM = 2.6
_TALLEST_MM = 26.0


def tack_plan(
    lang: Language, plan: TackPlan, spacing: str, *, mirrored: bool = False, width_mm: float = 44.0
) -> Markup:
    """Draw a tack plan at most `width_mm` wide; `spacing` tells the largest distance in the reader's units.

    `mirrored` puts the front at the right, as on the skins of the right side. Where there is no room for a number at
    every tack, those of the first round are numbered, and the rest are open dots to be filled in between.
    """
    scale, (x0, y0, x1, y1) = _scale(plan, width_mm)
    tall = (y1 - y0) * scale + 2 * _MARGIN_MM
    title = lang.text(
        "Tack plan: {tacks_count} tacks, {spacing} apart or closer, made in the order of their numbers.",
        tacks_count=len(plan.at_mm), spacing=spacing,
    ).unescape()  # fmt: skip
    drawing = Drawing(width_mm, tall, title, css="tack-plan")
    left = (width_mm - (x1 - x0) * scale) / 2

    def paper(spot: Point) -> Point:
        along = x1 - spot[0] if mirrored else spot[0] - x0
        return left + along * scale, tall - _MARGIN_MM - (spot[1] - y0) * scale

    for line in plan.lines_mm:
        drawing.polyline([paper(spot) for spot in line], stroke=QUIET, stroke_width=0.3)
    middle = paper(((x0 + x1) / 2, (y0 + y1) / 2))
    _dots(drawing, [paper(spot) for spot in plan.at_mm], plan, middle, all_of_them=_room(plan, scale))
    return drawing.markup


def numbered(plan: TackPlan, width_mm: float = 44.0) -> int:
    """Tell how many tacks carry their number on a drawing of that width: all, or those of the first round.

    The first round ends where a tack falls beside one that is there already.
    """
    return len(plan.order) if _room(plan, _scale(plan, width_mm)[0]) else _first_round(plan)


def _scale(plan: TackPlan, width_mm: float) -> tuple[float, tuple[float, float, float, float]]:
    spots = [spot for line in plan.lines_mm for spot in line]
    x0, x1 = min(x for x, _ in spots), max(x for x, _ in spots)
    y0, y1 = min(y for _, y in spots), max(y for _, y in spots)
    room = width_mm - 2 * _MARGIN_MM, _TALLEST_MM - 2 * _MARGIN_MM
    scale = min(room[0] / max(x1 - x0, 1.0), room[1] / max(y1 - y0, 1.0), 1.0)
    return scale, (x0, y0, x1, y1)


def _room(plan: TackPlan, scale: float) -> bool:
    return plan.spacing_mm * scale >= _ROOM_MM


def _first_round(plan: TackPlan) -> int:
    made: set[int] = set()
    for place, number in enumerate(plan.order):
        if {number - 1, number + 1} & made:
            return place
        made.add(number)
    return len(plan.order)


def _dots(drawing: Drawing, spots: list[Point], plan: TackPlan, middle: Point, *, all_of_them: bool) -> None:
    first = _first_round(plan)
    for place, number in enumerate(plan.order):
        x, y = spots[number]
        early = place < first
        drawing.circle(x, y, DOT_MM, fill=FIRST if early else PAPER, stroke=INK, stroke_width=0.25)
        if early or all_of_them:
            dx, dy = _outward(spots, number, middle)
            words_y = y + 2.2 * dy + 0.35 * NUMBER_MM
            drawing.text(x + 2.3 * dx, words_y, place + 1, NUMBER_MM, text_anchor="middle")


def _outward(spots: list[Point], number: int, middle: Point) -> Point:
    """The direction across the seam, away from the middle of the opening; up or left where it goes through it."""
    x, y = spots[number]
    near = [spots[n] for n in (number - 1, (number + 1) % len(spots))]
    near.sort(key=lambda spot: math.dist(spot, (x, y)))
    tx, ty = near[0][0] - x, near[0][1] - y
    if math.dist(near[1], (x, y)) < 1.3 * math.dist(near[0], (x, y)):
        tx, ty = near[1][0] - near[0][0], near[1][1] - near[0][1]
    long = math.hypot(tx, ty) or 1.0
    across = (-ty / long, tx / long)
    away = (x - middle[0]) * across[0] + (y - middle[1]) * across[1]
    flip = away < -0.01 or (abs(away) <= 0.01 and (across[1], across[0]) > (0.0, 0.0))
    return (-across[0], -across[1]) if flip else across

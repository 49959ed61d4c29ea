"""Every call-out and every size of the samples' records against the truth of the picture it is drawn on.

A call-out names what it shows. What it names has a label in the mask, or stands in UNLABELLED with the reason; a word
that neither list knows is a failure, so that nothing is passed over in silence.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import numpy as np
import pytest

from render import marks, pointing, truth
from render.album import CARS
from render.finish import PHOTOS
from render.pointing import Point, Pointed
from render.skin import HOLE, SCALE, SURFACE
from soundmetal.folder import store
from soundmetal.record.callouts import CallOut
from soundmetal.record.models import Finding, Inspection
from soundmetal.record.terms import MarkKind

pytestmark = pytest.mark.checkout

EVERY_CAR = pytest.mark.parametrize("car", list(CARS))

#: What a call-out's words name, first match wins: the least label it shows, and the part of a call-out round it that
#: carries this label at least. Ragged places fill 0.3 to 0.9 of a tight outline, holes 0.55 and more (measured on the
#: renders); pinholes are specks in steel that is still there.
NAMED: tuple[tuple[str, int, float], ...] = (
    (r"pinholes?", HOLE, 0.01),
    (r"rusted through|holes?|holed|gone", HOLE, 0.4),
    (r"scale", SCALE, 0.25),
    (r"pitted|pits|surface rust|rust", SURFACE, 0.25),
)
#: These words say that there is no rust.
SOUND_WORDS = r"sound|dry|clean"
#: Call-outs, by their whole text, on things that no label tells; each with the reason.
UNLABELLED = {
    "mounting bolt": "a bolt is a thing of its own, and the mask labels steel sheet",
    "drain": "an opening that was made is background, like all openings",
    "seam": "a seam is sound or rusted steel like what it joins",
    "lapped sheet": "a sheet laid over rust is labelled by its own surface",
    "mounting": "where a measured line ends: a bolt, as above",
    "hanger": "where a measured line ends: a bracket has the labels of its own steel",
}
#: How closely a call-out goes round its place: outlines off the mask reach 0.94 and more, shifted by a third of their
#: own width or height 0.82 at most (measured on the renders).
CLOSE = 0.85
#: How near a point, an arrow's head or a measured end is to what it names, in shares of the picture's width.
AT = 0.012
#: Less than this part of what is called sound may be rusted: a spot in the paint that nobody would speak of.
SPOTS = 0.02
#: Somebody reads a tape held against ragged rust on a bent panel: to about a tenth, or a finger's breadth if that is
#: more (common practice, no source).
TAPE_PART, TAPE_MM = 0.10, 10.0
GOES_ROUND = {MarkKind.POLYGON, MarkKind.BOX, MarkKind.CIRCLE}


@cache
def _record(car: str) -> Inspection:
    return store.read(PHOTOS[car].parent).inspection


@cache
def _mask(car: str, file: str) -> tuple[np.ndarray, np.ndarray]:
    return truth.mask(car, file)


@cache
def _index(car: str) -> dict[str, Any]:
    return truth.index(car)


def _uses(car: str) -> list[tuple[Finding, str, CallOut]]:
    return [
        (finding, use.file, mark)
        for finding in _record(car).findings
        for use in finding.photos
        for mark in use.call_outs
    ]


def _named(words: str) -> tuple[int, float] | None:
    """The label and the least share that words ask for; None for what is sound or not labelled."""
    if words in UNLABELLED or re.search(rf"\b({SOUND_WORDS})\b", words):
        return None
    found = next(((low, least) for form, low, least in NAMED if re.search(rf"\b({form})\b", words)), None)
    assert found, f"a call-out says {words!r}: add its words to NAMED or, with the reason, to UNLABELLED"
    return found


def _steel(car: str, file: str, low: int) -> np.ndarray:
    label, main = _mask(car, file)
    return (label >= low) & main


def _round(car: str, file: str, mark: CallOut, low: int, shift: Point = (0.0, 0.0)) -> Pointed:
    """Measure a call-out that goes round a place, moved by parts of its own width and height."""
    radius, wide_to_high = mark.radius or 0.0, _mask(car, file)[0].shape[1] / _mask(car, file)[0].shape[0]
    points = np.array(mark.points)
    extent = np.ptp(points, axis=0) + 2 * radius * np.array([1, wide_to_high])
    moved = [(float(x), float(y)) for x, y in points + extent * shift]
    steel = _steel(car, file, low)
    return pointing.pointed(pointing.area(mark.kind.value, moved, radius, steel.shape), steel)


def _ends(mark: CallOut) -> list[tuple[Point, str]]:
    """What single places a call-out points at, each with the words that name it."""
    words = mark.text.split(" to ")
    if mark.kind is MarkKind.LINE and len(words) == 2:
        return list(zip(mark.points, words, strict=True))
    return [(mark.points[-1], mark.text)]


def _fault_of_point(car: str, file: str, at: Point, words: str) -> str:
    if re.search(rf"\b({SOUND_WORDS})\b", words):
        rust = _steel(car, file, SURFACE)
        return "rust there" if rust[pointing.near(at, rust.shape, AT)].mean() > SPOTS else ""
    named = _named(words)
    if named is None:
        return ""
    steel = _steel(car, file, named[0])
    return "" if (steel & pointing.near(at, steel.shape, AT)).any() else f"no {words} there"


def _fault(car: str, file: str, mark: CallOut) -> str:
    """What is wrong with a call-out; nothing where it lies on what it names."""
    if mark.kind not in GOES_ROUND:
        return "; ".join(filter(None, (_fault_of_point(car, file, at, words) for at, words in _ends(mark))))
    named = _named(mark.text)
    if named is None:
        rusted = _round(car, file, mark, SURFACE).share
        return f"{rusted:.2f} of it is rust" if mark.text not in UNLABELLED and rusted > SPOTS else ""
    told = _round(car, file, mark, named[0])
    return "" if told.worst >= CLOSE and told.share >= named[1] else str(told)


@EVERY_CAR
def test_every_call_out_lies_on_what_it_names(car: str) -> None:
    uses = _uses(car)
    assert len(uses) >= len(CARS[car][1]) // 2
    faults = {(finding.id, file, mark.text): _fault(car, file, mark) for finding, file, mark in uses}
    assert {where: fault for where, fault in faults.items() if fault} == {}


def test_nothing_is_excused_that_no_call_out_says() -> None:
    said = {words for car in CARS for _, _, mark in _uses(car) for _, words in _ends(mark)}
    assert set(UNLABELLED) <= said


@pytest.mark.parametrize(
    "shift", [(1 / 3, 0), (-1 / 3, 0), (0, 1 / 3), (0, -1 / 3)], ids=["right", "left", "down", "up"]
)
@EVERY_CAR
def test_a_call_out_beside_its_place_would_be_found(car: str, shift: Point) -> None:
    """Each that goes round rust, shifted by a third of its own width or height, fails the test above."""
    shifted = {
        (finding.id, file, mark.text): _round(car, file, mark, named[0], shift)
        for finding, file, mark in _uses(car)
        if mark.kind in GOES_ROUND and (named := _named(mark.text))
    }
    assert shifted
    assert {where: told for where, told in shifted.items() if told.worst >= CLOSE} == {}


def _agrees(written_mm: float, true_mm: float) -> bool:
    return abs(written_mm - true_mm) <= max(TAPE_PART * true_mm, TAPE_MM)


def _sizes(car: str, finding: Finding) -> dict[str, tuple[float, float]]:
    """Width and height, mm, of the place each picture of a finding shows; of an earlier repair, of its outline."""
    out = {}
    for use in finding.photos:
        entry = _index(car)[use.file]
        shown = entry["places"].get(marks.place(entry, finding.seen.value))
        if finding.repair is None and shown:
            out[use.file] = (shown["width_mm"], shown["height_mm"])
        elif finding.repair and use.call_outs:
            wide, high = _mask(car, use.file)[0].shape[::-1]
            on = np.array([[x * wide, y * high] for x, y in use.call_outs[0].points])
            width, height = np.ptp(pointing.on_panel(entry["pixel_to_mm"], on), axis=0)
            out[use.file] = (round(float(width), 1), round(float(height), 1))
    return out


@EVERY_CAR
def test_the_sizes_written_down_are_those_of_the_places_shown(car: str) -> None:
    """At least one picture of each finding shows it whole; a near view may show a part."""
    wrong = {}
    for finding in _record(car).findings:
        written, shown = finding.box_size, _sizes(car, finding)
        if written and not any(all(map(_agrees, written, true)) for true in shown.values()):
            wrong[finding.id] = (written, shown)
    assert wrong == {}


@EVERY_CAR
def test_the_lengths_of_lines_are_those_on_the_panel(car: str) -> None:
    wrong = {}
    for finding, file, mark in _uses(car):
        label, main = _mask(car, file)
        if mark.kind is not MarkKind.LINE or mark.length is None or not all(_on(main, end) for end in mark.points):
            continue
        true = pointing.apart_mm(_index(car)[file]["pixel_to_mm"], list(mark.points), label.shape[::-1])
        if not _agrees(mark.length, true):
            wrong[finding.id, file, mark.text] = (mark.length, round(true))
    assert wrong == {}


def _on(main: np.ndarray, at: Point) -> bool:
    return bool(main[int(at[1] * (main.shape[0] - 1)), int(at[0] * (main.shape[1] - 1))])

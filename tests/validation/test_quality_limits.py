"""Limits of a photograph's quality against what is known beforehand: the normal curve, geometry, spoilt photographs.

Figures of the normal curve: any table of the standard normal distribution, four decimals (from memory; they follow
from the error function as well). Photographs: those that the package index carries, spoilt by known amounts (see
tests/bench/degrade.py), the half of them that had no part in choosing the limits (tests/bench/halves.py); without
them those tests are not there, and the session says so after collection. The floors stand a little under what was
measured and are told in docs/photographs.md.
"""

from __future__ import annotations

import math
import sys
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from soundmetal.photos.doubles import Seen, distance, fingerprint, group, seen
from soundmetal.photos.pixels import grey
from soundmetal.photos.quality import Kind
from soundmetal.photos.quality_signals import sharpness
from soundmetal.photos.settings import settings
from soundmetal.photos.uncovered import apart, looks, looks_in_all_turns

sys.path.append(str(Path(__file__).parents[1] / "bench"))

import degrade
import halves
import pinholes

RULES = settings().quality
INDEX: dict[str, Path] = degrade.index_pictures()
BESIDE: dict[str, Path] = degrade.pictures_beside()
#: So many photographs lie beside the checkout where all of them do.
BESIDE_COUNT = 34
ALL_HERE = len(INDEX) == len(degrade.INDEX)

#: P(|Z| < z), standard normal table (from memory).
WITHIN = {0.25: 0.1974, 0.5: 0.3829, 1.0: 0.6827, 1.75: 0.9199, 3.5: 0.9995, 7.0: 1.0000}
#: Black to white over so many grey levels; one level more or less is the rounding of the picture.
CHANGE = 200
#: At least so many of the spoilt photographs are found, and so many of those found are spoilt.
FLOORS = {
    Kind.BLUR: (0.92, 0.95),
    Kind.DARK: (0.80, 0.82),
    Kind.WASHED_OUT: (0.93, 0.84),
    Kind.BACKGROUND: (0.95, 0.98),
}


def edge(course: list[float]) -> np.ndarray:
    """Give a picture of one upright edge whose brightness runs like this, 0 to 1."""
    row = np.round(20 + CHANGE * np.array(course)).astype(np.uint8)
    return np.tile(row, (80, 1))


@pytest.mark.parametrize("deviation", [0.5, 1.0, 2.0])
def test_an_edge_blurred_by_the_normal_curve(deviation: float) -> None:
    """The step in the middle is P(|Z| < 0.5/s) of the change, the seven steps around it P(|Z| < 3.5/s)."""
    course = [0.5 * (1 + math.erf((x - 9.5) / deviation / math.sqrt(2))) for x in range(20)]
    expected = WITHIN[0.5 / deviation] / WITHIN[3.5 / deviation]
    assert sharpness(edge(course), RULES) == pytest.approx(expected, abs=1.5 / CHANGE)


@pytest.mark.parametrize("pixels", [1, 2, 4, 5])
def test_an_edge_smeared_evenly(pixels: int) -> None:
    """A uniform movement over n pixels turns a step into n equal steps (definition)."""
    course = [min(1.0, max(0.0, (x - 8) / pixels)) for x in range(20)]
    assert sharpness(edge(course), RULES) == pytest.approx(1 / pixels, abs=1.5 / CHANGE)


def whole_pixels(diameter_px: float, across: float, down: float) -> int:
    """Count the pixels that lie with all four corners inside a disc that is off the corner of a pixel by this."""
    corners = np.arange(-4, 6)
    inside = np.hypot(*np.meshgrid(corners - across, corners - down)) <= diameter_px / 2 + 1e-9
    return int((inside[:-1, :-1] & inside[1:, :-1] & inside[:-1, 1:] & inside[1:, 1:]).sum())


def test_a_hole_of_three_pixels_is_seen_wherever_it_falls() -> None:
    """From 2 x root 2 = 2.83 pixels on, one pixel lies wholly inside a disc, wherever it falls (geometry)."""
    offsets = [(across / 20, down / 20) for across in range(21) for down in range(21)]
    assert min(whole_pixels(RULES.pinhole_px, *at) for at in offsets) >= 1
    assert min(whole_pixels(2 * math.sqrt(2), *at) for at in offsets) == 1
    assert min(whole_pixels(2.8, *at) for at in offsets) == 0


@cache
def pictures() -> dict[str, Image.Image]:
    """Decode the photographs of the package index once."""
    return degrade.read(INDEX)


@cache
def judged() -> list[Any]:
    """Spoil and judge them once."""
    return degrade.judged(pictures())


@cache
def choosing_half() -> halves.Judged:
    """Judge the half that chooses, of all photographs."""
    choosing, _reporting = halves.halves(INDEX | BESIDE)
    beside = {name: path for name, path in BESIDE.items() if name in choosing}
    return [*halves.of(judged(), choosing), *degrade.judged(degrade.read(beside))]


if ALL_HERE:

    @pytest.mark.parametrize("kind", list(FLOORS))
    def test_recall_and_precision_on_spoilt_photographs(kind: Kind) -> None:
        _choosing, reporting = halves.halves(INDEX)
        others = halves.of(judged(), reporting)
        counted = degrade.score(kind, ((case, degrade.told(kind, quality)) for case, quality in others))
        recall, precision = FLOORS[kind]
        assert counted.bad >= 16
        assert counted.good >= 40
        assert counted.recall >= recall, counted.missed
        assert counted.precision >= precision, counted.false

    def test_photographs_as_taken_have_no_problem() -> None:
        as_taken = [(case.picture, quality.problems) for case, quality in judged() if case.done == "as taken"]
        assert len(as_taken) == len(INDEX)
        assert [name for name, problems in as_taken if problems] == []

    def test_whether_a_pinhole_shows_is_told() -> None:
        """Known beforehand: from 2.83 pixels across one pixel lies wholly inside and is as dark as the hole."""
        _choosing, reporting = halves.halves(INDEX)
        drawn = [hole for name in sorted(reporting) for hole in pinholes.holes(name, pictures()[name])]
        counted = pinholes.counted(drawn, pinholes.NEARLY_ALL)
        assert counted.bad >= 80
        assert counted.recall >= 0.97, counted.missed
        assert counted.precision >= 0.85, counted.false

    def test_doubles_of_a_covered_photograph_are_found_and_no_two_scenes_are_alike() -> None:
        rng = np.random.default_rng(degrade.SEED)
        covered = {name: looks_in_all_turns(grey(degrade.jpeg(one)).levels) for name, one in pictures().items()}
        for name, picture in pictures().items():
            for done, small in (*degrade.alike(picture, rng), *degrade.framed(picture)):
                if "10%" not in done:
                    assert apart(covered[name], looks(small.levels)) <= RULES.doubles.covered_bits, (name, done)
        plain = {name: looks(grey(degrade.jpeg(one)).levels) for name, one in pictures().items()}
        falsely = [(one, other) for one, other in combinations(pictures(), 2)
                   if apart(covered[one], plain[other]) <= RULES.doubles.covered_bits]  # fmt: skip
        assert len(falsely) <= 2

    def test_two_views_of_a_stereo_camera_look_alike_and_no_two_scenes_do() -> None:
        photos = [seen(name, degrade.jpeg(picture)) for name, picture in pictures().items()]
        with Image.open(INDEX["pillow/images/fujifilm.mpo"]) as stereo:
            stereo.seek(1)
            photos.append(seen("right eye", np.asarray(stereo.convert("RGB"))))
        assert [one.names for one in group(photos)] == [("pillow/images/fujifilm.mpo", "right eye")]

    def test_the_same_picture_again_is_found() -> None:
        """Lighter, darker, smaller, less sharp: always. Framed or turned a little otherwise: mostly."""
        rng = np.random.default_rng(degrade.SEED)
        found: dict[str, list[bool]] = {}
        for picture in pictures().values():
            first = fingerprint(grey(degrade.jpeg(picture)).levels)
            for done, small in degrade.alike(picture, rng):
                near = distance(first, fingerprint(small.levels)) <= RULES.doubles.max_bits
                found.setdefault(done, []).append(near)
        surely = {done for done in found if done.startswith(("light", "640", "blur"))}
        assert len(surely) == 6
        assert all(all(found[done]) for done in surely)
        assert np.mean(found["frame shifted up to 2%"]) >= 0.8
        assert np.mean(found["turned 1 degrees"]) >= 0.7


if ALL_HERE and len(BESIDE) == BESIDE_COUNT:

    @pytest.mark.parametrize("kind", list(FLOORS))
    def test_the_limits_are_those_that_the_choosing_half_chooses(kind: Kind) -> None:
        signal = halves.SIGNALS[kind]
        assert signal.limit(RULES) == halves.rounded(halves.best_limit(kind, choosing_half(), signal))


if "photos/heic/bird_burst.heic" in BESIDE:

    def test_a_phone_s_own_burst_is_one_group() -> None:
        photos: list[Seen] = []
        with Image.open(BESIDE["photos/heic/bird_burst.heic"]) as burst:
            for at in range(burst.n_frames):  # type: ignore[attr-defined]
                burst.seek(at)
                photos.append(seen(f"{at}", np.asarray(burst.convert("RGB"))))
        assert [one.names for one in group(photos)] == [("0", "1", "2", "3")]

"""Photographs that look alike."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from soundmetal.photos.doubles import Group, Seen, distance, fingerprint, group, seen
from soundmetal.photos.quality import Kind, Problem, Quality
from soundmetal.photos.settings import settings
from soundmetal.steps import Step

LIMIT = settings().quality.doubles.max_bits


def taken(sharpness: float | None = 0.6, mean: float = 0.45, clipped: float = 0.0, px: int = 1600, faults: int = 0,
          structure: float = 0.3) -> Quality:  # fmt: skip
    problem = Problem(Kind.DARK, 0.1, 0.5, Step("", {}, ""))
    return Quality(sharpness, mean, 0.8, clipped, structure, px, (problem,) * faults)


def bits(*ranges: tuple[int, int]) -> int:
    """A fingerprint with these bits set."""
    return sum(1 << bit for first, last in ranges for bit in range(first, last))


def alike(**qualities: Quality) -> Group:
    (found,) = group(Seen(name, 0, quality) for name, quality in qualities.items())
    return found


def scene(seed: int, blobs: tuple[int, int] = (6, 8)) -> np.ndarray:
    """A made-up scene: soft blobs of light, another for every seed."""
    coarse = np.random.default_rng(seed).integers(0, 255, blobs, dtype=np.uint8)
    return np.asarray(Image.fromarray(coarse).resize((400, 300), Image.Resampling.BICUBIC))


def test_the_fingerprint_survives_size_and_light_but_not_another_scene() -> None:
    first = fingerprint(scene(1))
    assert distance(first, fingerprint(np.ascontiguousarray(scene(1)[::2, ::2]))) <= 2
    assert distance(first, fingerprint((scene(1) * 0.6 + 20).astype(np.uint8))) <= 2
    others = [distance(first, fingerprint(scene(seed))) for seed in range(2, 40)]
    assert min(others) > LIMIT


@given(st.integers(1, 10_000))
def test_a_fingerprint_has_64_bits(seed: int) -> None:
    assert 0 <= fingerprint(scene(seed)) < 2**64


@pytest.mark.parametrize("level", [0, 128, 255])
def test_a_plain_picture_gets_a_fingerprint_but_no_group(level: int) -> None:
    plain = np.full((30, 40), level, dtype=np.uint8)
    assert group([seen("a", plain), seen("b", plain)]) == ()


def test_a_walk_along_a_rocker_is_not_one_group() -> None:
    """Each like the next, the ends unlike: b joins the nearer of its neighbours, and d the one left."""
    walk = {"a": bits(), "b": bits((0, 6)), "c": bits((0, 14)), "d": bits((0, 24))}
    found = group(Seen(name, print_, taken()) for name, print_ in walk.items())
    assert [one.names for one in found] == [("a", "b"), ("c", "d")]


def test_just_within_and_just_beyond_the_limit() -> None:
    near = [Seen("a", 0, taken()), Seen("b", bits((0, LIMIT)), taken())]
    far = [Seen("a", 0, taken()), Seen("b", bits((0, LIMIT + 1)), taken())]
    assert [one.names for one in group(near)] == [("a", "b")]
    assert group(far) == ()


@given(st.lists(st.integers(0, 2**64 - 1) | st.sampled_from([bits((0, n)) for n in range(0, 40, 3)]), max_size=14),
       st.randoms())  # fmt: skip
def test_groups_hold_only_what_looks_alike_whatever_the_order(prints: list[int], random) -> None:
    photos = [Seen(f"{at:02}", print_, taken()) for at, print_ in enumerate(prints)]
    found = group(photos)
    by_name = {photo.name: photo.fingerprint for photo in photos}
    grouped = [name for one in found for name in one.names]
    assert len(grouped) == len(set(grouped))
    for one in found:
        assert one.best in one.names
        assert len(one.names) > 1
        assert all(distance(by_name[a], by_name[b]) <= LIMIT for a, b in itertools.combinations(one.names, 2))
    whole = [*(one.names for one in found), *((name,) for name in by_name if name not in grouped)]
    for one, other in itertools.combinations(whole, 2):  # nothing that belongs together was left apart
        assert any(distance(by_name[a], by_name[b]) > LIMIT for a in one for b in other)
    random.shuffle(photos)
    assert group(photos) == found


@pytest.mark.parametrize(
    ("first", "second", "why"),
    [
        (taken(faults=1, sharpness=0.9), taken(), "fewest faults"),
        (taken(sharpness=0.5), taken(sharpness=0.6), "sharpest"),
        (taken(sharpness=None), taken(sharpness=0.5), "sharpest"),
        (taken(mean=0.2), taken(sharpness=0.59), "best lit"),
        (taken(clipped=0.2), taken(), "best lit"),
        (taken(px=640, sharpness=0.61, mean=0.46), taken(px=4000), "most pixels"),
    ],
)
def test_the_best_of_two(first: Quality, second: Quality, why: str) -> None:
    found = alike(a=first, b=second)
    assert found.best == "b"
    assert why in found.why.text
    assert found.why.values == {"alike_count": 2}


def test_of_equals_the_first_by_name_stands() -> None:
    found = alike(b=taken(), a=taken(), c=taken(sharpness=0.59))
    assert found.best == "a"
    assert "equally good" in found.why.text
    assert found.names == ("a", "b", "c")


def test_light_decides_only_among_the_sharpest() -> None:
    found = alike(a=taken(sharpness=0.4, mean=0.5), b=taken(mean=0.2), c=taken(mean=0.3, sharpness=0.59))
    assert found.best == "c"
    assert "best lit" in found.why.text


def test_nothing_and_one() -> None:
    assert group([]) == ()
    assert group([Seen("a", 0, taken())]) == ()


def test_files_are_read_judged_and_grouped(tmp_path: Path) -> None:
    small = (12, 16)  # small enough to count as something to see
    pictures = {"a.png": scene(1, small), "b.png": scene(2, small), "c.png": scene(1, small)[::2, ::2]}
    for name, levels in pictures.items():
        Image.fromarray(np.ascontiguousarray(levels)).save(tmp_path / name)
    photos = [seen(name, tmp_path / name, long_side_px=4000 if name == "c.png" else None) for name in pictures]
    (found,) = group(photos)
    assert found.names == ("a.png", "c.png")
    assert photos[2].quality.long_side_px == 4000
    assert photos[0].quality.long_side_px == 400

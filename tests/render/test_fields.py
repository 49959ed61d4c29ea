"""Noise, lines and shapes against plain geometry."""

from __future__ import annotations

import numpy as np
import pytest

from render import lines, noise, shapes
from render.skin import Skin


def _rng(seed: int = 3) -> np.random.Generator:
    return np.random.default_rng(seed)


def test_clouds_are_centred_and_come_from_their_seed() -> None:
    one, two = (noise.clouds(_rng(), (120, 160), 30) for _ in range(2))
    np.testing.assert_array_equal(one, two)
    assert one.mean() == pytest.approx(0, abs=1e-4)
    assert one.std() == pytest.approx(1, abs=1e-4)


def test_ramp_falls_when_its_ends_are_swapped() -> None:
    np.testing.assert_allclose(noise.ramp(np.array([0.0, 5, 10]), 10, 0), [1, 0.5, 0])


@pytest.mark.parametrize("sigma", [1.5, 4.0, 12.0])
def test_blur_keeps_the_light_and_the_place(sigma: float) -> None:
    field = np.zeros((200, 300), np.float32)
    field[90:110, 140:160] = 1 / 400
    soft = noise.blur(field, sigma)
    rows, columns = np.indices(field.shape)
    assert soft.sum() == pytest.approx(1, rel=0.05)
    assert (soft * rows).sum() / soft.sum() == pytest.approx(99.5, abs=0.7)
    assert (soft * columns).sum() / soft.sum() == pytest.approx(149.5, abs=0.7)


def test_warping_by_nothing_changes_nothing() -> None:
    field, still = noise.clouds(_rng(), (40, 60), 9), np.zeros((40, 60), np.float32)
    np.testing.assert_allclose(noise.warped(field, still, still)[:-1, :-1], field[:-1, :-1], atol=2e-3)


def test_a_shift_by_whole_pixels_is_exact() -> None:
    field, still = noise.clouds(_rng(), (40, 60), 9), np.zeros((40, 60), np.float32)
    np.testing.assert_allclose(noise.warped(field, still + 3, still)[:, :50], field[:, 3:53], atol=1e-5)


def test_the_nearest_point_of_the_cells_is_not_beyond_the_second() -> None:
    near, second, own = noise.cells(_rng(), (60, 80), 12)
    assert (near <= second).all()
    assert near.max() < 1.6
    assert len(np.unique(own)) > 20


def test_runs_go_down_only() -> None:
    source = np.zeros((80, 60), np.float32)
    source[40, 20:40] = 1
    streak = noise.runs(_rng(), source, 15)
    assert streak[:35].max() == 0
    assert streak[41:44].sum() > streak[70:73].sum() > 0


def test_distance_to_an_oval_and_a_box() -> None:
    s = Skin(100, 80, 2, 1)
    away = lines.oval(s, (50, 40), (40, 20))
    assert away[80, 140] == pytest.approx(1.0, abs=0.03)
    assert away[100, 100] == pytest.approx(1.0, abs=0.06)
    edge = lines.box(s, (50, 40), (40, 20), 0)
    assert edge[80, 100] == pytest.approx(-10, abs=0.5)
    assert edge[80, 160] == pytest.approx(10, abs=0.5)


def test_length_along_a_bent_path() -> None:
    s = Skin(100, 80, 2, 1)
    path = [(10.0, 10.0), (40.0, 10.0), (40.0, 60.0)]
    assert lines.along(s, path)[10, 50] == pytest.approx(15, abs=0.6)
    assert lines.along(s, path)[60, 90] == pytest.approx(50, abs=0.6)
    assert lines.away(s, path)[60, 120] == pytest.approx(20, abs=0.6)


def test_a_profile_keeps_lengths() -> None:
    """A mm on the skin is a mm in space, along and across: the truth's scale depends on it."""
    outline = shapes.bend([(60, 50), (0, 50), (0, -50), (60, -50)], 12)
    v = np.linspace(0, shapes.length(outline), 400)
    at = shapes.profile(outline, -30)(np.full_like(v, 7.0), v)
    steps = np.linalg.norm(np.diff(at, axis=0), axis=-1)
    np.testing.assert_allclose(steps, v[1] - v[0], rtol=0.02)
    assert at[:, 0] == pytest.approx(-23)


def test_a_bend_is_shorter_than_its_corner_and_ends_where_it_did() -> None:
    sharp = [(0.0, 0.0), (100.0, 0.0), (100.0, -100.0)]
    soft = shapes.bend(sharp, 20)
    assert shapes.length(soft) < shapes.length(sharp) == 200
    assert (soft[0], soft[-1]) == (sharp[0], sharp[-1])


def test_a_tube_lies_at_its_radius() -> None:
    v = np.linspace(0, 2 * np.pi * 25, 50)
    at = shapes.tube((0, 0, 0), (100, 0, 0), 25)(np.full_like(v, 40.0), v)
    np.testing.assert_allclose(np.hypot(at[:, 1], at[:, 2]), 25)
    np.testing.assert_allclose(at[:, 0], 40)


def test_turning_a_shape_a_quarter() -> None:
    turned = shapes.moved(shapes.flat((0, 0, 0)), (5, 0, 0), (0, 0, 90))
    np.testing.assert_allclose(turned(np.array([10.0]), np.array([4.0])), [[5, 10, -4]], atol=1e-9)

"""The telephone's lens and hand; light and truth must stay on one another."""

from __future__ import annotations

import numpy as np
import pytest

from render import phone

SIZE = (150, 200)
RENDERED = (158, 210)


def _dot(row: int, column: int) -> np.ndarray:
    light = np.full((*RENDERED, 3), 0.02, np.float32)
    light[row - 2 : row + 3, column - 2 : column + 3] = 1.0
    return light


@pytest.mark.parametrize("at", [(79, 105), (30, 40), (130, 180)])
def test_light_and_truth_are_bent_alike(at: tuple[int, int]) -> None:
    light = phone.through_lens(_dot(*at), SIZE, 0.035)[..., 0]
    truth = phone.labels_through_lens((_dot(*at) > 0.5).astype(np.float32), SIZE, 0.035)[..., 0]
    places = [np.argwhere(k > 0.5).mean(0) for k in (light, truth)]
    np.testing.assert_allclose(places[0], places[1], atol=0.6)


def test_the_middle_stays_and_keeps_its_scale() -> None:
    y, x = phone.lens_map(RENDERED, SIZE, 0.035)
    middle = (slice(70, 80), slice(95, 105))
    np.testing.assert_allclose(np.diff(x[middle], axis=1), 1, atol=2e-3)
    np.testing.assert_allclose(np.diff(y[middle], axis=0), 1, atol=2e-3)


def test_the_overscan_is_enough_for_the_corners() -> None:
    y, x = phone.lens_map(RENDERED, SIZE, 0.035)
    assert y.min() >= 0
    assert x.min() >= 0
    assert y.max() <= RENDERED[0] - 1
    assert x.max() <= RENDERED[1] - 1


def test_labels_are_never_mixed() -> None:
    labels = np.random.default_rng(2).integers(0, 5, (*RENDERED, 3)).astype(np.float32)
    assert set(np.unique(phone.labels_through_lens(labels, SIZE, 0.035))) <= {0, 1, 2, 3, 4}


def _specks() -> np.ndarray:
    rng = np.random.default_rng(5)
    return (0.2 * rng.random((*RENDERED, 1)).repeat(3, -1)).astype(np.float32)


def test_the_same_take_gives_the_same_bytes() -> None:
    one, two = (phone.develop(_specks(), SIZE, phone.Take(seed=8)) for _ in range(2))
    assert one.dtype == np.uint8
    assert one.shape == (*SIZE, 3)
    np.testing.assert_array_equal(one, two)


def test_fewer_stops_are_darker_and_a_restless_hand_blurs() -> None:
    def taken(**how: float) -> np.ndarray:
        return phone.develop(_specks(), SIZE, phone.Take(noise=0, **how)).astype(float).mean(-1)  # type: ignore[arg-type]

    assert taken(stops=-3).mean() < 0.5 * taken().mean()
    assert np.abs(np.diff(taken(shake=60), axis=0)).mean() < 0.6 * np.abs(np.diff(taken(), axis=0)).mean()


def test_exposure_does_not_depend_on_the_lamps_strength() -> None:
    dim, bright = (phone.develop(_specks() * k, SIZE, phone.Take(noise=0)).mean() for k in (0.2, 5))
    assert dim == pytest.approx(bright, abs=4)

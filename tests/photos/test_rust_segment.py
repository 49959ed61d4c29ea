"""The parts of the rust share: colours, means, the weighed sum, and the settings."""

from __future__ import annotations

import copy

import numpy as np
import pytest

from soundmetal.errors import SettingsError
from soundmetal.photos.rust import segment
from soundmetal.photos.rust import settings as module


@pytest.mark.parametrize(
    ("rgb", "lab"),
    [
        ((255, 255, 255), (100.0, 0.0, 0.0)),
        ((255, 0, 0), (53.24, 80.09, 67.20)),
        ((0, 255, 0), (87.73, -86.18, 83.18)),
        ((0, 0, 255), (32.30, 79.19, -107.86)),
        ((0, 0, 0), (0.0, 0.0, 0.0)),
    ],
)
def test_lab_of_the_primaries(rgb: tuple[int, int, int], lab: tuple[float, float, float]) -> None:
    """Values of sRGB primaries in CIE Lab under D65, as colour handbooks print them (from memory); rounding 0.01."""
    said = segment.to_lab(np.array([[rgb]], np.uint8))[0, 0]
    assert said == pytest.approx(lab, abs=0.03)  # the matrix of the standard has four decimals


@pytest.mark.parametrize("radius", [1, 4])
def test_the_box_mean_is_the_mean_of_the_box(radius: int) -> None:
    field = np.random.default_rng(2).random((30, 40)).astype(np.float32)
    said = segment.box_mean(field, radius)
    assert said.shape == field.shape
    own = field[10 - radius : 11 + radius, 20 - radius : 21 + radius].mean()
    assert said[10, 20] == pytest.approx(own, rel=1e-5)


def test_the_score_is_the_weighed_sum() -> None:
    told = np.random.default_rng(4).normal(size=(3, 2, module.FEATURES)).astype(np.float32)
    weights = module.settings().weights
    first, point = weights.constant, told[1, 1]
    single = sum(weight * point[at] for at, weight in enumerate(weights.single))
    pairs = sum(
        weight * point[row] * point[row + step]
        for row, line in enumerate(weights.pairs)
        for step, weight in enumerate(line)
    )
    assert segment.score(told)[1, 1] == pytest.approx(first + single + pairs, rel=1e-4)


@pytest.mark.parametrize(
    ("part", "name", "value", "key"),
    [
        ("work", "near_px", 0, r"work\.near_px"),
        ("weights", "single", [1.0], r"weights\.single"),
        ("weights", "pairs", [[0.0]] * 9, "weights"),
        ("range", "half_width_rad", 2, r"range\.half_width_rad"),
        ("notes", "shout", "x", r"notes\.shout"),
    ],
)
def test_a_wrong_setting_is_named(
    monkeypatch: pytest.MonkeyPatch, part: str, name: str, value: object, key: str
) -> None:
    changed = copy.deepcopy(module.read_yaml(module.FILE))
    changed[part][name] = value
    monkeypatch.setattr(module, "read_yaml", lambda _name: changed)
    module.settings.cache_clear()
    try:
        with pytest.raises(SettingsError, match=rf"rust\.yaml, {key}"):
            module.settings()
    finally:
        module.settings.cache_clear()

"""Three ways of telling rust from the rest, each learnt from labelled pictures, for `bench_rust.py`.

`Rule` is a fixed box in hue, saturation and value; `Colours` a likelihood ratio of CIE Lab colours; `Logistic` weighs
colour and grain and is the one that the program uses. Each is learnt from cases, then judges a case it never saw.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from pathlib import Path
from typing import Any, Final, Protocol

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))

from soundmetal.photos.rust import segment
from soundmetal.photos.rust.settings import settings

SAMPLE, SEED = 1000, 1
#: The same picture darker, brighter, warmer and cooler (gains on linear red, green, blue), so that weights do not
#: hang on one camera's white.
LIGHTS: Final = ((1.0, 1.0, 1.0), (0.65, 0.65, 0.65), (1.4, 1.4, 1.4), (1.15, 1.0, 0.87), (0.87, 1.0, 1.15))
#: What a point outside the outline weighs beside one inside.
OUTSIDE_WEIGHT = 1 / 3
PENALTY, STEPS = 0.1, 8
#: How much of its own size an outline leaves round the labelled rust on each side.
MARGIN = 0.2


@dataclass(frozen=True)
class Case:
    """One picture at working size with its label; pictures of one scene share a `group`, to be left out together."""

    name: str
    group: str
    kind: str
    pixels: Any
    truth: Any

    @cached_property
    def counts(self) -> Any:
        """Points that are not black."""
        return self.pixels.max(axis=2) >= settings().work.black_below

    @cached_property
    def outlined(self) -> Any:
        """A box round the labelled rust, a little larger, as a hurried person would draw it; else everything."""
        if not self.truth.any():
            return np.ones_like(self.truth)
        box = np.zeros_like(self.truth)
        rows, columns = (np.flatnonzero(self.truth.any(axis=axis)) for axis in (1, 0))
        box[_wider(rows, box.shape[0]), _wider(columns, box.shape[1])] = True
        return box

    @cached_property
    def lab(self) -> Any:
        """CIE Lab."""
        return segment.to_lab(self.pixels)

    @cached_property
    def hsv(self) -> Any:
        """Hue in degrees, saturation and value from 0 to 1."""
        return np.asarray(Image.fromarray(self.pixels).convert("HSV")) / np.array([255 / 360, 255, 255])

    @cached_property
    def sampled(self) -> Any:
        """Some of the points that count, the same every time."""
        places = np.flatnonzero(self.counts)
        chance = np.random.default_rng(SEED)
        return np.sort(chance.choice(places, min(SAMPLE, places.size), replace=False))

    @cached_property
    def told(self) -> Any:
        """Features of the sampled points, once in each light: lights x points x features."""
        return np.stack([self._told_in(light) for light in LIGHTS])

    def _told_in(self, light: tuple[float, ...]) -> Any:
        every = segment.features(segment.to_lab(_lit(self.pixels, light)), self.counts, settings().work)
        return every.reshape(-1, every.shape[-1])[self.sampled]

    @cached_property
    def score_input(self) -> Any:
        """Features of every point."""
        return segment.features(self.lab, self.counts, settings().work)

    def weights(self, without_rust: float) -> Any:
        """What each sampled point weighs; all of a picture together weigh 1, or as said where there is no rust."""
        each = np.where(self.outlined.ravel()[self.sampled], 1.0, OUTSIDE_WEIGHT)
        return each / each.sum() * (1.0 if self.truth.any() else without_rust)

    def labels(self) -> Any:
        """Which of the sampled points are rust."""
        return self.truth.ravel()[self.sampled]

    def share_error(self, rusted: Any) -> float:
        """Error of the share among the sampled points, in the picture and in the outline together."""
        truth, box = self.labels(), self.outlined.ravel()[self.sampled]
        return float(abs(rusted.mean() - truth.mean()) + abs(rusted[box].mean() - truth[box].mean()))


def _wider(places: Any, end: int) -> slice:
    more = round(MARGIN * (places[-1] - places[0] + 1))
    return slice(max(0, places[0] - more), min(end, places[-1] + more + 1))


def _lit(pixels: Any, light: tuple[float, ...]) -> Any:
    if light == LIGHTS[0]:
        return pixels
    curve = np.where((v := np.arange(256) / 255) <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    linear = np.minimum(curve[pixels] * np.array(light), 1)
    return np.rint(np.interp(linear, curve, np.arange(256))).astype(np.uint8)


class Method(Protocol):
    """One way: learnt from cases, it then tells the rusted points of another."""

    title: str

    def learn(self, cases: list[Case]) -> None:
        """Learn from labelled cases."""

    def rusted(self, case: Case) -> Any:
        """Tell the rusted points of a case."""


class Rule:
    """A box in hue, saturation and value; its three limits are those with the least share error."""

    title = "hue, saturation, value"
    limits: tuple[float, float, float]

    def learn(self, cases: list[Case]) -> None:
        """Try all limits on a grid."""
        grid = list(product((25, 30, 35, 40), (0.25, 0.3, 0.35, 0.4, 0.5, 0.6), (0.6, 0.7, 0.8, 0.9, 1.0)))
        points = [(case, case.hsv.reshape(-1, 3)[case.sampled]) for case in cases if case.truth.any()]
        self.limits = min(grid, key=lambda limits: sum(c.share_error(self._in(p, limits)) for c, p in points))

    @staticmethod
    def _in(hsv: Any, limits: tuple[float, float, float]) -> Any:
        hue, saturation, value = hsv[..., 0], hsv[..., 1], hsv[..., 2]
        return ((hue <= limits[0]) | (hue >= 345)) & (saturation >= limits[1]) & (value <= limits[2])

    def rusted(self, case: Case) -> Any:
        """Everything inside the box."""
        return self._in(case.hsv, self.limits) & case.counts


def _least(cases: list[Case], scores: list[Any], grid: Any) -> float:
    """Give the threshold with the least share error on cases with rust."""
    both = [(case, scored) for case, scored in zip(cases, scores, strict=True) if case.truth.any()]
    return float(min(grid, key=lambda limit: sum(case.share_error(scored > limit) for case, scored in both)))


class Colours:
    """How much likelier a CIE Lab colour is in rust than elsewhere, counted in coarse bins and blurred."""

    title = "Lab colour likelihood"
    bins = (16, 24, 24)
    without_rust = 0.5

    def learn(self, cases: list[Case]) -> None:
        """Count colours, then choose the threshold."""
        counts = np.zeros((2, *self.bins))
        for case in cases:
            places = np.ravel_multi_index(self._bin(case.lab.reshape(-1, 3)[case.sampled]), self.bins)
            for rust in (0, 1):
                weights = case.weights(self.without_rust) * (case.labels() == rust)
                counts[rust] += np.bincount(places, weights, int(np.prod(self.bins))).reshape(self.bins)
        for _, axis in product(range(3), (1, 2, 3)):
            counts = 0.5 * counts + 0.25 * (np.roll(counts, 1, axis) + np.roll(counts, -1, axis))
        other, rust = counts / counts.sum(axis=(1, 2, 3), keepdims=True) + 1e-5
        self.ratio = np.log(rust / other)
        scores = [self.ratio[self._bin(case.lab.reshape(-1, 3)[case.sampled])] for case in cases]
        self.limit = _least(cases, scores, np.arange(-2, 4, 0.1))

    def _bin(self, lab: Any) -> tuple[Any, ...]:
        steps = ((lab - np.array([0, -40, -40])) / np.array([100, 120, 120]) * self.bins).astype(int)
        return tuple(np.clip(steps[..., axis], 0, size - 1) for axis, size in enumerate(self.bins))

    def rusted(self, case: Case) -> Any:
        """Everything whose colour is likelier by more than the threshold."""
        return (self.ratio[self._bin(case.lab)] > self.limit) & case.counts


def quadratic(told: Any) -> Any:
    """Give a constant, every feature and every product of two, the order in which the settings keep the weights."""
    first, second = np.triu_indices(told.shape[-1])
    return np.concatenate([np.ones((*told.shape[:-1], 1)), told, told[..., first] * told[..., second]], axis=-1)


class Logistic:
    """Colour and grain, weighed: penalised logistic regression on features and their products (Newton's steps)."""

    title = "colour and grain, logistic"
    without_rust = 2.0

    def learn(self, cases: list[Case]) -> None:
        """Fit the weights, then choose the threshold."""
        columns = [quadratic(case.told).reshape(-1, 55) for case in cases]
        labels = [np.tile(case.labels(), len(LIGHTS)) for case in cases]
        weights = [np.tile(case.weights(self.without_rust), len(LIGHTS)) / len(LIGHTS) for case in cases]
        self.beta = fit(np.concatenate(columns), np.concatenate(labels), np.concatenate(weights))
        scores = [quadratic(case.told[0]) @ self.beta for case in cases]
        self.limit = _least(cases, scores, np.arange(-5, 2.5, 0.1))

    def rusted(self, case: Case) -> Any:
        """Everything that scores above the threshold, unless its colour is dearer than rust can be."""
        chroma = np.hypot(case.lab[..., 1], case.lab[..., 2])
        above = quadratic(case.score_input) @ self.beta > self.limit
        return above & (chroma <= settings().weights.max_chroma) & case.counts


def fit(columns: Any, labels: Any, weights: Any) -> Any:
    """Give the weights of a logistic regression with a ridge penalty; the constant goes free."""
    beta = np.zeros(columns.shape[1])
    ridge = np.diag([1e-6, *[PENALTY] * (columns.shape[1] - 1)])
    for _ in range(STEPS):
        chance = 1 / (1 + np.exp(-np.clip(columns @ beta, -30, 30)))
        slope = columns.T @ (weights * (chance - labels)) + ridge @ beta
        bend = (columns * (weights * np.maximum(chance * (1 - chance), 1e-4))[:, None]).T @ columns + ridge
        beta -= np.linalg.solve(bend, slope)
    return beta

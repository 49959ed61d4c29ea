"""The one rust of all pictures: surface rust, scale, pits and holes from one field, and the labels too."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .lines import oval
from .noise import Field, ramp, runs, stretched
from .skin import HOLE, SCALE, SURFACE, Skin
from .tone import Colour, ladder, linear

#: Rust from old and dense to fresh and loose. Judged by eye from memory of rusted cars: common practice, no source.
TONES: list[tuple[float, Colour]] = [
    (0.00, (36, 26, 23)),
    (0.22, (62, 40, 31)),
    (0.42, (92, 54, 36)),
    (0.60, (124, 72, 42)),
    (0.78, (148, 92, 58)),
    (1.00, (168, 122, 88)),
]
PLATES: list[tuple[float, Colour]] = [
    (0.0, (40, 31, 29)),
    (0.3, (66, 48, 42)),
    (0.5, (88, 60, 48)),
    (0.75, (106, 70, 50)),
    (1.0, (124, 88, 66)),
]


@dataclass(frozen=True)
class Rust:
    """How it looks: where the field passes to rust, to scale, to nothing; streaks, blisters, pits."""

    surface: float = 0.5
    scale: float = 0.72
    hole: float | None = 0.92
    ragged: float = 1.0  # how uneven the outline is
    spots: float = 0.35  # small spots of rust in the paint near by
    runs: float = 0.4  # streaks down the paint
    blisters: float = 0.8
    pits: float = 0.5
    thick: float = 1.0  # height of the scale
    grain: float = 1.0  # size of the pattern
    dry: float = 0.3  # how much pale dust of rust lies on it


def through(
    s: Skin, worst: Field, r: Rust, at: tuple[float, float], size: tuple[float, float], turn: float = 0.0
) -> Field:
    """Make a place the worst: eaten through over about an oval of a size (mm), with scale round it."""
    assert r.hole is not None
    away = oval(s, at, size, turn)
    return np.maximum(
        worst, r.scale + 0.02 + (r.hole + 0.14 - r.scale) * ramp(away, 1.3, 0.7) - 0.5 * ramp(away, 1.3, 2.2)
    )


def field_of(s: Skin, worst: Field, r: Rust) -> Field:
    """The one field: `worst` (0 to 1) with its outline broken up at every size."""
    g, k = r.grain, r.ragged
    f = worst + k * (0.085 * s.clouds("rust1", 75 * g, 4, 0.5) + 0.075 * s.clouds("rust2", 22 * g, 5, 0.6))
    f = f + k * 0.035 * s.clouds("rust3", 4.5 * g, 4, 0.6) * ramp(worst, 0.0, 0.3)
    if r.spots:
        near, _, own = s.cells("spots", 13 * g)
        size = 0.10 + 0.35 * own**4
        dot = (
            ramp(near + 0.05 * s.clouds("spots2", 2.0, 3), size, size * 0.35)
            * ramp(own, 0.6, 0.75)
            * ramp(s.clouds("spots3", 120, 3), -1.2, 0.9)
        )
        f = np.maximum(f, dot * (0.28 + r.spots * 0.6 * ramp(f, -0.1, 0.45) + 0.12 * own))
    return f.astype(np.float32)


def _tones(s: Skin, f: Field, r: Rust) -> np.ndarray:
    deep = ramp(f, r.surface, r.scale + 0.12)
    t = (
        0.50
        - 0.16 * deep
        + 0.16 * s.clouds("tone1", 48 * r.grain, 4)
        + 0.13 * s.clouds("tone2", 9 * r.grain, 5, 0.65)
    )
    t = t + 0.09 * s.clouds("tone3", 1.0, 3) + 0.16 * ramp(f, r.surface + 0.07, r.surface)
    colour = ladder(t, TONES)
    dust = r.dry * ramp(s.clouds("tone4", 16 * r.grain, 5, 0.65), 0.4, 1.8)
    return colour + dust[..., None] * (linear((168, 132, 100)) - colour)


def _plates(s: Skin, f: Field, r: Rust) -> tuple[np.ndarray, Field]:
    """Scale lies in leaves: terraces with sharp broken edges, each with its own tone. Colour and height (mm)."""
    n = 0.75 * s.clouds("leaf1", 30 * r.grain, 5, 0.58) + 0.3 * s.clouds("leaf2", 6 * r.grain, 4, 0.6)
    n = n + 2.2 * ramp(f, r.scale, r.scale + 0.3)
    part = (n * 1.05 + 0.07 * s.clouds("leaf5", 1.8, 4, 0.7)) % 1
    steps = np.rint(n * 1.05 - part)
    broken = ramp(s.clouds("leaf6", 11 * r.grain, 4), -0.5, 0.9)  # elsewhere a leaf has worn into the next
    height = (steps + ramp(part, 0.78 - 0.6 * (1 - broken), 1.0)) * 0.6 * r.thick
    lift = 0.18 * r.thick * broken * ramp(part, 0.5, 0.0)  # leaves curl up at their broken edge
    t = 0.40 + 0.09 * np.sin(steps * 2.3 + 0.7) + 0.13 * s.clouds("leaf3", 17 * r.grain, 6, 0.7)
    t = t + broken * (0.10 * ramp(part, 0.12, 0.0) - 0.14 * ramp(part, 0.86, 1.0)) + 0.09 * s.clouds("leaf4", 0.9, 3)
    dust = r.dry * 0.7 * ramp(s.clouds("leaf7", 22 * r.grain, 6, 0.7), 0.3, 1.8)[..., None]
    colour = ladder(t, PLATES)
    return colour + dust * (linear((142, 104, 78)) - colour), (height + lift).astype(np.float32)


def _pitted(s: Skin, r: Rust) -> Field:
    """Depth of pits, mm, before it is known where they lie."""
    depth = np.zeros(s.shape, np.float32)
    for name, mm, deep in (("pit1", 7.0, 0.75), ("pit2", 3.2, 0.45)):
        near, _, own = s.cells(name, mm * r.grain)
        depth = np.maximum(
            depth, deep * own * ramp(near + 0.06 * s.clouds(name + "e", 1.5, 2), 0.42 * own + 0.12, 0.0)
        )
    return r.pits * depth


def _stain(s: Skin, f: Field, rusty: Field, r: Rust) -> None:
    """Tint the paint round the rust, let it run down, raise blisters under the paint."""
    halo = ramp(f, r.surface - 0.17, r.surface) * np.clip(0.55 + 0.3 * s.clouds("halo", 10, 4), 0, 1)
    s.lay(0.75 * halo, (132, 88, 54), 0.7)
    if r.runs:
        source = rusty * ramp(s.clouds("runs", (7, 30), 3), 0.6, 1.8)
        streak = runs(s.chance("runs2"), source, 70 * s.fine) * np.clip(
            0.6 + 0.3 * s.clouds("runs3", (3, 60), 4), 0, 1
        )
        s.lay(np.clip(r.runs * streak, 0, 0.8), (134, 84, 46), 0.7)
    near, _, own = s.cells("blister", 5.5 * r.grain)
    dome = np.sqrt(np.clip(1 - (near / (0.25 + 0.5 * own)) ** 2, 0, 1))
    s.height += r.blisters * dome * own * 0.9 * ramp(f, r.surface - 0.20, r.surface - 0.05)


def _chipped(s: Skin, f: Field, r: Rust, primer: Colour) -> None:
    """The paint's broken edge: a thin rim of primer, and the lifted lip."""
    rim = ramp(f, r.surface - 0.022, r.surface - 0.012) * ramp(s.clouds("rim", 12, 4), -0.6, 0.8)
    s.lay(0.85 * rim, primer, 0.75)
    s.height += 0.45 * ramp(f, r.surface - 0.10, r.surface - 0.01)


def eat(s: Skin, worst: Field, r: Rust, primer: Colour = (96, 54, 44), keep: Field | None = None) -> Field:
    """Rust the skin; `worst` is 0 to 1 on its grid, `keep` (0 to 1) saves places. Gives the field."""
    f = field_of(s, worst, r)
    f = f if keep is None else f * (1 - keep)
    rusty, scaly = ramp(f, r.surface - 0.006, r.surface + 0.006), ramp(f, r.scale - 0.012, r.scale + 0.012)
    _stain(s, f, rusty, r)
    _chipped(s, f, r, primer)
    leaves, rise = _plates(s, f, r)
    pits = _pitted(s, r)
    s.lay(rusty, _tones(s, f, r), 0.92)
    s.lay(scaly, leaves, 0.85)
    s.colour *= (1 - 0.6 * rusty * ramp(pits, 0.05, 0.5))[..., None]
    bed = (
        0.08 * s.clouds("bed3", 0.8, 2)
        + 0.16 * s.clouds("bed1", 3.0, 4, 0.7)
        + 0.22 * s.clouds("bed2", 11 * r.grain, 4)
        - pits
    )
    thick = ramp(f, r.scale - 0.04, r.scale + 0.06)
    s.height += rusty * (bed - s.height * 0.9) + thick * (rise - 0.9 * r.thick)
    grit = 0.16 * s.clouds("grit", 0.5, 1) + 0.10 * s.clouds("grit2", 2.2, 3, 0.7)
    s.colour *= (1 + rusty * grit)[..., None].clip(0.4, 1.8)
    s.label[f >= r.surface] = SURFACE
    s.label[f >= r.scale] = SCALE
    if r.hole is not None:
        _perforate(s, f, r)
    return f


def _perforate(s: Skin, f: Field, r: Rust) -> None:
    """Open what is eaten through; the steel round it is thin, bent and dark at the rim."""
    assert r.hole is not None
    gone = f >= r.hole
    loose = adrift(~gone, s.fine)
    s.eaten = np.maximum(s.eaten, np.where(loose, 0.05, (f - r.hole) * 10))
    rim = ramp(f, r.hole - 0.06, r.hole)
    s.height -= 1.6 * ramp(f, r.hole - 0.16, r.hole) * (1 + 0.6 * s.clouds("curl", 18, 2))
    s.colour *= (1 - 0.45 * rim)[..., None]
    s.label[gone | loose] = HOLE


def adrift(steel: Field, fine: float) -> Field:
    """Islands of steel in a hole, which would have fallen out: what nothing joins to the panel round about."""
    out = np.zeros_like(steel)
    rows, columns = np.nonzero(~steel)
    if not len(rows):
        return out
    pad, step = int(20 * fine), max(round(1.5 * fine), 1)
    part = tuple(slice(max(int(k.min()) - pad, 0), int(k.max()) + pad) for k in (rows, columns))
    near = steel[part]
    coarse = near[::step, ::step]
    joined = np.zeros_like(coarse)
    (top, low), (left, right) = ((k.start > 0, k.stop < n) for k, n in zip(part, steel.shape, strict=True))
    sides = ((top, np.s_[0]), (low, np.s_[-1]), (left, np.s_[:, 0]), (right, np.s_[:, -1]))
    for _, side in [side for side in sides if side[0]] or sides:  # the panel's own rim holds nothing
        joined[side] = coarse[side]
    while True:
        wide = np.pad(joined, 1)
        grown = coarse & (wide[:-2, 1:-1] | wide[2:, 1:-1] | wide[1:-1, :-2] | wide[1:-1, 2:] | joined)
        if grown.sum() == joined.sum():
            break
        joined = grown
    out[part] = near & (stretched(joined.astype(np.float32), near.shape) < 0.25)
    return out

"""What lies on the steel: dust, mud, oil, water marks, scratches, chalk."""

from __future__ import annotations

import numpy as np

from .lines import Path, along, away
from .noise import Field, ramp, runs
from .skin import Skin
from .tone import Colour, linear

DUST: Colour = (150, 136, 114)
#: How much dust lies on each car: one has stood in a barn, the other is driven.
DUSTY = {"pickup": 1.0, "coupe": 0.4}
MUD: Colour = (86, 70, 54)


def dust(s: Skin, amount: float | Field, colour: Colour = DUST) -> None:
    """A film of dust, thicker where the field is; speckled, wiped in places, held by what is rough or low."""
    film = 0.75 + 0.12 * s.clouds("dust1", 150, 6, 0.6) + 0.20 * s.clouds("dust2", 14, 6, 0.65)
    film = film + 0.10 * s.clouds("dust3", 1.3, 2) - 0.25 * (s.height - s.blur(s.height, 5)).clip(-1, 1)
    s.lay(np.clip(DUSTY[s.car] * amount * film, 0, 0.92), colour, 0.9)


def mud(s: Skin, amount: Field, colour: Colour = MUD) -> None:
    """Dried splashes: dots of every size, denser where the field (0 to 1) is high, and a crust where it is full."""
    cover = np.zeros(s.shape, np.float32)
    for name, mm in (("mud1", 26.0), ("mud2", 11.0), ("mud3", 5.0), ("mud4", 2.6)):
        near, _, own = s.cells(name, mm)
        size = 0.34 * ramp(amount - own, 0.0, 0.5) * (0.4 + own)
        cover = np.maximum(
            cover, ramp(near + 0.09 * s.clouds(name + "e", mm / 5, 3), size + 0.02, size * 0.7 - 0.02) * (size > 0.02)
        )
    crust = ramp(amount + 0.16 * s.clouds("mud5", 40, 5, 0.6), 0.86, 1.0)
    cover = np.clip(np.maximum(0.8 * cover, crust), 0, 1)
    tone = linear(colour) * (1 + 0.2 * s.clouds("mud6", 30, 4) + 0.08 * s.clouds("mud7", 1.5, 2))[..., None].clip(
        0.3, 2
    )
    s.lay(0.9 * cover, tone, 0.95)
    s.height += crust * (0.8 + 0.3 * s.clouds("mud8", 4, 4)) + 0.12 * cover


def water(s: Skin, where: float | Field, colour: Colour = (104, 96, 80)) -> None:
    """Rings and runs that dirty water left on paint."""
    n = s.clouds("water1", (26, 60), 4)
    ring = ramp(np.abs(n - 0.5), 0.10, 0.0) * 0.35 + ramp(n, 0.5, 1.2) * 0.14
    source = (s.chance("water2").random(s.shape) > 0.9992).astype(np.float32)
    streak = runs(s.chance("water3"), source, 60 * s.fine) * 0.35
    s.lay(np.clip(where * (ring + streak), 0, 0.7), colour, 0.75)


def scratches(s: Skin, count: int, colour: Colour = (168, 172, 158), longest: float = 90) -> None:
    """Hair scratches across the paint."""
    rng = s.chance("scratch")
    for _ in range(count):
        x, y = rng.uniform(0, s.width_mm), rng.uniform(0, s.height_mm)
        long, turn = rng.uniform(8, longest), rng.normal(0, 0.5)
        bend = rng.normal(0, 0.08)
        path = [
            (x + long * t * np.cos(turn + bend * t), y + long * t * np.sin(turn + bend * t)) for t in (0, 0.3, 0.7, 1)
        ]
        near = _window(s, path, 2)
        part = Skin.__new__(Skin)
        part.u, part.v = s.u[near], s.v[near]
        cover = ramp(away(part, path), 0.45, 0.05) * rng.uniform(0.15, 0.6)
        s.colour[near] += cover[..., None] * (linear(colour) - s.colour[near])


def _window(s: Skin, path: Path, margin: float) -> tuple[slice, slice]:
    x, y = np.array(path).T
    across, down = (np.array([k.min() - margin, k.max() + margin]) * s.fine for k in (x, y))
    clip = [np.clip(np.round(k), 0, n).astype(int) for k, n in ((down, s.shape[0]), (across, s.shape[1]))]
    return slice(clip[0][0], clip[0][1] + 1), slice(clip[1][0], clip[1][1] + 1)


def oil(s: Skin, where: Field) -> None:
    """Old oil with dirt in it: dark, half wet."""
    cover = ramp(where + 0.25 * s.clouds("oil", 45, 5, 0.6), 0.5, 0.75)
    s.lay(0.8 * cover, (30, 26, 22), 0.45, 0.25)
    s.height += 0.3 * cover * (1 + 0.5 * s.clouds("oil2", 8, 4))


def chalk(s: Skin, path: Path, colour: Colour = (198, 196, 184), wide: float = 6.5) -> None:
    """A hand's chalk line along a path: it skips the low places and dusts off at the sides."""
    wobble = 1.2 * s.clouds("chalk", 50, 2)
    d = np.abs(away(s, path) + wobble)
    bite = 0.8 * s.clouds("chalk2", 0.8, 3) + 0.9 * (s.height - s.blur(s.height, 3)).clip(-1, 1)
    bite = bite + 0.45 * s.clouds("chalk3", 14, 3)
    cover = ramp(d, wide * 0.66, wide * 0.3) * ramp(bite, -1.0, 1.1) * 0.85
    s.lay(np.maximum(cover, 0.08 * ramp(d, wide * 1.3, wide * 0.3)), colour, 1.0)


def ring(at: tuple[float, float], size: tuple[float, float], turn: float = 0.0, gap: float = 0.35) -> Path:
    """A chalk ring drawn by a hand in a hurry: not closed, its end past its start."""
    a = np.linspace(0.4, 2 * np.pi + 0.4 - gap, 40)
    grow = 1 + 0.05 * np.sin(1.5 * a + 1) + 0.012 * a
    c, t = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    x, y = size[0] / 2 * np.cos(a) * grow, size[1] / 2 * np.sin(a) * grow
    return [(float(at[0] + p * c - q * t), float(at[1] + p * t + q * c)) for p, q in zip(x, y, strict=True)]


def bead(s: Skin, path: Path, wide: float = 6.0, dressed: float = 0.0, tone: Colour = (92, 86, 80)) -> None:
    """A weld along a path: ripples in bows, a blued margin; `dressed` 1 is ground flush."""
    d, walked = away(s, path), along(s, path)
    edge = wide / 2 * (1 + 0.12 * s.clouds("bead", 9, 3))
    body = np.sqrt(np.clip(1 - (d / edge) ** 2, 0, 1))
    cover = ramp(d / edge, 1.05, 0.92)
    s.lay(0.5 * ramp(d, wide * 1.8, wide * 0.5), (58, 52, 54), 0.6)
    s.lay(cover, linear(tone) * (1 + 0.12 * s.clouds("bead2", 3, 3))[..., None], 0.5, 0.0, 0.6)
    ripple = 0.22 * np.sin(2 * np.pi * (walked + 0.35 * d**2 / wide) / 2.1 + 0.5 * s.clouds("bead3", 20, 2))
    s.height += (1 - dressed) * cover * (1.5 * body + ripple * body) + dressed * cover * 0.06 * ripple

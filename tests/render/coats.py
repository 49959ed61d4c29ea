"""What a shop or a maker put on the steel: paint, primer, undercoat, sealer; and bare steel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .lines import along, away
from .noise import ramp
from .skin import Skin
from .tone import Colour, linear


@dataclass(frozen=True)
class Coat:
    """A paint: its colour, the colour it fades to, primer below, roughness, gloss."""

    colour: Colour
    faded: Colour
    primer: Colour
    rough: float
    gloss: float


#: Where a coat is: the car's colour outside, or the thinner and duller one inside.
OUTSIDE, INSIDE = "outside", "inside"
GREEN = Coat((82, 100, 80), (128, 138, 116), (96, 54, 44), 0.42, 0.35)
GREEN_INSIDE = Coat((90, 104, 84), (112, 120, 100), (96, 54, 44), 0.55, 0.12)
CHASSIS = Coat((40, 40, 40), (66, 64, 61), (84, 60, 50), 0.6, 0.03)
PRIMER = Coat((128, 128, 124), (140, 138, 132), (106, 104, 98), 0.8, 0.0)
BLUE = Coat((44, 60, 86), (80, 94, 114), (120, 118, 114), 0.34, 0.5)
BLUE_INSIDE = Coat((52, 66, 88), (74, 86, 104), (120, 118, 114), 0.5, 0.15)
#: Each car has one colour scheme.
CARS = {"pickup": {OUTSIDE: GREEN, INSIDE: GREEN_INSIDE}, "coupe": {OUTSIDE: BLUE, INSIDE: BLUE_INSIDE}}


def tints(car: str, where: str = OUTSIDE) -> tuple[Colour, Colour]:
    """A car's colour in two tints that are near each other, for things that have no skin."""
    fresh, faded = np.array(CARS[car][where].colour), np.array(CARS[car][where].faded)
    low, high = (np.rint(fresh + share * (faded - fresh)).astype(int) for share in (0.4, 0.62))
    return (int(low[0]), int(low[1]), int(low[2])), (int(high[0]), int(high[1]), int(high[2]))


def paint(s: Skin, coat: Coat | str, wear: float = 0.5) -> None:
    """Paint as it looks after fifty years: uneven fade, orange peel, rubbed thin. `coat`: one, or the car's own."""
    coat = CARS[s.car][coat] if isinstance(coat, str) else coat
    broad, middle, small = s.clouds("fade", 260, 3), s.clouds("fade2", (40, 70), 5), s.clouds("peel", 2.2, 2)
    fade = np.clip(0.45 + 0.14 * wear * broad + 0.10 * wear * middle + 0.05 * s.clouds("fade3", 9, 4), 0, 1)
    tone = linear(coat.colour) + fade[..., None] * (linear(coat.faded) - linear(coat.colour))
    tone = tone * (1 + 0.03 * s.clouds("grain", 1.2, 3))[..., None]
    s.lay(np.ones(s.shape, np.float32), tone, coat.rough + 0.22 * fade - 0.05, coat.gloss)
    s.gloss *= 1 - 0.8 * fade
    s.height += 0.012 * small
    thin = ramp(middle + 0.5 * s.clouds("thin", 7, 4), 2.7 - 0.5 * wear, 3.2 - 0.5 * wear)
    s.lay(0.5 * thin, coat.primer, 0.7)


def undercoat(s: Skin, where: np.ndarray, colour: Colour = (38, 36, 34)) -> np.ndarray:
    """Thick stippled undercoat where the field is above 0, broken off along its edge. Gives its cover."""
    edge = where + 0.22 * s.clouds("under", 35, 5, 0.6) + 0.06 * s.clouds("under2", 4, 3)
    cover = ramp(edge, -0.01, 0.03)
    stipple = s.clouds("stipple", 5, 4, 0.6)
    tone = linear(colour) * (1 + 0.25 * s.clouds("under3", 60, 4))[..., None].clip(0.4, 2)
    s.lay(cover, tone, 0.72 + 0.08 * stipple.clip(-1, 1))
    s.height += cover * (0.9 + 0.35 * stipple)
    return cover


def sealer(s: Skin, path: list[tuple[float, float]], wide: float = 16, colour: Colour = (150, 146, 132)) -> None:
    """A brushed strip of seam sealer along a path in mm."""
    d, walked = away(s, path), along(s, path)
    ragged = wide / 2 * (1 + 0.18 * s.clouds("sealer", (18, 18), 3))
    cover = ramp(d / ragged, 1.04, 0.92)
    brush = np.sin(walked / 1.9 + 2 * s.clouds("brush", 20, 3)) * 0.08
    s.lay(cover, linear(colour) * (1 + 0.06 * s.clouds("sealer2", 9, 4))[..., None], 0.62)
    s.height += cover * (1.4 * np.sqrt(np.clip(1 - (d / ragged) ** 2, 0, 1)) + brush)


def bright_steel(s: Skin, cover: np.ndarray, turn: float = 0.0) -> None:
    """Steel cleaned with a disc: fine scratches, rounded, a little tarnish left."""
    along_mm = (1.0, 14.0) if turn else (14.0, 1.0)
    lines = s.clouds("disc", along_mm, 4, 0.8)
    tone = linear((112, 110, 107)) * (1 + 0.18 * lines + 0.15 * s.clouds("tarnish", 14, 4))[..., None].clip(0.3, 2)
    s.lay(cover, tone, 0.38 + 0.06 * lines, 0.0, 0.85)
    s.height *= 1 - 0.85 * cover
    s.height += cover * 0.02 * lines

"""The colours and hatches of every page and drawing: one family, pale steel to dark umber, never a traffic light.

The luminance of `LEVEL_FILL` falls at every step of severity, so the order survives a grey printer and colour-blind
eyes; the hatch gets denser with it, so the order survives a poor copy too.
"""

from __future__ import annotations

from dataclasses import dataclass

from soundmetal.grade.models import Level

#: Text and main lines: a warm near-black.
INK = "#231e1a"
#: Second voice: captions, running heads. At least 4.5 : 1 on white (WCAG 2.2, 1.4.3).
QUIET = "#655c54"
#: Hairlines and fold lines, which carry no meaning alone.
FAINT = "#b9b0a6"
#: Paper.
PAPER = "#ffffff"
#: The single accent, for rules above chosen columns and for links.
ACCENT = "#7b4a24"

#: Fill of each level, from sound to unsafe. Not seen has no fill: nobody knows.
LEVEL_FILL = {
    Level.NOT_SEEN: PAPER,
    Level.SOUND: "#e9eef0",
    Level.SURFACE: "#c6c1b8",
    Level.THINNED: "#a38a6e",
    Level.SPENT: "#77512f",
    Level.UNSAFE: "#38200f",
}


@dataclass(frozen=True)
class Hatch:
    """Parallel lines over a fill: distance between lines in mm of the drawing (0: none), crossed or not, colour."""

    step_mm: float
    crossed: bool
    colour: str


#: Hatch of each level; lines per area rise with severity.
LEVEL_HATCH = {
    Level.NOT_SEEN: Hatch(0.0, False, INK),
    Level.SOUND: Hatch(0.0, False, INK),
    Level.SURFACE: Hatch(2.2, False, "#6f675e"),
    Level.THINNED: Hatch(1.35, False, "#4d3a27"),
    Level.SPENT: Hatch(1.35, True, "#2c190c"),
    Level.UNSAFE: Hatch(0.8, True, "#140a04"),
}

#: Levels in the order of the ramp.
RAMP = (Level.SOUND, Level.SURFACE, Level.THINNED, Level.SPENT, Level.UNSAFE)


def luminance(colour: str) -> float:
    """Give the relative luminance (0 black to 1 white) of `#rrggbb` (WCAG 2.2, definition of relative luminance).

    >>> luminance("#ffffff"), luminance("#000000")
    (1.0, 0.0)
    """
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Give the contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio).

    >>> round(contrast("#000000", "#ffffff"), 1)
    21.0
    """
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def on_fill(level: Level) -> str:
    """Give the colour that reads on a level's fill: ink or paper, whichever stands out more."""
    fill = LEVEL_FILL[level]
    return INK if contrast(INK, fill) >= contrast(PAPER, fill) else PAPER


def density(level: Level) -> float:
    """Give how much hatch line a level carries, in mm of line per mm2."""
    hatch = LEVEL_HATCH[level]
    return 0.0 if not hatch.step_mm else (2 if hatch.crossed else 1) / hatch.step_mm

"""The ramp: one family, darker and denser at every step, told apart in grey. Luminance and contrast by WCAG 2.2."""

from __future__ import annotations

from itertools import pairwise

import pytest

from soundmetal.grade.models import SEVERITY, Level
from soundmetal.report import palette


def test_luminance_falls_at_every_step() -> None:
    assert all(
        palette.luminance(palette.LEVEL_FILL[a]) > palette.luminance(palette.LEVEL_FILL[b])
        for a, b in pairwise(palette.RAMP)
    )


@pytest.mark.parametrize(("lighter", "darker"), list(pairwise(palette.RAMP)))
def test_neighbours_are_told_apart_in_grey(lighter: Level, darker: Level) -> None:
    # 1.4 : 1 is our own floor for two fills side by side with an outline between them (chosen, no source).
    assert palette.contrast(palette.LEVEL_FILL[lighter], palette.LEVEL_FILL[darker]) >= 1.4


def test_hatch_gets_denser() -> None:
    densities = [palette.density(level) for level in palette.RAMP]
    assert densities == sorted(densities)
    assert len(set(densities)) == len(densities)


def test_the_ramp_follows_severity() -> None:
    assert [SEVERITY[level] for level in palette.RAMP] == sorted(SEVERITY[level] for level in palette.RAMP)
    assert set(palette.LEVEL_FILL) == set(Level)


@pytest.mark.parametrize("colour", [palette.INK, palette.QUIET, palette.ACCENT])
def test_text_reads_on_paper(colour: str) -> None:
    assert palette.contrast(colour, palette.PAPER) >= 4.5  # WCAG 2.2, 1.4.3, level AA


@pytest.mark.parametrize("level", list(Level))
def test_text_reads_on_every_fill(level: Level) -> None:
    # Middle browns allow 4.5 : 1 with neither; 3 : 1 is WCAG's floor for large text and graphics (1.4.3, 1.4.11).
    assert palette.contrast(palette.on_fill(level), palette.LEVEL_FILL[level]) >= 3


def test_known_contrasts() -> None:
    # Worked examples: black on white is 21 : 1; #767676 on white is the darkest grey usually named for 4.5 : 1.
    assert palette.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert palette.contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_no_hue_of_a_traffic_light() -> None:
    for colour in palette.LEVEL_FILL.values():
        red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
        assert red >= green - 6  # never green
        assert not (red > 180 and green < 90)  # never signal red
        assert not (red > 200 and green > 140 and blue < 90)  # never amber

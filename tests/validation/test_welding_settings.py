"""MAG and TIG settings of machine makers' manuals, read a second time from the printed rows (published-read)."""

from __future__ import annotations

import pytest

from soundmetal.handbook import welding


@pytest.mark.parametrize(
    ("thickness", "amperes", "volts", "travel", "gas"),
    [  # one or two manuals a row; where they differ, low and high of both
        (0.6, (25, 25), (15, 15), (300, 300), (10, 10)),
        (0.8, (30, 40), (15, 15), (400, 550), (10, 10)),
        (1.0, (50, 55), (13, 15), (400, 550), (10, 15)),
        (1.2, (60, 70), (14, 16), (300, 500), (10, 15)),
        (1.6, (100, 110), (16, 17), (400, 600), (10, 15)),
        (2.3, (110, 120), (17, 18), (300, 400), (10, 15)),
        (3.2, (120, 140), (16, 19), (250, 300), (10, 15)),
    ],
)
def test_mag(thickness: float, amperes: object, volts: object, travel: object, gas: object) -> None:
    row = welding.mag(thickness)
    assert (row.amperes, row.volts, row.travel_mm_min, row.gas_l_min) == (amperes, volts, travel, gas)


@pytest.mark.parametrize(
    ("thickness", "gap", "wire"),
    [
        (0.6, (0, 0), (0.4, 0.6)),
        (0.8, (0, 0), (0.6, 0.8)),
        (2.3, (0, 1.0), (0.9, 1.2)),
        (3.2, (1.0, 1.5), (0.8, 1.2)),
    ],
)
def test_mag_gap_and_wire(thickness: float, gap: object, wire: object) -> None:
    assert (welding.mag(thickness).gap_mm, welding.mag(thickness).wire_mm) == (gap, wire)


@pytest.mark.parametrize(
    ("thickness", "amperes", "tungsten", "filler", "argon"),
    [
        (1.0, (35, 45), 1.0, 1.6, 5),
        (1.2, (45, 55), 1.0, 1.6, 6),
        (1.6, (60, 70), 1.6, 1.6, 7),
        (3.2, (80, 100), 1.6, 2.4, 7),
    ],
)
def test_tig(thickness: float, amperes: object, tungsten: float, filler: float, argon: float) -> None:
    row = welding.tig(thickness)
    assert (row.amperes, row.tungsten_mm, row.filler_mm, row.argon_l_min) == (amperes, tungsten, filler, argon)


@pytest.mark.parametrize(
    ("diameter", "amperes", "ipm_per_amp"),
    [(0.6, (30, 90), 3.5), (0.8, (40, 145), 2.0), (0.9, (50, 180), 1.6), (1.14, (75, 250), 1.0)],
)
def test_wire(diameter: float, amperes: object, ipm_per_amp: float) -> None:
    assert (welding.wire(diameter).amperes, welding.wire(diameter).inch_per_minute_per_amp) == (amperes, ipm_per_amp)

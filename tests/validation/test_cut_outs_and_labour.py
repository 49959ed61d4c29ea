"""Cut-outs, labour and make-or-buy through the whole of repair and scope, against rows worked out by hand.

Sources and confidence stand beside each. They test the chain (rust written down -> cut-out -> hours -> price), not
the formulas alone.
"""

from __future__ import annotations

import runpy
from pathlib import Path
from typing import Any

import pytest

from soundmetal.calc.seam import tack_count
from soundmetal.calc.sheet import mass_kg
from soundmetal.calc.three_point import pert_classic_sigma, pert_mean
from soundmetal.record.terms import Aim
from soundmetal.repair.cutout import cutouts
from soundmetal.repair.models import Cutout, Method
from soundmetal.scope.estimate import Place, Setting, priced

bench: Any = runpy.run_path(str(Path(__file__).parents[1] / "repair" / "conftest.py"))["Bench"]()


def pch() -> Cutout:
    """Rust 120 x 80 mm in the field, 25 mm margin, corner radius 19 mm."""
    policies = bench.shop({"policies": {"margin": "25 mm", "corner_radius": "19 mm"}}).policies
    (opening,) = cutouts((bench.finding(size="120 x 80 mm"),), bench.zone(edges=0), policies)
    return opening


def test_pch_01_cut_out_and_perimeter() -> None:
    # PCH-01, geometry (computed): 170.000, 130.000, 567.381 mm, tolerance 0.01 mm.
    assert pch().size_mm == pytest.approx((170, 130), abs=0.01)
    assert pch().seam_length_mm == pytest.approx(567.381, abs=0.01)


def test_pch_02_area_and_mass() -> None:
    # PCH-02, geometry (computed): 21790.1149 mm2 and 0.1539 kg in 0.9 mm, tolerance 0.05 %.
    assert pch().area_mm2 == pytest.approx(21790.1149, rel=0.0005)
    assert mass_kg(pch().area_mm2, 0.9) == pytest.approx(0.1539, rel=0.0005)


def test_pch_03_tacks() -> None:
    # PCH-03, geometry (computed): 23 tacks at 25 mm or less.
    assert tack_count(pch().seam_length_mm, 25) == 23


def test_lab_01_visible_seam() -> None:
    # LAB-01: 0.4/0.6/1.0 h per ft of visible butt seam (rate band from memory): 1.8615 ft, mean 1.1789 h,
    # classic sigma 0.1861 h, tolerance 0.001.
    feet = pch().seam_length_mm / 304.8
    assert feet == pytest.approx(1.8615, abs=0.001)
    assert pert_mean(0.4 * feet, 0.6 * feet, 1.0 * feet) == pytest.approx(1.1789, abs=0.001)
    assert pert_classic_sigma(0.4 * feet, 1.0 * feet) == pytest.approx(0.1861, abs=0.001)


def make_or_buy(make_h: float) -> bool:
    """Whether a panel is bought for 165 + 35 and 3.0 h of fitting, at 95 an hour against 18 of sheet and `make_h`."""
    certain = {"low_factor": 1.0, "high_factor": 1.0}
    names = ("strip", "brace", "cut", "drill_spots", "template", "bend", "bead", "fit_tack", "butt_mig", "plug")
    rest = ("dress_hidden", "dress_visible", "protect_area", "protect_seam", "protect_cavity")
    none = {name: {"fixed_h": 0, "per_h": 0, **certain} for name in (*names, *rest)}
    zone = bench.zone(separable=True, edges=0, visible=False, size_mm=(1000.0, 500.0))
    flanges = 3000 * 15
    sheet = {"id": "it", "size": "1000 x 1000 mm", "thickness": "0.9 mm", "price": 18e6 / (500_000 + flanges)}
    sheet["price"] = round(float(sheet["price"]), 2)
    shop = bench.shop(
        {
            "markup": 0,
            "rates": {"metal": 95, "strip": 95, "trim": 95},
            "operations": {**none, "form_flat": {"per_h": make_h, **certain}, "trim_panel": certain},
            "policies": {"sheet_waste": 0},
            "widening": {"poor_access_high": 1.0},
            "sheets": [sheet],
            "consumables": {name: {"price": 0} for name in bench.shop().consumables},
            "outside": {},
            "bought": [{"zone": zone.id, "price": 165, "freight": 35, "trim_h": 3.0}],
        }
    )
    found = bench.options(zone, bench.finding(), shop=shop)[Method.FULL_PANEL]
    grades = bench.grades(bench.body(zone), bench.finding())
    place = Place(zone, grades.findings, found.geometry, True)
    return priced(found, place, Setting(shop, Aim.SOUND, bench.inspection().basis)).bought


def test_buy_01_break_even() -> None:
    # BUY-01, (buy - material) / rate (computed): 4.9158 h, tolerance 0.002 h.
    assert not make_or_buy(4.9158 - 0.002)
    assert make_or_buy(4.9158 + 0.002)

from __future__ import annotations

import pytest

from soundmetal.grade.area import ALL_OF_IT, COMPUTED, GIVEN, area_grade, rusted_mm2


def test_a_share_written_at_the_car_comes_first(make_zone, make_finding):
    """0.6 % is Ri 3 by the ceiling rule (V07, chosen rule) and grade 6 of ASTM D610 (V17, read)."""
    area = area_grade(make_finding(rusted_share=0.6), make_zone())
    assert (area.percent, area.ri, area.d610, area.from_) == (0.6, 3, 6, GIVEN)


def test_otherwise_the_rusted_area_over_the_zone(make_zone, make_finding):
    area = area_grade(make_finding(size="100 x 50 mm"), make_zone())
    assert (area.percent, area.from_) == (pytest.approx(5.0), COMPUTED)
    assert area_grade(make_finding(area="50 cm2"), make_zone()).percent == pytest.approx(5.0)


def test_more_rust_than_zone_says_so(make_zone, make_finding):
    area = area_grade(make_finding(size="2 x 1 m"), make_zone())
    assert (area.percent, area.ri, area.d610, area.from_) == (100.0, 5, 0, ALL_OF_IT)


def test_sound_steel_has_no_rusted_area(make_zone, make_finding):
    finding = make_finding(seen="sound", size="100 x 50 mm", repair={"kind": "butt weld", "state": "sound"})
    assert rusted_mm2(finding) == 0
    assert area_grade(finding, make_zone()) is None

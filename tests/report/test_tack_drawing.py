"""The tack plan drawn: every tack a dot on the seam, numbers in the order in which they are made."""

from __future__ import annotations

import re

import pytest
from shapely.geometry import box

from soundmetal.record.terms import Units
from soundmetal.repair.models import Cutout
from soundmetal.report.drawings.tacks import numbered, tack_plan
from soundmetal.report.language import language
from soundmetal.scope.models import TackPlan
from soundmetal.scope.tacking import tack_plan as planned

LANG = language("en", Units.METRIC, "USD")
DOT = re.compile(r'<circle cx="([\d.]+)" cy="([\d.]+)"')
NUMBER = re.compile(r">(\d+)</text>")


def plan(width: float, height: float, ends: tuple[str, ...] = ()) -> TackPlan:
    shape = box(100, 50, 100 + width, 50 + height)
    edge = sum(width if side in ("lower", "upper") else height for side in ends)
    found = planned(Cutout(shape, ("F1",), edge, shape.length - edge, True, ends), 25.0)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("size", "ends"), [((170, 130), ()), ((200, 130), ("lower",)), ((120, 130), ("front", "rear"))]
)
def test_every_tack_is_a_dot_with_its_number(size: tuple[int, int], ends: tuple[str, ...]) -> None:
    wanted = plan(*size, ends)
    svg = str(tack_plan(LANG, wanted, "25 mm", width_mm=60))
    assert len(DOT.findall(svg)) == len(wanted.at_mm)
    assert [int(n) for n in NUMBER.findall(svg)] == list(range(1, len(wanted.at_mm) + 1))
    assert f"{len(wanted.at_mm)} tacks, 25 mm apart or closer" in svg


def test_a_long_seam_numbers_its_first_round_only() -> None:
    wanted = plan(900, 500, ("lower", "upper"))
    assert 3 < numbered(wanted) < len(wanted.at_mm)
    numbers = NUMBER.findall(str(tack_plan(LANG, wanted, "25 mm")))
    assert len(numbers) == numbered(wanted)


def test_dots_are_drawn_in_the_order_made_and_to_one_scale() -> None:
    wanted = plan(170, 130)
    dots = [(float(x), float(y)) for x, y in DOT.findall(str(tack_plan(LANG, wanted, "25 mm")))]
    made = [wanted.at_mm[n] for n in wanted.order]
    scale = (max(x for x, _ in dots) - min(x for x, _ in dots)) / 170
    for dot, spot in zip(dots, made, strict=True):
        assert dot[0] - dots[0][0] == pytest.approx((spot[0] - made[0][0]) * scale, abs=0.03)
        assert dots[0][1] - dot[1] == pytest.approx((spot[1] - made[0][1]) * scale, abs=0.03)


def test_a_right_hand_skin_has_its_front_at_the_right() -> None:
    wanted = plan(200, 130, ("rear",))
    plain, turned = (
        [float(x) for x, _ in DOT.findall(str(tack_plan(LANG, wanted, "", mirrored=m)))] for m in (False, True)
    )
    assert turned == pytest.approx([44.0 - x for x in plain], abs=0.02)

"""The cut and its drawing: CUT rows (kerf and path from a plasma course, read; DXF facts as marked)."""

from __future__ import annotations

import re

import pytest
from ezdxf import units

from soundmetal.handbook.shop_tables import kerf_mm
from soundmetal.scope.dxf.blank import blank_dxf
from soundmetal.scope.dxf.sketch import UNIT_CODE
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.contour import bulge_of, circle, rounded_box
from soundmetal.scope.sheets.kerf import beside
from soundmetal.scope.sheets.pattern import Pattern
from soundmetal.scope.sheets.settings import Unit, cutting

KERF = 1.5


def test_cut_01_path_beside_the_edge() -> None:
    """CUT-01 (read): kerf 1.5 mm: set-off 0.750, 10 mm hole 8.500, 100 mm square 101.500 mm, tolerance 0.001."""
    piece = Pattern(rounded_box(100, 100), (circle(50, 50, 10),))
    path = piece.paths(cutting().model_copy(update={"kerf_mm": KERF, "compensate": True}))
    assert path.size_mm == pytest.approx((101.5, 101.5), abs=0.001)
    assert path.outside.bounds[0] == pytest.approx(-0.750, abs=0.001)
    x0, y0, x1, y1 = path.inside[0].bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((8.5, 8.5), abs=0.001)


def test_cut_01_left_to_the_cutter_nothing_moves() -> None:
    piece = Pattern(rounded_box(100, 100))
    assert piece.paths(cutting().model_copy(update={"compensate": False})).size_mm == (100, 100)


def test_cut_01_side_of_travel() -> None:
    """The square side is right of the travel: outside clockwise, holes counter-clockwise (manual, read)."""
    path = Pattern(rounded_box(100, 100), (circle(50, 50, 10),)).paths(cutting())
    assert path.outside.area < 0 < path.inside[0].area


@pytest.mark.parametrize(("angle", "bulge"), [(90, 0.414214), (180, 1.0), (45, 0.198912)])
def test_cut_02_bulge(angle: float, bulge: float) -> None:
    """CUT-02 (from memory, definition): tolerance 1e-6."""
    assert bulge_of(angle) == pytest.approx(bulge, abs=1e-6)


def test_cut_04_round_corners() -> None:
    """CUT-04 (computed): 100 x 100 with corners of 10 mm: 9914.159 mm2, 382.832 mm, tolerance 0.005."""
    outline = rounded_box(100, 100, 10)
    assert outline.area == pytest.approx(9914.159, abs=0.005)
    assert outline.length == pytest.approx(382.832, abs=0.005)
    assert beside(outline, KERF / 2).area == pytest.approx(rounded_box(101.5, 101.5, 10.75).area, abs=0.005)


@pytest.mark.parametrize(("unit", "code"), [("inch", 1), ("mm", 4)])
def test_cut_05_unit_of_the_drawing(unit: Unit, code: int) -> None:
    """CUT-05 (transcribed from the DXF reference, read): inch 1, mm 4; read from the file's own lines."""
    settings = cutting().model_copy(update={"drawing_unit": unit})
    blank = Blank("a/1", "a", ("F1",), 100.0, 100.0, 10.0, 1.0, None, "flat", 0, 0.0, 0.08)
    text = blank_dxf(blank, Pattern(rounded_box(100, 100, 10)), settings).decode("ascii")
    found = re.search(r"\$INSUNITS\n *70\n *(\d+)\n", text)
    assert found is not None
    assert int(found[1]) == code == UNIT_CODE[unit]
    # $ACADVER of R2000 (read): AC1015.
    assert re.search(r"\$ACADVER\n *1\nAC1015\n", text)


@pytest.mark.parametrize(("unit", "code"), [("", 0), ("in", 1), ("ft", 2), ("mm", 4), ("cm", 5), ("m", 6)])
def test_cut_05_codes_as_a_reader_knows_them(unit: str, code: int) -> None:
    """CUT-05, all six codes (transcribed, read), against the table of the library that reads our drawings."""
    assert units.decode(code) == (unit or None)
    assert {units.decode(one) for one in UNIT_CODE.values()} == {"in", "mm"}


def test_default_kerf_is_of_the_course() -> None:
    """The default is the upper end of the band at 25 to 30 A (read)."""
    assert cutting().kerf_mm == kerf_mm(30)[1]


def test_least_hole_of_the_guide_and_of_practice() -> None:
    """1.5 x thickness (design guide, read); 2 x kerf and 4 mm (from memory): the largest counts."""
    least = cutting().least_hole
    assert least.least_mm(1.5, 1.0) == 4.0
    assert least.least_mm(2.5, 1.0) == 5.0
    assert least.least_mm(1.5, 4.0) == 6.0

"""Drawings for the cutting table, read back by ezdxf's recovering reader, and by GDAL, which did not write them.

GDAL flattens arcs; here into chords of 0.02 degrees, so that areas agree to far less than the 0.01 mm asked for.
"""

from __future__ import annotations

import hashlib
import io
import math
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
import shapely
from ezdxf import recover
from ezdxf.document import Drawing
from pyogrio import raw, set_gdal_config_options
from shapely.geometry import LineString, Point, Polygon, box

from soundmetal.record.terms import Aim
from soundmetal.scope.dxf.blank import blank_dxf
from soundmetal.scope.dxf.sheet import sheet_dxf
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.contour import circle, rounded_box
from soundmetal.scope.sheets.nest import nest
from soundmetal.scope.sheets.pattern import Mark, Pattern, pattern_of
from soundmetal.scope.sheets.settings import Cutting, cutting, cutting_of

BLANK = Blank("floor.left/1", "floor.left", ("F1", "F2"), 170.0, 130.0, 20.0, 0.912, 20, "flat", 1, 0.0, 0.1)
PIECE = Pattern(
    rounded_box(170, 130, 20).running(clockwise=True), (circle(60, 60, 25), rounded_box(30, 12, 6).moved(100, 40)),
    bends=(((0, 20), (170, 20)),), beads=(((40, 100), (130, 100)),), marks=(Mark(140, 100, 3.2),),
)  # fmt: skip


@dataclass(frozen=True)
class Read:
    """What GDAL finds: layer, shape, text of every entity in the order of the file."""

    layer: str
    shape: Any
    text: str


@pytest.fixture
def gdal(tmp_path: Path) -> Iterator[Any]:
    """Read a drawing with GDAL."""
    options = {"OGR_ARC_STEPSIZE": "0.02", "DXF_CLOSED_LINE_AS_POLYGON": "YES", "DXF_MAX_ARC_GAP": "0"}
    set_gdal_config_options(options)

    def read(data: bytes) -> list[Read]:
        path = tmp_path / "drawing.dxf"
        path.write_bytes(data)
        meta, _, shapes, columns = raw.read(path)
        by_name = dict(zip(meta["fields"], columns, strict=True))
        texts = [text or "" for text in by_name["Text"]]
        return [
            Read(*one)
            for one in zip(by_name["Layer"], shapely.force_2d(shapely.from_wkb(shapes)), texts, strict=True)
        ]

    yield read
    set_gdal_config_options(dict.fromkeys(options))


def recovered(data: bytes) -> Drawing:
    """Read a drawing with the recovering reader, and check that it found nothing to recover."""
    doc, auditor = recover.read(io.BytesIO(data))
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert (doc.audit().errors, doc.audit().fixes) == ([], [])
    return doc


def with_(**changes: Any) -> Cutting:
    return cutting().model_copy(update=changes)


def bulged_area(entity: Any) -> float:
    """Area of a light polyline by its own corners and bulges, worked out here: shoelace and circle segments."""
    points = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
    total = 0.0
    for (ax, ay, bulge), (bx, by, _) in zip(points, points[1:] + points[:1], strict=True):
        total += (ax * by - bx * ay) / 2
        if bulge:
            angle, chord = 4 * math.atan(bulge), math.dist((ax, ay), (bx, by))
            total += (chord / (2 * math.sin(angle / 2))) ** 2 * (angle - math.sin(angle)) / 2
    return total


def test_two_readers_find_the_piece(gdal: Any) -> None:
    data = blank_dxf(BLANK, PIECE, cutting())
    found = gdal(data)
    layers = [one.layer for one in found if one.layer != "TEXT"]
    assert layers == ["CUT_INNER", "CUT_INNER", "CUT_OUTER", "BEND", "BEAD", "MARK", "MARK"]
    outside = next(one.shape for one in found if one.layer == "CUT_OUTER")
    assert outside.bounds == pytest.approx((0, 0, 170, 130), abs=0.01)
    # Known exactly: w h - (4 - pi) r2.
    assert outside.area == pytest.approx(170 * 130 - (4 - math.pi) * 400, abs=0.01)
    holes = [one.shape.area for one in found if one.layer == "CUT_INNER"]
    assert holes == pytest.approx([math.pi * 12.5**2, 18 * 12 + math.pi * 36], abs=0.01)
    space = recovered(data).modelspace()
    (line,) = space.query('LWPOLYLINE[layer=="CUT_OUTER"]')
    assert line.closed
    assert sum(bool(bulge) for *_, bulge in line.get_points("xyb")) == 4
    assert abs(bulged_area(line)) == pytest.approx(outside.area, abs=0.01)
    assert bulged_area(line) < 0 < bulged_area(space.query('LWPOLYLINE[layer=="CUT_INNER"]')[0])


def test_lines_and_marks_lie_where_they_should(gdal: Any) -> None:
    found = gdal(blank_dxf(BLANK, PIECE, cutting()))
    by_layer = {layer: [one.shape for one in found if one.layer == layer] for layer in ("BEND", "BEAD", "MARK")}
    assert by_layer["BEND"] == [LineString([(0, 20), (170, 20)])]
    assert by_layer["BEAD"] == [LineString([(40, 100), (130, 100)])]
    across, up = by_layer["MARK"]
    assert across.intersection(up) == Point(140, 100)
    assert across.length == up.length == cutting().mark_mm


def test_words_lie_on_the_piece_and_name_it(gdal: Any) -> None:
    words = [one for one in gdal(blank_dxf(BLANK, PIECE, cutting())) if one.layer == "TEXT"]
    told = ["3.2 mm", "floor.left/1", "F1 F2", "170 x 130 mm", "20 ga 0.912 mm", "FRONT <"]
    assert [one.text for one in words] == told
    assert all(Polygon(PIECE.outside.ring()).contains(one.shape) for one in words)


def test_inches(gdal: Any) -> None:
    data = blank_dxf(BLANK, PIECE, with_(drawing_unit="inch"))
    doc = recovered(data)
    assert (doc.units, doc.header["$MEASUREMENT"]) == (1, 0)
    outside = next(one.shape for one in gdal(data) if one.layer == "CUT_OUTER")
    assert outside.bounds == pytest.approx((0, 0, 170 / 25.4, 130 / 25.4), abs=0.01 / 25.4)
    assert outside.area * 25.4**2 == pytest.approx(170 * 130 - (4 - math.pi) * 400, abs=0.01)
    assert "6.69 x 5.12 inch" in data.decode("ascii")


def test_millimetres_and_version() -> None:
    doc = recovered(blank_dxf(BLANK, PIECE, cutting()))
    assert (doc.dxfversion, doc.units, doc.header["$MEASUREMENT"]) == ("AC1015", 4, 1)
    assert tuple(doc.header["$EXTMIN"])[:2] == pytest.approx((0, 0))
    assert tuple(doc.header["$EXTMAX"])[:2] == pytest.approx((170, 130))


def test_layers_are_in_the_table_with_their_colours() -> None:
    """A reader's own check does not miss a layer that is not in the table, so look for it here."""
    doc = recovered(blank_dxf(BLANK, PIECE, cutting()))
    wanted = {layer.name: layer.colour for layer in cutting().layers.all()}
    assert {layer.dxf.name: layer.color for layer in doc.layers if layer.dxf.name in wanted} == wanted
    assert {entity.dxf.layer for entity in doc.modelspace()} <= set(wanted)


def test_only_outlines_are_on_the_layers_that_are_cut() -> None:
    doc = recovered(blank_dxf(BLANK, PIECE, cutting()))
    cut = [entity for entity in doc.modelspace() if entity.dxf.layer.startswith("CUT")]
    assert {entity.dxftype() for entity in cut} == {"LWPOLYLINE"}
    assert all(entity.closed for entity in cut)
    assert not [one for one in doc.modelspace() if one.dxftype() in ("INSERT", "SPLINE", "HATCH")]


def test_kerf_set_off_by_the_drawing(gdal: Any) -> None:
    found = gdal(blank_dxf(BLANK, PIECE, with_(compensate=True, kerf_mm=1.5)))
    outside = next(one.shape for one in found if one.layer == "CUT_OUTER")
    assert outside.bounds == pytest.approx((-0.75, -0.75, 170.75, 130.75), abs=0.01)
    assert outside.area == pytest.approx(171.5 * 131.5 - (4 - math.pi) * 20.75**2, abs=0.01)
    hole = next(one.shape for one in found if one.layer == "CUT_INNER")
    assert hole.area == pytest.approx(math.pi * 11.75**2, abs=0.01)
    bend = next(one.shape for one in found if one.layer == "BEND")
    assert bend == LineString([(0, 20), (170, 20)])


def test_other_layer_names(gdal: Any) -> None:
    layers = cutting().layers
    own = layers.model_copy(update={"cut": layers.cut.model_copy(update={"name": "OUT-1", "colour": 2})})
    data = blank_dxf(BLANK, PIECE, with_(layers=own))
    assert "OUT-1" in {one.layer for one in gdal(data)}
    assert recovered(data).layers.get("OUT-1").color == 2


def test_letters_outside_the_code_page_and_line_breaks() -> None:
    strange = replace(BLANK, id="übergröße\n0\nLINE/漢1", findings=("F^1",))
    data = blank_dxf(strange, PIECE, cutting())
    texts = [entity.dxf.text for entity in recovered(data).modelspace().query("TEXT")]
    assert "übergröße 0 LINE/漢1" in texts
    assert not recovered(data).modelspace().query('LINE[layer=="TEXT"]')


@pytest.mark.parametrize("size", [(8.0, 4.0), (2000.0, 6.0), (12.0, 900.0)])
def test_words_on_small_and_narrow_pieces(size: tuple[float, float]) -> None:
    small = replace(BLANK, width_mm=size[0], height_mm=size[1])
    doc = recovered(blank_dxf(small, Pattern(rounded_box(*size)), cutting()))
    heights = [entity.dxf.height for entity in doc.modelspace().query("TEXT")]
    assert len(heights) == 5
    assert all(0 < height <= cutting().text_mm for height in heights)


def outlines(data: bytes) -> list[tuple[Any, ...]]:
    lines = recovered(data).modelspace().query("LWPOLYLINE")
    return [tuple(tuple(round(v, 6) for v in p) for p in line.get_points("xyb")) for line in lines]


@pytest.mark.parametrize("aim", list(Aim))
def test_every_sheet_and_blank_of_a_car(scopes: Any, car: Any, gdal: Any, aim: Aim) -> None:
    table = cutting_of(car.shop)
    nesting = nest([one for one in scopes[aim].blanks if one.sheet], car.shop)
    assert nesting.sheets
    for sheet in nesting.sheets:
        data = sheet_dxf(sheet, table)
        assert len(outlines(data)) == len(set(outlines(data)))
        found = gdal(data)
        border = found[0].shape
        assert border.bounds == pytest.approx((0, 0, sheet.length_mm, sheet.width_mm))
        cut = [one.shape for one in found if one.layer == "CUT_OUTER"]
        for piece, shape in zip(sheet.pieces, cut, strict=True):
            assert shape.area == pytest.approx(piece.pattern.area_mm2, abs=0.01)
            x0, y0, x1, y1 = shape.bounds
            assert (x0, y0) == pytest.approx((piece.x_mm, piece.y_mm), abs=0.01)
            size = (x1 - x0, y1 - y0)
            wanted = (piece.blank.width_mm, piece.blank.height_mm)
            assert size == pytest.approx(wanted[::-1] if piece.turned else wanted, abs=0.01)
    for one in scopes[aim].blanks:
        pattern = pattern_of(one, table)
        shape = next(r.shape for r in gdal(blank_dxf(one, pattern, table)) if r.layer == "CUT_OUTER")
        assert shape.bounds == pytest.approx((0, 0, one.width_mm, one.height_mm), abs=0.01)
        assert shape.area == pytest.approx(pattern.area_mm2, abs=0.01)


def test_openings_come_before_their_outline_on_a_sheet(bench: Any, gdal: Any) -> None:
    hole = tuple((float(x), float(y)) for x, y in Point(60, 60).buffer(20).exterior.coords)
    blanks = [replace(BLANK, id=f"floor/{n}", sheet="20 ga", openings_mm=(hole,)) for n in range(3)]
    (sheet,) = nest(blanks, bench.shop()).sheets
    layers = [one.layer for one in gdal(sheet_dxf(sheet, cutting())) if one.layer.startswith("CUT")]
    assert layers == ["CUT_INNER", "CUT_OUTER"] * 3


def test_what_is_left_is_drawn_beside_the_cut(bench: Any, gdal: Any) -> None:
    (sheet,) = nest([replace(BLANK, sheet="20 ga")], bench.shop()).sheets
    found = gdal(sheet_dxf(sheet, cutting()))
    rest = [one.shape for one in found if one.layer == "SHEET"][1]
    assert sheet.rest is not None
    assert rest.area == pytest.approx(sheet.rest.width_mm * sheet.rest.height_mm, abs=0.01)
    cut = next(one.shape for one in found if one.layer == "CUT_OUTER")
    assert rest.distance(cut) > cutting().kerf_mm


SAME = """
import hashlib, sys
from soundmetal.scope.dxf.blank import blank_dxf
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.contour import rounded_box
from soundmetal.scope.sheets.pattern import Pattern
from soundmetal.scope.sheets.settings import cutting
blank = Blank("a/1", "a", ("F1",), 170.0, 130.0, 20.0, 0.912, 20, "flat", 1, 0.0, 0.1)
print(hashlib.sha256(blank_dxf(blank, Pattern(rounded_box(170, 130, 20)), cutting())).hexdigest())
"""


def test_the_same_bytes_in_another_process(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No clock, no random identifier, no order of sets: another seed, zone, folder and home give the same file."""
    monkeypatch.setenv("PYTHONHASHSEED", "4711")
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    monkeypatch.setenv("PYTHONPATH", ":".join(sys.path))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "home").write_text("a file, so nothing can be kept there")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    done = subprocess.run([sys.executable, "-c", SAME], capture_output=True, text=True, check=True)
    blank = Blank("a/1", "a", ("F1",), 170.0, 130.0, 20.0, 0.912, 20, "flat", 1, 0.0, 0.1)
    here = blank_dxf(blank, Pattern(rounded_box(170, 130, 20)), cutting())
    assert done.stdout.split() == [hashlib.sha256(here).hexdigest()]
    assert done.stderr == ""


def test_the_writer_is_left_as_it_was() -> None:
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    blank_dxf(BLANK, PIECE, cutting())
    assert options.write_fixed_meta_data_for_testing is before is False


def test_the_witness_is_no_mirror(gdal: Any) -> None:
    """A drawing with a wrong arc is told apart by GDAL: the areas differ by far more than 0.01."""
    wrong = replace(PIECE, outside=rounded_box(170, 130, 21).running(clockwise=True))
    shape = next(r.shape for r in gdal(blank_dxf(BLANK, wrong, cutting())) if r.layer == "CUT_OUTER")
    assert abs(shape.area - (170 * 130 - (4 - math.pi) * 400)) > 10
    assert box(0, 0, 170, 130).buffer(0.001).covers(shape)

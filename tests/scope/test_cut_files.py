"""The files for the cutting table: which there are, the cut list, the offcuts that stay, the drawing of a sheet."""

from __future__ import annotations

import csv
import io
import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from typing import Any

import pytest
from ruamel.yaml import YAML
from shapely.geometry import Polygon

from soundmetal.record.terms import Aim
from soundmetal.scope.cut_files import CutFiles, cut_files, no_sheet
from soundmetal.scope.cut_names import COLUMNS, CUT_LIST, OFFCUTS
from soundmetal.scope.models import Blank

SVG = "{http://www.w3.org/2000/svg}"
BLANK = Blank("floor.left/1", "floor.left", ("F1", "F2"), 300.0, 200.0, 20.0, 0.912, 20, "flat", 0, 0.0, 0.4)
STEEL = {"id": "steel", "size": "1000 x 2000 mm", "thickness": "0.912 mm", "gauge": 20, "price": 50}


def blank(name: str, **changes: Any) -> Blank:
    return replace(BLANK, id=name, **{"sheet": "steel", **changes})


def rows(made: CutFiles) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(made.files[CUT_LIST].decode())))


@pytest.fixture(scope="module")
def car_files(car: Any, scopes: Any) -> CutFiles:
    return cut_files(scopes[Aim.SOUND].blanks, car.shop)


def test_a_file_for_each_blank_and_two_for_each_sheet(car_files: CutFiles, scopes: Any) -> None:
    names = list(car_files.files)
    assert len([name for name in names if name.startswith("blank_")]) == len(scopes[Aim.SOUND].blanks)
    sheets = len(car_files.nesting.sheets)
    assert len([n for n in names if re.fullmatch(r"sheet_\d+_.+\.dxf", n)]) == sheets
    assert len([n for n in names if re.fullmatch(r"sheet_\d+_.+\.svg", n)]) == sheets
    assert names[-2:] == [OFFCUTS, CUT_LIST]
    assert all(car_files.files.values())


def test_the_cut_list_has_a_line_for_each_blank(car_files: CutFiles, scopes: Any) -> None:
    found = rows(car_files)
    assert tuple(found[0]) == COLUMNS
    assert [row["blank"] for row in found] == [one.id for one in scopes[Aim.SOUND].blanks]
    placed = {p.blank.id: (s, p) for s in car_files.nesting.sheets for p in s.pieces}
    for row, one in zip(found, scopes[Aim.SOUND].blanks, strict=True):
        sheet, piece = placed[one.id]
        assert row["findings"].split() == list(one.findings)
        assert (float(row["width_mm"]), float(row["height_mm"])) == pytest.approx(
            (one.width_mm, one.height_mm), abs=0.005
        )
        assert (float(row["x_mm"]), float(row["y_mm"])) == pytest.approx((piece.x_mm, piece.y_mm), abs=0.005)
        assert (row["sheet"], int(row["sheet_number"])) == (sheet.sheet, sheet.number)
        assert row["turned"] == ("yes" if piece.turned else "no")
        assert {row["drawing"], row["sheet_drawing"]} <= set(car_files.files)
        assert row["notes"] == one.grain_note


def test_the_warning_to_take_a_template_goes_along(car_files: CutFiles) -> None:
    assert "Take a template on the car before you cut" in car_files.files[CUT_LIST].decode()


def test_the_same_files_twice(car: Any, scopes: Any, car_files: CutFiles) -> None:
    assert cut_files(scopes[Aim.SOUND].blanks, car.shop).files == car_files.files


def test_a_blank_without_a_sheet_is_drawn_and_named(bench: Any) -> None:
    made = cut_files([blank("a/1", sheet="", gauge=None, thickness_mm=3.2)], bench.shop({"sheets": [STEEL]}))
    assert "blank_a_1.dxf" in made.files
    (row,) = rows(made)
    assert (row["sheet"], row["x_mm"], row["sheet_drawing"], row["gauge"]) == ("", "", "", "")
    (told,) = no_sheet(made.nesting)
    assert told.startswith("F1, F2: a/1, 3.20 mm.")


def test_nothing_to_cut_is_an_empty_list(bench: Any) -> None:
    made = cut_files([], bench.shop({"sheets": [STEEL]}))
    assert list(made.files) == [OFFCUTS, CUT_LIST]
    assert made.files[CUT_LIST].decode() == ",".join(COLUMNS) + "\n"


def test_names_that_would_meet_get_a_number(bench: Any) -> None:
    made = cut_files([blank("a/1"), blank("A_1"), blank("a 1"), blank("../etc")], bench.shop({"sheets": [STEEL]}))
    names = [name for name in made.files if name.startswith("blank_")]
    assert names == ["blank_a_1.dxf", "blank_A_1_2.dxf", "blank_a_1_3.dxf", "blank_etc.dxf"]
    assert [row["drawing"] for row in rows(made)] == names


def test_a_name_is_no_formula_and_no_path(bench: Any) -> None:
    evil = {**STEEL, "id": "=1+1/../x"}
    made = cut_files([blank("a/1", sheet="=1+1/../x")], bench.shop({"sheets": [evil]}))
    assert rows(made)[0]["sheet"] == "'=1+1/../x"
    assert not [name for name in made.files if "/" in name or name.startswith(".")]


def offcuts_of(made: CutFiles) -> list[dict[str, Any]]:
    return YAML(typ="safe").load(made.files[OFFCUTS].decode())["offcuts"]


def test_offcuts_are_a_shop_books_own_list(bench: Any) -> None:
    """What is offered back is read by the shop book, and the next car is laid on it."""
    lying = [{"sheet": "steel", "size": "400 x 500 mm"}, {"sheet": "steel", "size": "30 x 20 mm", "count": 3}]
    shop = bench.shop({"sheets": [STEEL], "offcuts": lying})
    made = cut_files([blank("a/1"), blank("a/2", width_mm=900.0)], shop)
    found = offcuts_of(made)
    assert {"sheet": "steel", "size": "30 x 20 mm", "count": 3} in found
    assert "500 x 400 mm" not in [one["size"] for one in found]
    again = bench.shop({"sheets": [STEEL], "offcuts": found})
    assert [sheet.from_offcut for sheet in cut_files([blank("b/1")], again).nesting.sheets] == [True]


def test_offcuts_add_up(bench: Any) -> None:
    """No more steel is offered back than there was: what is kept and what is cut fit into what was taken."""
    shop = bench.shop({"sheets": [STEEL]})
    made = cut_files([blank(f"a/{n}") for n in range(9)], shop)
    kept = 0.0
    for one in offcuts_of(made):
        length, width = one["size"].removesuffix(" mm").split(" x ")
        kept += float(length) * float(width) * one["count"]
    cut = sum(p.pattern.area_mm2 for s in made.nesting.sheets for p in s.pieces)
    assert 0 < kept + cut < sum(s.length_mm * s.width_mm for s in made.nesting.sheets)


def test_no_offcuts(bench: Any) -> None:
    made = cut_files([blank("a/1", width_mm=1950.0, height_mm=950.0)], bench.shop({"sheets": [STEEL]}))
    assert offcuts_of(made) == []


def drawn(made: CutFiles) -> ET.Element:
    (name,) = [name for name in made.files if name.endswith(".svg")]
    return ET.fromstring(made.files[name])


def test_the_drawing_of_a_sheet_shows_every_piece(bench: Any) -> None:
    shop = bench.shop({"sheets": [STEEL]})
    made = cut_files([blank("a/1"), blank("<b>&/1", findings=("F3",))], shop)
    picture = drawn(made)
    texts = ["".join(one.itertext()) for one in picture.iter(f"{SVG}text")]
    assert {"a/1", "<b>&/1"} <= set(texts)
    assert any("F3" in text and "300 x 200 mm" in text for text in texts)
    assert len(list(picture.iter(f"{SVG}path"))) == 2
    title = picture.find(f"{SVG}title")
    assert title is not None
    assert title.text == "1: steel, 2000 x 1000 mm"
    assert len(list(picture.iter(f"{SVG}rect"))) == 2


def corners_of(d: str) -> list[tuple[float, float]]:
    """End points of the ways of a path of lines and arcs."""
    found = []
    for _, words in re.findall(r"([MLA])([-\d. ]+)", d):
        found.append(tuple(float(word) for word in words.split()[-2:]))
    return found  # type: ignore[return-value]


def test_pieces_are_drawn_where_they_lie(bench: Any) -> None:
    """The picture's own path is read back: its corners span the box of the cut list, upside down."""
    made = cut_files([blank("a/1")], bench.shop({"sheets": [STEEL]}))
    picture, (row,) = drawn(made), rows(made)
    path = next(picture.iter(f"{SVG}path"))
    shape = Polygon(corners_of(path.attrib["d"]))
    border = next(picture.iter(f"{SVG}rect")).attrib
    left, bottom = float(border["x"]), float(border["y"]) + float(border["height"])
    x0, y0, x1, y1 = shape.bounds
    assert (x0 - left, bottom - y1) == pytest.approx((float(row["x_mm"]), float(row["y_mm"])), abs=0.02)
    size = (300, 200) if row["turned"] == "no" else (200, 300)
    assert (x1 - x0, y1 - y0) == pytest.approx(size, abs=0.02)
    assert path.attrib["d"].count("A") == 4


def test_inches_where_the_shop_draws_in_inches(bench: Any) -> None:
    shop = bench.shop({"sheets": [{**STEEL, "size": "48 x 96 in"}], "cutting": {"drawing_unit": "inch"}})
    title = drawn(cut_files([blank("a/1", width_mm=254.0)], shop)).find(f"{SVG}title")
    assert title is not None
    assert title.text == "1: steel, 96 x 48 inch"


def test_the_list_is_plain_data(car_files: CutFiles) -> None:
    """Another program reads it without guessing: one encoding, one line end, numbers with a point."""
    text = car_files.files[CUT_LIST].decode("utf-8")
    assert "\r" not in text
    assert json.dumps([float(row["width_mm"]) for row in rows(car_files)])

"""Sixteen traps met while figures were checked against their sources: each is stepped into on purpose, and avoided.

The confidence of each figure stands in its test: read (seen in a text), computed (arithmetic), from memory.
"""

from __future__ import annotations

import io
import logging
import math
import re
from pathlib import Path

import ezdxf
import pytest
from ezdxf.lldxf.const import DXFVersionError
from strips import INSTANCES, ROWS, key, sizes

from soundmetal.calc import bend, plate, sheet, spread, three_point, wire
from soundmetal.calc.bend import AnsiK, Bend, DinK, Face, Leg
from soundmetal.calc.bend_din import din_v_mm
from soundmetal.calc.network import length, schedule
from soundmetal.calc.units import KG_PER_LB, MM_PER_INCH
from soundmetal.data import DATA
from soundmetal.grade.books import rule_book, rule_books
from soundmetal.handbook.gauge import msg
from soundmetal.record.quantities import length_mm
from soundmetal.scope.dxf.blank import blank_dxf
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.contour import rounded_box
from soundmetal.scope.sheets.pattern import Pattern
from soundmetal.scope.sheets.settings import cutting

INCH = MM_PER_INCH
BLANK = Blank("a/1", "a", ("F1",), 100.0, 100.0, 10.0, 1.0, None, "flat", 0, 0.0, 0.08)


def lb_in3(pounds: float) -> float:
    return pounds * KG_PER_LB / (INCH / 1000) ** 3


def drawing() -> str:
    return blank_dxf(BLANK, Pattern(rounded_box(100, 100, 10)), cutting()).decode("ascii")


def test_t1_the_weight_that_a_gauge_is_sold_by_is_no_mass() -> None:
    """41.82 lb/ft2 an inch (read) is 2.4 % over 7850 kg/m3: 18 ga is sold as 2.000 and weighs 1.952 lb/ft2.

    Two figures with two names: what is bought by the pound, and what is lifted (supplier's tables, read).
    """
    gauge = msg(18)
    assert gauge.nominal_lb_ft2 == 2.000
    assert sheet.msg_nominal_lb_ft2(gauge.inch * INCH) == pytest.approx(2.000, abs=0.003)
    assert sheet.areal_mass_lb_ft2(gauge.inch * INCH) == pytest.approx(1.952, abs=0.003)
    four_by_eight = sheet.mass_kg(48 * INCH * 96 * INCH, gauge.inch * INCH)
    assert four_by_eight == pytest.approx(28.334, abs=0.02)
    assert 32 * gauge.nominal_lb_ft2 * KG_PER_LB / four_by_eight == pytest.approx(1.024, abs=0.001)


def test_t2_a_factor_without_its_convention_is_two_different_bends() -> None:
    """DIN's k acts on half the thickness, the American K on all of it: K = k / 2 (read). The type tells which."""
    din = bend.bend_allowance_mm(90, 3, 3, DinK(0.65))
    assert din == pytest.approx(bend.bend_allowance_mm(90, 3, 3, AnsiK(0.325)), abs=1e-12)
    assert bend.bend_allowance_mm(90, 3, 3, AnsiK(0.65)) - din == pytest.approx(math.pi / 2 * 0.325 * 3, abs=1e-9)
    with pytest.raises(AttributeError):
        bend.bend_allowance_mm(90, 3, 3, 0.65)  # type: ignore[arg-type]


def test_t3_a_leg_says_to_which_face_it_was_measured() -> None:
    """50 + 50, r = s = 3, 90 degrees: pages print 100.41, with legs short of the radius only (second-hand).

    Outside legs and k = 0.65 make 94.244 (from memory, tolerance 0.005). What the pages did is legs to the inner
    faces: 100.244 with our factor, the rest of their figure being another factor table.
    """

    def flat(face: Face) -> float:
        return bend.flat_length_mm([Leg(50, face)] * 2, [Bend(90, 3)], 3, DinK(0.65))

    assert flat(Face.OUTER_APEX) == pytest.approx(94.244, abs=0.005)
    assert flat(Face.INNER_APEX) == pytest.approx(100.244, abs=0.005)
    assert flat(Face.FLAT) == pytest.approx(94.244 + 2 * 6, abs=0.005)
    assert flat(Face.OUTER_TANGENT) == pytest.approx(flat(Face.OUTER_APEX), abs=1e-9)


def test_t4_the_angle_is_the_one_bent_through_and_not_the_drawings() -> None:
    """Machinery's Handbook says so in words (read): a drawing's included 120 degrees is bent through 60."""
    by_hand = math.radians(60) * (2 + 0.65 * 2 / 2) - 2 * (2 + 2) * math.tan(math.radians(30))
    assert din_v_mm(120, 2, 2) == pytest.approx(by_hand, abs=1e-9)
    through_60 = bend.bend_allowance_mm(60, 2, 2, DinK(0.65))
    assert through_60 == pytest.approx(math.radians(60) * 2.65, abs=1e-9)
    assert bend.bend_allowance_mm(120, 2, 2, DinK(0.65)) == pytest.approx(2 * through_60, abs=1e-9)


def test_t5_the_trades_deposition_constant_is_another_density() -> None:
    """13.1 stands for 0.278 lb/in3; 0.283 gives 13.34, 1.8 % apart (computed). So a density is given, no constant.

    An article prints 10.28 with a constant of 12.1 where its formula gives 11.11; without its inputs that much and
    no more can be said of it.
    """

    def constant(density: float) -> float:
        return wire.melted_kg_h(INCH / 1000, INCH, lb_in3(density)) / KG_PER_LB

    assert constant(0.278) == pytest.approx(13.100, abs=0.01)
    assert constant(0.283) == pytest.approx(13.336, abs=0.01)
    assert constant(0.283) / constant(0.278) == pytest.approx(1.018, abs=0.0005)


@pytest.mark.parametrize(("diameter", "printed"), [(0.030, 4956), (0.035, 3648), (0.045, 2196), (1 / 16, 1152)])
def test_t6_a_wire_makers_lengths_are_a_little_short_of_geometry(diameter: float, printed: float) -> None:
    """ESAB's inches a pound (read) lie 0 to 1.2 % under plain geometry: within 1.5 % both are the same wire."""
    geometry = wire.wire_m_per_kg(diameter * INCH, lb_in3(0.283)) * KG_PER_LB * 1000 / INCH
    assert 0.985 * geometry <= printed <= 1.0005 * geometry


@pytest.mark.parametrize(("ratio", "printed", "series"), [(1.4, 0.0770, 0.07737), (2.0, 0.1110, 0.11061)])
def test_t7_a_printed_plate_table_is_half_a_per_cent_off_the_series(
    ratio: float, printed: float, series: float
) -> None:
    """Roark's table (read) against the exact series (computed elsewhere): 0.0003 would fail, 0.5 % holds."""
    assert plate.plate_alpha(ratio) == pytest.approx(series, abs=0.000006)
    assert abs(plate.plate_alpha(ratio) - printed) > 0.0003
    assert plate.plate_alpha(ratio) == pytest.approx(printed, rel=0.005)


def test_t8_welding_on_a_frame_is_paragraph_d() -> None:
    """49 CFR 393.201 (read): welding is paragraph (d), holes in flanges are (e), cracked frames are (a)."""
    book = rule_book("us")
    cited = {note.id: note for note in (*book.refer, *book.notes) if "393.201" in note.source}
    welds = {name for name, note in cited.items() if "weld" in note.text.lower()}
    assert welds == {"us-393.201-d"}
    assert cited["us-393.201-d"].source == "49 CFR 393.201(d)"
    for book in rule_books():
        for note in (*book.refer, *book.notes, *book.limits, *book.cautions):
            if "393.201(e)" in note.source:
                assert "hole" in note.text.lower()


#: A length in two units: 25 mm (1 in), 0.6 mm wire (0.023 in), 8 mm or 5/16 in.
PAIR = re.compile(r"(\d+(?:\.\d+)?) ?mm(?: wire diameter)?(?: \(| or )((?:\d+ )?\d+/\d+|\d+(?:\.\d+)?) in\b")


def test_t9_two_units_of_one_length_agree() -> None:
    """A maker's text prints "12 mm (0.05 inch)" (read): 12 mm are 0.47 in. The mm are meant.

    A length in two units is not read at all, so that nobody gets the wrong one; and every pair that we print agrees
    to a tenth, the coarsest rounding of ours (25 mm and 1 in).
    """
    assert length_mm("12 mm") / INCH == pytest.approx(0.47, abs=0.005)
    with pytest.raises(ValueError, match="is not a length"):
        length_mm("12 mm (0.05 inch)")
    texts = [path.read_text(encoding="utf-8") for path in sorted(DATA.rglob("*")) if path.suffix in (".yaml", ".po")]
    pairs = [pair for text in texts for pair in PAIR.findall(text)]
    assert len(pairs) >= 4
    assert [one for one in pairs if float(one[0]) != pytest.approx(length_mm(f"{one[1]} in"), rel=0.1)] == []
    limits = {limit.id: limit.at_least_mm for limit in rule_book("us").limits}
    assert limits == pytest.approx({"us-crack-web": 1.5 * INCH, "us-crack-flange": 1.0 * INCH})


#: Published categories of Hopper and Turton's set (read): width and optimal height, how many items.
CATEGORIES = {
    "C1": (20, 20, (16, 17)), "C2": (40, 15, (25,)), "C3": (60, 30, (28, 29)), "C4": (60, 60, (49,)),
    "C5": (60, 90, (73,)), "C6": (80, 120, (97,)), "C7": (160, 240, (196, 197)),
}  # fmt: skip


def test_t10_an_instance_is_known_by_its_figures_and_not_by_its_label() -> None:
    """A mirror swaps the labels of C2 and C3, and its C7_3 is 50 short of 160 x 240 = 38 400 (read, transcribed).

    Every instance here is what its category says in width, height and count, and its areas fill it to the last unit.
    C7_3 itself is none of ours; its area alone would have told: 38 350.
    """
    keys = {name: key(name) for name in INSTANCES}
    # Width, height, count and area tell a category; two of one category only their rectangles tell apart.
    assert keys["HT-C1P1"] == keys["HT-C1P3"]
    assert len({tuple(sorted(sizes(name))) for name in INSTANCES}) == len(INSTANCES)
    for name, (width, height, count, area) in keys.items():
        assert area == width * height, name
        if name.startswith("HT-"):
            wanted = CATEGORIES[name[3:5]]
            assert (width, height) == wanted[:2], name
            assert count in wanted[2], name
    assert keys["HT-C2P3"][:2] != CATEGORIES["C3"][:2]


def test_t11_the_first_column_runs_along_the_strips_width() -> None:
    """The authors' sheet calls column 1 the height (read), but read so its rectangles do not fit their object.

    C2's object is 40 x 15: its problem 2 has a 26 in column 1 (read), its problem 3 a 16, both over 15. Read along
    the width, every rectangle of every instance fits unturned.
    """
    assert max(first for first, _ in sizes("HT-C2P3")) == 16 > INSTANCES["HT-C2P3"][1]
    for name, (width, height, _) in INSTANCES.items():
        assert all(first <= width and second <= height for first, second in sizes(name)), name
    assert set(ROWS.values()) <= set(INSTANCES)


def test_t12_an_r12_drawing_knows_no_unit_and_no_light_polyline(caplog: pytest.LogCaptureFixture) -> None:
    """ezdxf leaves $INSUNITS out of R12 and refuses LWPOLYLINE there (tried): so ours are R2000 with both."""
    old = ezdxf.new("R12")  # type: ignore[attr-defined]
    old.units = 4
    stream = io.StringIO()
    with caplog.at_level(logging.WARNING, "ezdxf"):
        old.write(stream)
    assert "$INSUNITS" not in stream.getvalue()
    with pytest.raises(DXFVersionError):
        old.modelspace().add_lwpolyline([(0, 0), (1, 0), (1, 1)])
    text = drawing()
    assert re.search(r"\$ACADVER\n *1\nAC1015\n", text)
    assert re.search(r"\$INSUNITS\n *70\n *4\n", text)
    assert "\nLWPOLYLINE\n" in text


def test_t13_a_layer_that_is_in_no_table_passes_the_readers_own_check() -> None:
    """ezdxf's audit finds nothing amiss with it (tried): so the layers of ours are compared with their table here."""
    stray = ezdxf.new("R2000")  # type: ignore[attr-defined]
    stray.modelspace().add_line((0, 0), (1, 0), dxfattribs={"layer": "NOWHERE"})
    assert "NOWHERE" not in stray.layers
    assert (stray.audit().errors, stray.audit().fixes) == ([], [])
    ours = ezdxf.read(io.StringIO(drawing()))  # type: ignore[attr-defined]
    used = {entity.dxf.layer for entity in ours.modelspace()}
    assert used
    assert all(name in ours.layers for name in used)


def test_t14_the_classic_sigma_is_not_that_of_the_distribution_beside_it() -> None:
    """5/8/14 (computed): (b - a) / 6 = 1.500, the beta-PERT's own 1.658. The simulation spreads by its own."""
    assert three_point.pert_classic_sigma(5, 14) == pytest.approx(1.500, abs=0.0005)
    assert three_point.pert_variance(5, 8, 14) ** 0.5 == pytest.approx(1.6583, abs=0.0005)
    drawn = float(spread.simulate([5.0], [8.0], [14.0], 0.0, seed=1).std())
    assert drawn == pytest.approx(1.658, abs=0.002)


def test_t15_a_printed_latest_finish_that_its_own_table_contradicts() -> None:
    """A solved exercise (read) prints a latest finish of 20 for H; its latest start of 16 and 7 of work make 23."""
    hours = {"A": 7.0, "B": 8.0, "C": 3.0, "D": 1.0, "E": 4.0, "F": 5.0, "G": 11.0, "H": 7.0}
    after = {"C": ["A"], "D": ["A"], "E": ["B"], "F": ["B"], "G": ["C", "E"], "H": ["D", "F"]}
    plan = schedule(hours, after)
    assert (plan["H"].latest_start, plan["H"].latest_finish) == (16, 23)
    assert length(plan) == 23


def test_t16_23_gauge_is_0_0269_inch() -> None:
    """A gauge page prints 0.0266 (second-hand); 1.125 lb/ft2 over 41.82 is 0.0269 (computed)."""
    assert msg(23).nominal_lb_ft2 / 41.82 == pytest.approx(0.0269, abs=0.00005)
    assert msg(23).inch == 0.0269


def test_every_trap_has_its_test() -> None:
    names = re.findall(r"^def test_t(\d+)_", Path(__file__).read_text(encoding="utf-8"), re.MULTILINE)
    assert [int(name) for name in names] == list(range(1, 17))

"""Drawings: what they show equals the data, every one has words, the same data give the same bytes."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box

from soundmetal.car import catalogue
from soundmetal.grade.models import Level, Spread
from soundmetal.record.terms import Seen, Structure, Units
from soundmetal.report.drawings import order_bars, plate_section, range_strip
from soundmetal.report.drawings.cutout import Rust, cutout
from soundmetal.report.drawings.hatch import strokes
from soundmetal.report.drawings.joint import joint
from soundmetal.report.drawings.order_bars import Days
from soundmetal.report.drawings.plate_section import Plate
from soundmetal.report.drawings.steel_plan import Places, steel_plan
from soundmetal.report.drawings.waiting import Loss, waiting
from soundmetal.report.language import Language, language
from soundmetal.report.palette import LEVEL_FILL, luminance
from soundmetal.scope.models import MoneyRange

SVG = "{http://www.w3.org/2000/svg}"
EN = language("en", Units.METRIC, "USD")
ES = language("es", Units.METRIC, "USD")


def parsed(markup: str) -> ET.Element:
    return ET.fromstring(markup)


def title(markup: str) -> str:
    found = parsed(markup).find(f"{SVG}title")
    assert found is not None
    assert found.text
    return found.text.replace("\u00a0", " ")


def highest(markup: str, colour: str) -> float:
    """The top of everything filled with a colour, in the drawing's mm from its upper edge."""
    tops = []
    for path in parsed(markup).iter(f"{SVG}path"):
        if path.get("fill") == colour:
            tops += [float(y) for _x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path.get("d", ""))]
    return min(tops)


def plate(share: float, seen: Seen = Seen.PITTED, level: Level = Level.THINNED, by: str = "measured") -> Plate:
    return Plate(Spread(share, share, share), by, level, seen)


def test_plate_says_what_it_shows() -> None:
    assert plate_section.caption(plate(0.6), EN).replace("\u00a0", " ") == "60 % of the metal left (measured)"
    eye = Plate(Spread(0.4, 0.6, 0.8), "judged by eye", Level.THINNED, Seen.PITTED)
    assert title(plate_section.plate_section(eye, EN)) == (
        "Steel seen edge-on: 60 % of the metal left (judged by eye). It may be 40 to 80 %."
    )
    assert "a simple vista" in title(plate_section.plate_section(eye, ES))


def test_plate_height_in_its_middle_is_the_metal_left() -> None:
    width, height = 46.0, 11.0
    for share in (0.3, 0.6, 0.9):
        points = plate_section._face(plate(share), plate_section.Drawing(width, height, "x"), share, 0.5, 45.5)
        middle = [y for x, y in points if 18 < x < 28]
        left = [(height - 0.5 - y) / (height - 1.0) for y in middle]
        # The face is drawn uneven by at most 0.03 of the plate on purpose.
        assert sum(left) / len(left) == pytest.approx(share, abs=0.03)


def test_plate_with_a_hole_has_two_pieces_and_a_gap() -> None:
    whole = plate_section.plate_section(plate(0.6), EN)
    holed = plate_section.plate_section(plate(0.15, Seen.HOLED, Level.SPENT), EN)
    count = lambda markup, level: str(markup).count(f'fill="{LEVEL_FILL[level]}"')  # noqa: E731
    assert (count(whole, Level.THINNED), count(holed, Level.SPENT)) == (1, 2)
    assert "There is a hole." in title(holed)


def test_plate_not_seen_is_empty() -> None:
    drawn = plate_section.plate_section(plate(1.0, Seen.SOUND, Level.NOT_SEEN, "unknown"), EN)
    assert len(list(parsed(drawn).iter(f"{SVG}path"))) == 1
    assert "not known" in title(drawn)


@given(st.floats(min_value=0, max_value=1), st.floats(min_value=0, max_value=1), st.floats(min_value=0, max_value=1))
def test_plate_never_leaves_its_frame(a: float, b: float, c: float) -> None:
    low, likely, high = sorted((a, b, c))
    drawn = plate_section.plate_section(
        Plate(Spread(low, likely, high), "judged by eye", Level.SPENT, Seen.HOLED), EN
    )
    numbers = [float(y) for _x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", str(drawn))]
    assert all(-0.01 <= y <= 11.01 for y in numbers)


def test_hatch_lines_lie_inside_and_at_their_distance() -> None:
    shape = Polygon([(0, 0), (20, 0), (20, 8), (9, 8), (9, 3), (0, 3)])
    lines = strokes(shape, 2.0, 45.0)
    assert all(shape.buffer(1e-6).contains(LineString(line)) for line in lines)
    across = sorted({round((x + y) * 2**-0.5, 3) for (x, y), _ in lines})
    assert all(round(k / 2.0, 3) == round(k / 2.0) for k in across)


def everything(level: Level, body: str = "pickup") -> tuple[str, int]:
    car = catalogue.body(body, Structure.FRAME)
    zones = {zone.id: level for zone in car.zones}
    return str(steel_plan(car, Places(zones, {car.zones[3].id: (1, 4)}), EN)), len(car.zones)


@pytest.mark.parametrize("body", ["pickup", "sedan", "coupe", "wagon", "convertible"])
def test_plan_draws_every_zone_once(body: str) -> None:
    drawn, count = everything(Level.SPENT, body)
    assert drawn.count(f'fill="{LEVEL_FILL[Level.SPENT]}"') == count
    assert everything(Level.SPENT, body)[0] == drawn


def test_plan_leaves_not_seen_zones_empty_and_outlined() -> None:
    drawn, count = everything(Level.NOT_SEEN)
    dashed = [p for p in parsed(drawn).iter(f"{SVG}path") if p.get("stroke-dasharray") == "1.1 0.7"]
    assert len(dashed) == count
    assert all(p.get("fill") == "#ffffff" for p in dashed)


def test_plan_names_the_bad_places_in_its_words() -> None:
    car = catalogue.body("pickup", Structure.FRAME)
    levels = {zone.id: Level.SOUND for zone in car.zones} | {"firewall": Level.UNSAFE, "tailgate": Level.SURFACE}
    lang = EN.with_zones({zone.id: zone.name("en") for zone in car.zones})
    words = title(steel_plan(car, Places(levels, {}), lang))
    assert words.index("Firewall: unsafe") < words.index("Tailgate: surface")
    assert "sound" not in words


@pytest.mark.parametrize("family", ["floor", "rocker", "frame_rail"])
def test_plan_from_above_with_the_front_at_the_left_has_the_left_side_at_the_bottom(family: str) -> None:
    """Whoever looks down on a car that points to the left sees its left side nearer (plain geometry, no source)."""
    car = catalogue.body("pickup", Structure.FRAME)

    def height(side: str) -> float:
        zones = [zone for zone in car.zones if zone.id.startswith(f"{family}.{side}.")]
        levels = {zone.id: Level.SOUND for zone in car.zones} | {zone.id: Level.UNSAFE for zone in zones}
        return highest(str(steel_plan(car, Places(levels, {}), EN)), LEVEL_FILL[Level.UNSAFE])

    assert height("left") > height("right")


def test_plan_numbers_never_cover_each_other() -> None:
    car = catalogue.body("pickup", Structure.FRAME)
    levels = {zone.id: Level.SPENT for zone in car.zones}
    numbers = {zone.id: (i,) for i, zone in enumerate(car.zones, start=1) if i % 3 == 0}
    drawn = steel_plan(car, Places(levels, numbers), EN, 98.0)
    at = [
        (float(t.get("x", "")), float(t.get("y", "")))
        for t in parsed(drawn).iter(f"{SVG}text")
        if (t.text or "").isdigit()
    ]
    assert len(at) == len(numbers)
    near = [(a, b) for i, a in enumerate(at) for b in at[:i] if abs(a[0] - b[0]) < 3 and abs(a[1] - b[1]) < 3]
    assert near == []


def test_strip_marks_lie_in_order_and_to_scale() -> None:
    price = MoneyRange(Decimal(1000), Decimal(1400), Decimal(2600))
    drawn = range_strip.range_strip(price, EN, scale_to=(0.0, 3000.0), width_mm=60.0)
    marks = [float(x) for x in re.findall(r'd="M([\d.]+) 4[\d.]*L\1 6', str(drawn))]
    likely = [float(x) for x in re.findall(r'd="M([\d.]+) 0\.2L\1 6', str(drawn))]
    low, high = marks
    assert low < likely[0] < high
    assert (likely[0] - low) / (high - low) == pytest.approx(400 / 1600, abs=0.001)
    assert title(drawn) == "Price between US$1,000 and US$2,600, most likely about US$1,400."


def test_strip_density_follows_the_histogram() -> None:
    price = MoneyRange(Decimal(10), Decimal(20), Decimal(30))
    drawn = range_strip.range_strip(price, EN, histogram=((10, 0.2), (20, 0.5), (30, 0.2), (40, 0.1)), width_mm=50.0)
    paths = [p.get("d", "") for p in parsed(drawn).iter(f"{SVG}path") if p.get("fill") != "none"]
    boxes = [re.findall(r"-?[\d.]+", box) for path in paths for box in path.split("Z") if box]
    heights = [float(b[1]) - float(b[3]) for b in sorted(boxes, key=lambda b: float(b[0]))]
    assert heights == pytest.approx([h * range_strip.STRIP_MM / 0.5 for h in (0.2, 0.5, 0.2, 0.1)], abs=0.02)


def test_cutout_is_to_scale_and_holds_the_rust() -> None:
    shape = box(100, 0, 400, 150)
    drawn = cutout(shape, [Rust((125, 25, 375, 125), Level.SPENT)], EN, width_mm=46.0)
    assert title(drawn) == "The cut to scale: 300 mm by 150 mm, round the rust to sound steel."
    rust = next(p for p in parsed(drawn).iter(f"{SVG}path") if p.get("fill") == LEVEL_FILL[Level.SPENT])
    xs = [float(x) for x, _ in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", rust.get("d", ""))]
    assert (max(xs) - min(xs)) / 44.0 == pytest.approx(250 / 300, abs=0.002)


def test_waiting_says_every_year() -> None:
    losses = [Loss(1, 0.025, 0.05), Loss(10, 0.083, 0.167)]
    words = title(waiting(losses, 0.91, EN))
    assert "after 1 year 0.03 mm to 0.05 mm" in words
    assert "after 10 years 0.08 mm to 0.17 mm" in words
    assert "0.91 mm" in words


def test_bars_lie_on_one_scale_and_away_is_dashed() -> None:
    drawn = order_bars.bars([Days(0, 2), Days(4, 5, away=True)], 10.0, "floor: days 1 to 5", width_mm=82.0)
    shapes = [p for p in parsed(drawn).iter(f"{SVG}path") if p.get("fill") != "none"]
    spans = []
    for shape in shapes:
        xs = [float(x) for x, _ in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", shape.get("d", ""))]
        spans.append((min(xs), max(xs)))
    scale = (82.0 - 0.6) / 10
    assert spans[0] == pytest.approx((0.3, 0.3 + 2 * scale), abs=0.01)
    assert spans[1] == pytest.approx((0.3 + 4 * scale, 0.3 + 5 * scale), abs=0.01)
    assert [p.get("stroke-dasharray") for p in shapes] == [None, "1.1 0.7"]


def test_days_count_from_one() -> None:
    assert (Days(0.0, 0.5).first, Days(0.0, 0.5).last) == (1, 1)
    assert (Days(1.0, 2.0).first, Days(1.0, 2.0).last) == (2, 2)


@pytest.mark.parametrize("lang", [EN, ES])
def test_joint_has_words(lang: Language) -> None:
    assert len(title(joint(lang))) > 60


def test_the_critical_bar_is_the_darkest() -> None:
    drawn = order_bars.bars([Days(0, 1), Days(1, 2, critical=True)], 2.0, "floor")
    fills = [p.get("fill", "") for p in parsed(drawn).iter(f"{SVG}path") if p.get("fill") != "none"]
    assert luminance(fills[1]) < 0.05 < 0.4 < luminance(fills[0])


def test_days_left_out_are_marked_and_dates_stand_on_the_axis() -> None:
    dates = [dt.date(2026, 11, 26), dt.date(2026, 11, 27), dt.date(2026, 11, 30)]  # Thursday, Friday, Monday
    assert order_bars.breaks(dates) == (2,)
    shown = "".join(parsed(order_bars.axis(3.0, EN, dates=dates)).itertext()).replace("\u00a0", " ")
    assert [day in shown for day in ("26 Nov", "27 Nov", "28 Nov", "30 Nov")] == [True, True, False, True]

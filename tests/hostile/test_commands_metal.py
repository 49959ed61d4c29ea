"""Steel that cannot be made, cut, bent, bought or put in order, by the commands: one line with the finding's id."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest
from commanding import Run, close_up, lines_of, pdf_text

from soundmetal.data import read_yaml
from soundmetal.errors import Exit
from soundmetal.scope.order_rules import checked

RUST = "size: 100 x 80 mm"
SMALL_SHEETS = """\
sheets:
  - {id: scrap, size: 200 x 200 mm, thickness: 0.9 mm, price: 5}
  - {id: scrap 18, size: 200 x 200 mm, thickness: 1.2 mm, price: 5}
"""


def section(legs: str, bends: str) -> str:
    return f"{RUST}\n    section: {{legs: [{legs}], bends: [{bends}]}}"


def written(folder: Path, finding: str = RUST, shop: str = "") -> Path:
    """Put a holed floor with this beside it into the record, and a shop book of these lines beside that."""
    path = folder / "inspection.yaml"
    text = path.read_text(encoding="utf-8")
    old = f"seen: surface\n    {RUST}"
    assert old in text
    path.write_text(text.replace(old, f"seen: holed\n    {finding}"), encoding="utf-8")
    if shop:
        (folder / "shop.yaml").write_text(shop, encoding="utf-8")
    return folder


#: What is written, the exit code, and what the one line must tell. F2 is the floor.
STEEL: dict[str, tuple[str, str, Exit, list[str]]] = {
    "end leg shorter than the brake takes": (
        section("5 mm, 60 mm, 20 mm", "{through: 90}, {through: 90}"), "", Exit.RECORD,
        ["F2: leg 1 of the section is 5 mm, shorter than the brake can take (10 mm)", "trim it after bending"],
    ),
    "leg used up by its bends": (
        section("50 mm, 3 mm, 50 mm", "{through: 90, radius: 3 mm}, {through: 90, radius: 3 mm}"), "", Exit.RECORD,
        ["F2: the section cannot be bent", "leg 2 of 3 mm", "Measure the section again."],
    ),
    "bend of 180 degrees": (
        section("50 mm, 60 mm, 50 mm", "{through: 180}, {through: 90}"), "", Exit.RECORD,
        ["F2: the section cannot be bent: a bend through 180 degrees", "over 0 and under 180"],
    ),
    "bend of more than 180 degrees": (
        section("50 mm, 60 mm, 50 mm", "{through: 90}, {through: 271}"), "", Exit.RECORD,
        ["F2: the section cannot be bent: a bend through 271 degrees"],
    ),
    "bend of more than a turn": (
        section("50 mm, 60 mm, 50 mm", "{through: 90}, {through: 400}"), "", Exit.RECORD,
        ["line 21, findings[2].section.bends[2].through", "(finding F2)"],
    ),
    "bend the other way round": (
        section("50 mm, 60 mm, 50 mm", "{through: -90}, {through: 90}"), "", Exit.RECORD,
        ["line 21, findings[2].section.bends[1].through", "(finding F2)"],
    ),
    "outline that crosses itself": (
        "outline: [[0 mm, 0 mm], [100 mm, 80 mm], [100 mm, 0 mm], [0 mm, 80 mm]]", "", Exit.RECORD,
        ["line 17, findings[2]: F2: the outline crosses itself near 50 x 40 mm", "in order, once round"],
    ),
    "outline without area": (
        "outline: [[0 mm, 0 mm], [50 mm, 0 mm], [100 mm, 0 mm]]", "", Exit.RECORD,
        ["F2: the outline has no area", "once round"],
    ),
    "gauge in place of a thickness": (
        f"{RUST}\n    readings: [{{thickness: 41 ga, method: caliper, surface: bare}}]", "", Exit.RECORD,
        ["line 21, findings[2].readings[1].thickness", '"41 ga" is not a length', "(finding F2)"],
    ),
    "gauge that is on no table": (
        RUST, "sheets: [{id: odd, size: 1 x 2 m, thickness: 0.9 mm, gauge: 41, price: 5}]", Exit.SETTINGS,
        ['shop.yaml, line 1, sheets[1].gauge: sheet "odd": no gauge 41', "7 to 28", "F1, F2 cannot be priced"],
    ),
    "gauge of another thickness": (
        RUST, "sheets: [{id: odd, size: 1 x 2 m, thickness: 0.9 mm, gauge: 16, price: 5}]", Exit.SETTINGS,
        ['sheet "odd": 16 gauge is 1.519 mm thick, not 0.9 mm', "F1, F2 cannot be priced"],
    ),
    "rate of nothing": (
        RUST, "rates: {metal: 0}", Exit.SETTINGS,
        ["shop.yaml, line 1, rates.metal", "is too small. Write more than 0.", "F1, F2 cannot be priced"],
    ),
    "rate under nothing": (
        RUST, "currency: USD\nrates: {trim: 70, strip: -60}", Exit.SETTINGS,
        ["shop.yaml, line 2, rates.strip", "is too small. Write more than 0.", "F1, F2 cannot be priced"],
    ),
    "volts without travel": (
        RUST, "policies: {process: TIG, tig_volts: 11}", Exit.SETTINGS,
        ["shop.yaml, line 1, policies", "give both, or neither"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", STEEL)
def test_what_cannot_be_made_is_one_line_with_the_finding(
    name: str, soundmetal_here: Run, small_inspection: Path
) -> None:
    finding, shop, code, told = STEEL[name]
    folder = written(small_inspection, finding, shop)
    for command in (["scope"], ["report"]):
        done = soundmetal_here(*command, folder)
        (line,) = lines_of(done)
        assert done.returncode == code, line
        assert [part for part in told if part not in line] == [], line
    assert not (folder / "scope.pdf").exists()
    assert not (folder / "report.pdf").exists()


def test_a_patch_larger_than_any_sheet_is_not_cut(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path
) -> None:
    folder = written(small_inspection, "size: 900 x 500 mm", SMALL_SHEETS)
    done = soundmetal_here("scope", folder, "--cut", tmp_path / "cut")
    (line,) = lines_of(done)
    assert done.returncode == Exit.SETTINGS
    assert "larger than any sheet of its steel" in line
    assert "F2: floor.left.front/1" in line
    assert "make it of two pieces" in line
    assert not (tmp_path / "cut").exists()


@pytest.mark.parametrize("option", ["--cut", "--csv", "--output"])
def test_an_option_is_not_taken_for_a_name(option: str, soundmetal_here: Run, small_inspection: Path) -> None:
    done = soundmetal_here("scope", small_inspection, option, "--json")
    (line,) = lines_of(done)
    assert done.returncode == Exit.USAGE
    assert '"--json" stands where a name is wanted' in line
    assert not (small_inspection / "--json").exists()


def test_the_packet_is_made_and_names_the_patch_that_no_sheet_takes(
    soundmetal_here: Run, small_inspection: Path
) -> None:
    folder = written(small_inspection, "size: 900 x 500 mm", SMALL_SHEETS)
    assert soundmetal_here("scope", folder).returncode == Exit.OK
    text = close_up(pdf_text(folder / "scope.pdf"))
    told = text[text.index(close_up("Larger than any sheet in the shop book")) :][:120]
    assert "(F2)" in told


def test_a_factory_flange_that_the_brake_cannot_take_is_told_with_a_way_out(
    soundmetal_here: Run, small_inspection: Path
) -> None:
    """The shop's own flange of 6 mm: no reason to make nothing, for it can be bent longer and trimmed."""
    folder = written(small_inspection, f"{RUST}\n    reaches_edge: true", "policies: {flange: 6 mm}")
    path = folder / "inspection.yaml"
    path.write_text(path.read_text("utf-8").replace("floor.left.front", "door.left.bottom"), "utf-8")
    assert soundmetal_here("scope", folder).returncode == Exit.OK
    text = close_up(pdf_text(folder / "scope.pdf"))
    assert close_up("shorter than the brake can take") in text
    assert close_up("bend it longer, then trim") in text


def test_a_circle_in_the_order_names_tasks_and_findings(
    soundmetal_here: Run, small_inspection: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The order's own file has no circle; a rule is added by which each cut of a side waits for the other."""
    data = copy.deepcopy(read_yaml("order.yaml"))
    rule = {"before": "cut", "then": "cut", "of": "side", "kind": "hard", "confidence": "from memory"}
    data["rules"].append({"id": "X1", "why": "made up", "source": "made up", **rule})
    monkeypatch.setattr("soundmetal.scope.network.order_rules", lambda: checked(data))
    done = soundmetal_here("scope", written(small_inspection))
    (line,) = lines_of(done)
    assert done.returncode == Exit.SETTINGS
    assert "wait for each other in a circle" in line
    assert "rocker.left.outer/cut" in line
    assert "floor.left.front/cut" in line
    assert "findings F1, F2" in line

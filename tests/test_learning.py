"""Hours really spent: written in the record, held against the scope, told before and after, written as a file."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from soundmetal.cli import main
from soundmetal.errors import FolderError, LinkError, RecordError, Several, UsageError
from soundmetal.explaining import explain
from soundmetal.folder.shop import load_shop_book
from soundmetal.learning import HEAD, NOTHING, inspections, lesson, write_learned
from soundmetal.scope.learning import settings


def write_hours(folder: Path, text: str) -> None:
    path = folder / "inspection.yaml"
    path.write_text(path.read_text(encoding="utf-8") + f"\nspent: {text}\n", encoding="utf-8")


def expected(folder: Path, finding: str, kind: str) -> float:
    from soundmetal import pipeline
    from soundmetal.grade.car import grade_car
    from soundmetal.scope.work import work_out

    loaded = pipeline.load(folder)
    grades = grade_car(loaded.inspection, loaded.body, loaded.book)
    scope = work_out(loaded.inspection, loaded.body, loaded.shop, loaded.book, grades, loaded.inspection.aim)
    return next(o.expected_h for p in scope.panels for o in p.operations if o.kind == kind and finding in o.findings)


def test_one_job_that_took_twice_as_long_moves_the_book_a_little(small_inspection: Path) -> None:
    hours = expected(small_inspection, "F1", "butt_mig")
    assert hours > 0
    write_hours(small_inspection, f"{{F1: {{butt_mig: {2 * hours:.6f}}}}}")
    (one,) = lesson(small_inspection).learned
    # EST-14 with n 1 and the file's deviations (from memory): weight 0.04 / (0.04 + 0.1225) = 0.2462.
    assert one.weight == pytest.approx(0.2462, abs=0.0001)
    assert one.factor == pytest.approx(2**one.weight, rel=1e-4)
    assert one.per_h == pytest.approx(one.before[1] * one.factor)
    assert one.moved


def test_hours_as_expected_leave_the_book_alone(small_inspection: Path) -> None:
    hours = expected(small_inspection, "F1", "butt_mig")
    write_hours(small_inspection, f"{{F1: {{butt_mig: {hours:.6f}}}}}")
    found = lesson(small_inspection)
    assert found.learned[0].factor == pytest.approx(1.0, abs=1e-5)
    assert not found.learned[0].moved
    assert "operations: {}" in found.text


def test_a_yard_learns_from_all_its_cars(small_inspection: Path, tmp_path: Path) -> None:
    yard = tmp_path / "yard"
    hours = expected(small_inspection, "F1", "butt_mig")
    text = (small_inspection / "inspection.yaml").read_text(encoding="utf-8")
    for n in range(6):
        folder = yard / f"car {n}"
        folder.mkdir(parents=True)
        for name in ("shop.yaml", "photos"):
            assert not (folder / name).exists()
        (folder / "inspection.yaml").write_text(_without_photos(text), encoding="utf-8")
        write_hours(folder, f"{{F1: {{butt_mig: {hours * math.exp(0.25):.6f}}}}}")
    (yard / "empty").mkdir()
    found = lesson(yard)
    assert found.cars == tuple(f"car {n}" for n in range(6))
    # EST-14 (normal-normal, computed): n 6, mean log 0.25 -> weight 0.6621, factor 1.1800.
    assert found.learned[0].weight == pytest.approx(0.6621, abs=0.0005)
    assert found.learned[0].factor == pytest.approx(1.1800, abs=0.0005)


def _without_photos(text: str) -> str:
    yaml: Any = YAML()
    from io import StringIO

    tree = yaml.load(text)
    tree.pop("photos", None)
    for finding in tree["findings"]:
        finding.pop("photos", None)
    out = StringIO()
    yaml.dump(tree, out)
    return out.getvalue()


def test_explain_shows_before_and_after_and_writes_a_file_that_a_shop_book_can_hold(
    small_inspection: Path, tmp_path: Path
) -> None:
    write_hours(small_inspection, "{F1: {butt_mig: 9.5, strip: 4}}")
    path = tmp_path / "learned.yaml"
    told, book, written = explain("learning", small_inspection, output=path)
    assert any("butt weld with MIG" in line for line in told.lines)
    assert any("->" in line for line in told.lines)
    assert book.lines[0] == "operations:"
    assert str(path) in written.title
    yaml: Any = YAML(typ="safe")
    taken = yaml.load(path.read_text(encoding="utf-8"))["operations"]
    assert set(taken) == {"butt_mig", "strip"}
    (tmp_path / "shop.yaml").write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    again = load_shop_book(tmp_path)
    assert again.operations["butt_mig"].per_h == pytest.approx(taken["butt_mig"]["per_h"])
    assert again.operations["butt_mig"].per_h > 0.8
    assert any("soldar a tope" in line for line in explain("learning", small_inspection, "es")[0].lines)


def test_hours_for_work_that_is_not_in_the_scope_are_named_and_teach_nothing(small_inspection: Path) -> None:
    write_hours(small_inspection, "{F2: {butt_tig: 2}}")
    found = lesson(small_inspection)
    assert found.learned == ()
    assert len(found.strange) == 1
    assert any("nothing is learned" in line for line in found.lines("en"))


def test_nothing_written_yet_tells_how(small_inspection: Path) -> None:
    assert lesson(small_inspection).lines("en") == (NOTHING,)


@pytest.mark.parametrize(
    ("hours", "error", "says"),
    [
        ("{F9: {butt_mig: 1}}", LinkError, "F9"),
        ("{F1: {but_mig: 1}}", LinkError, "butt_mig"),
        ("{F9: {but_mig: 1}}", Several, "F9"),
        ("{F1: {butt_mig: 0}}", RecordError, "spent"),
        ("{F1: {butt_mig: -2}}", RecordError, "spent"),
        ("{F1: {butt_mig: .nan}}", RecordError, "spent"),
        ("{F1: 3}", RecordError, "spent"),
    ],
)
def test_hours_that_cannot_be_are_refused_with_their_place(
    small_inspection: Path, hours: str, error: type[Exception], says: str
) -> None:
    write_hours(small_inspection, hours)
    with pytest.raises(error, match=says):
        lesson(small_inspection)


def test_a_file_of_somebodys_own_is_not_replaced(small_inspection: Path, tmp_path: Path) -> None:
    found, own = lesson(small_inspection), tmp_path / "shop.yaml"
    own.write_text("rates: {metal: 110}\n", encoding="utf-8")
    with pytest.raises(UsageError, match="own file"):
        write_learned(found, own)
    assert own.read_text(encoding="utf-8") == "rates: {metal: 110}\n"
    for _ in range(2):
        assert write_learned(found, tmp_path / "learned.yaml").read_text(encoding="utf-8").startswith(HEAD)
    with pytest.raises(FolderError):
        write_learned(found, tmp_path)


def test_a_folder_without_cars_is_told_so(tmp_path: Path) -> None:
    with pytest.raises(FolderError, match="empty"):
        inspections(tmp_path)


def test_only_learning_writes(small_inspection: Path, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="nothing to write"):
        explain("G1", small_inspection, output=tmp_path / "x.yaml")


def test_the_command(small_inspection: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_hours(small_inspection, "{F1: {butt_mig: 9.5}}")
    with pytest.raises(SystemExit) as ended:
        main(["explain", "learning", str(small_inspection)])
    assert ended.value.code == 0
    assert "butt_mig" in capsys.readouterr().out


def test_the_file_of_settings_is_read_and_from_memory() -> None:
    assert (settings().within_sd, settings().prior_sd) == (0.35, 0.20)

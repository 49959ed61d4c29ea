from __future__ import annotations

import datetime as dt
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock
from PIL import Image

from soundmetal import pipeline
from soundmetal.errors import (
    ChangedMeanwhile,
    FolderError,
    LinkError,
    RecordError,
    Several,
    SoundmetalError,
    UnknownName,
    UsageError,
    WriteError,
)
from soundmetal.folder import store
from soundmetal.record.terms import Aim, Units

NOON = dt.datetime(2026, 11, 18, 12, 0, tzinfo=dt.UTC)

Fingerprint = Callable[[Path], dict[str, str]]


def rewrite(folder: Path, old: str, new: str) -> None:
    path = folder / "inspection.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_load_reads_everything_and_changes_nothing(small_inspection: Path, fingerprint: Fingerprint) -> None:
    before = fingerprint(small_inspection)
    loaded = pipeline.load(small_inspection)
    assert [finding.id for finding in loaded.inspection.findings] == ["F1", "F2"]
    assert (loaded.body.id, loaded.book.id) == ("pickup", "shop")
    assert [photo.name for photo in loaded.scan.photos] == ["floor left front.jpg", "rocker.left.outer/one.jpg"]
    assert fingerprint(small_inspection) == before
    assert not (small_inspection / ".soundmetal").exists()


@pytest.mark.parametrize(
    ("old", "new", "kind", "line"),
    [
        ("body: pickup", "body: lorry", LinkError, 4),
        ("structure: frame", "structure: unibody", LinkError, 4),
        ("basis: lift", "basis: lift\nrule_book: fr", LinkError, 9),
        ("basis: lift", "basis: lift\nlanguage: fr", LinkError, 9),
        ("zone: floor.left.front", "zone: flor.left.front", LinkError, 18),
        ("size: 100 x 80 mm", "size: 100 x 80 elbows", RecordError, 20),
    ],
)
def test_load_names_the_line_of_what_is_wrong(
    old: str, new: str, kind: type[RecordError], line: int, small_inspection: Path
) -> None:
    rewrite(small_inspection, old, new)
    with pytest.raises(kind) as caught:
        pipeline.load(small_inspection)
    assert caught.value.place.line == line
    assert caught.value.todo


def test_steel_that_grew_is_told_for_each_finding(small_inspection: Path) -> None:
    for size in ("size: 320 x 60 mm", "size: 100 x 80 mm"):
        rewrite(
            small_inspection, size, f"{size}\n    readings: [{{thickness: 4 mm, method: caliper, surface: bare}}]"
        )
    with pytest.raises(Several) as caught:
        pipeline.load(small_inspection)
    assert ["F1" in str(one) or "F2" in str(one) for one in caught.value.problems] == [True, True]


def test_an_inspection_without_its_photographs_folder(small_inspection: Path) -> None:
    """It has no photographs; only the findings name some that are gone."""
    shutil.rmtree(small_inspection / "photos")
    with pytest.raises(LinkError):
        raise pipeline_error(small_inspection)
    assert not (small_inspection / "photos").exists()
    assert pipeline.photos_folder(small_inspection, make=True).is_dir()
    shutil.rmtree(small_inspection / "photos")
    (small_inspection / "photos").write_text("x")
    with pytest.raises(FolderError, match=r'"photos" in ".*" is a file'):
        pipeline.load(small_inspection)


def pipeline_error(folder: Path) -> SoundmetalError:
    with pytest.raises(Several) as caught:
        pipeline.load(folder)
    return caught.value.problems[0]


def test_copies_are_made_once_and_progress_is_told(small_inspection: Path) -> None:
    loaded = pipeline.load(small_inspection)
    heard: list[tuple[int, int]] = []
    first = pipeline.album_of(loaded, lambda done, total: heard.append((done, total)))
    made = {photo.copy.path: photo.copy.path.stat().st_mtime_ns for photo in first.photos}
    assert heard == [(1, 2), (2, 2)]
    again = pipeline.album_of(pipeline.load(small_inspection))
    assert {photo.copy.path: photo.copy.path.stat().st_mtime_ns for photo in again.photos} == made
    assert all(path.is_relative_to(small_inspection / ".soundmetal") for path in made)


def test_copies_of_a_read_only_inspection_go_elsewhere(
    small_inspection: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> Path:
        raise WriteError("cannot make it")

    monkeypatch.setattr(store, "hidden", refuse)
    pictures = pipeline.album_of(pipeline.load(small_inspection))
    assert len(pictures.photos) == 2
    assert not any(photo.copy.path.is_relative_to(small_inspection) for photo in pictures.photos)


def test_working_out_is_a_pure_function_of_the_folder(small_inspection: Path) -> None:
    first, second = (
        pipeline.work_out(loaded, pipeline.album_of(loaded))
        for loaded in (pipeline.load(small_inspection), pipeline.load(small_inspection))
    )
    assert first == second
    assert set(first.scopes) == set(Aim)
    assert first.scope == first.scopes[Aim.SOUND]


def test_another_reader_changes_the_page_and_not_the_record(small_inspection: Path, fingerprint: Fingerprint) -> None:
    before = fingerprint(small_inspection)
    loaded = pipeline.load(small_inspection)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded))
    assert pipeline.for_reader(job) is job
    other = pipeline.for_reader(job, language="es", units="metric")
    assert (other.inspection.language, other.inspection.units) == ("es", Units.METRIC)
    assert (job.inspection.language, job.inspection.units) == ("en", Units.US)
    assert (other.grades, other.scopes) == (job.grades, job.scopes)
    assert other.inspection.findings == job.inspection.findings
    assert fingerprint(small_inspection) == before


@pytest.mark.parametrize(
    ("language", "units", "told"),
    [("xx", "", "There are: en, es"), ("ess", "", 'Did you mean "es"'), ("", "imperial", "There are: us, metric")],
)
def test_a_reader_that_nobody_can_write_for(language: str, units: str, told: str, small_inspection: Path) -> None:
    loaded = pipeline.load(small_inspection)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded))
    with pytest.raises(UsageError, match=told):
        pipeline.for_reader(job, language=language, units=units)


def test_targets(small_inspection: Path, tmp_path: Path) -> None:
    assert pipeline.targets(small_inspection, "report", None, html=False) == (small_inspection / "report.pdf", None)
    pdf, page = pipeline.targets(small_inspection, "scope", tmp_path / "a.pdf", html=True)
    assert (pdf, page) == (tmp_path / "a.pdf", tmp_path / "a.html")
    pdf.write_bytes(b"%PDF-1.7 old")
    tmp_path.joinpath("a.html").write_text("<!DOCTYPE html>")
    assert pipeline.targets(small_inspection, "scope", pdf, html=True) == (pdf, page)
    pdf.write_bytes(b"")  # as mktemp leaves it
    assert pipeline.targets(small_inspection, "scope", pdf, html=True) == (pdf, page)
    tmp_path.joinpath("a.html").write_text("Dear Ana")
    with pytest.raises(UsageError, match=r"a\.html.*not replaced"):
        pipeline.targets(small_inspection, "scope", pdf, html=True)
    with pytest.raises(UsageError, match="cannot be the PDF and the page"):
        pipeline.targets(small_inspection, "scope", tmp_path / "b.html", html=True)
    with pytest.raises(FolderError, match="is a folder"):
        pipeline.targets(small_inspection, "report", tmp_path, html=False)
    with pytest.raises(WriteError, match="no folder"):
        pipeline.targets(small_inspection, "report", tmp_path / "x" / "y.pdf", html=False)


def test_target_in_a_folder_that_cannot_be_written(small_inspection: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(WriteError, match="cannot be written to"):
        pipeline.targets(small_inspection, "report", None, html=False)


def test_a_zone_is_known_or_the_right_one_suggested(small_inspection: Path) -> None:
    pipeline.zone_known(small_inspection, "")
    pipeline.zone_known(small_inspection, "cowl.top")
    with pytest.raises(UnknownName, match=r'Did you mean "cowl\.top"'):
        pipeline.zone_known(small_inspection, "cowl.tip")


def test_photographs_are_taken_with_their_zone_and_never_twice(small_inspection: Path, tmp_path: Path) -> None:
    Image.new("RGB", (9, 9)).save(tmp_path / "a.png")
    done = pipeline.take_photographs(small_inspection, [tmp_path / "a.png"], "cowl.top", arrived=NOON)
    assert (done.added, done.already) == (("a.png",), ())
    again = pipeline.take_photographs(small_inspection, [tmp_path / "a.png"], "firewall", arrived=NOON)
    assert (again.added, again.already) == ((), ("a.png",))
    record = store.read(small_inspection)
    assert (record.inspection.photos["a.png"].zone, record.inspection.version) == ("firewall", 3)
    assert "# along the pinch weld" in record.text


def test_who_adds_at_the_same_time_waits_and_is_told_if_it_never_ends(
    small_inspection: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Image.new("RGB", (9, 9)).save(tmp_path / "a.png")
    monkeypatch.setattr(pipeline, "INTAKE_PATIENCE_S", 0.05)
    with FileLock(store.hidden(small_inspection) / "photos.lock"), pytest.raises(ChangedMeanwhile, match="adding"):
        pipeline.take_photographs(small_inspection, [tmp_path / "a.png"], arrived=NOON)
    assert not (small_inspection / "photos" / "arrived").exists()

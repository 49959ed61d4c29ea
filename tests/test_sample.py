"""The sample inspection: what it must hold as tutorial and demo, and the whole way through it, read by strangers."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from soundmetal import pipeline
from soundmetal.cli import app
from soundmetal.errors import Exit
from soundmetal.grade.models import Level
from soundmetal.photos.album import Album, album
from soundmetal.pipeline import Loaded
from soundmetal.record.terms import Gauge, RepairState
from soundmetal.repair.models import Method
from soundmetal.report.job import Job
from soundmetal.review import FINDINGS, review
from soundmetal.running import run as run_commands

Run = Callable[..., subprocess.CompletedProcess[str]]


@dataclass(frozen=True)
class Sample:
    """The sample, copied, read, worked out and written."""

    folder: Path
    loaded: Loaded
    album: Album
    job: Job

    @property
    def copies(self) -> Path:
        """Where the copies of its photographs lie."""
        return self.folder / ".soundmetal" / "copies"


@pytest.fixture(scope="module")
def sample(sample_inspection: Path, tmp_path_factory: pytest.TempPathFactory) -> Sample:
    folder = tmp_path_factory.mktemp("sample") / "sample_inspection"
    shutil.copytree(sample_inspection, folder, ignore=shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html"))
    for command in ("report", "scope"):
        assert run_commands(app, [command, str(folder), "--html"]) == Exit.OK
    loaded = pipeline.load(folder)
    pictures = pipeline.album_of(loaded)
    return Sample(folder, loaded, pictures, pipeline.work_out(loaded, pictures))


@pytest.fixture(scope="module")
def report_text(sample: Sample) -> str:
    return flat("\n".join(page.extract_text() for page in PdfReader(sample.folder / "report.pdf").pages))


@pytest.fixture(scope="module")
def scope_text(sample: Sample) -> str:
    return flat("\n".join(page.extract_text() for page in PdfReader(sample.folder / "scope.pdf").pages))


def flat(text: str) -> str:
    """Leave out what a page does to text: line ends, soft hyphens, capitals at the start."""
    return " ".join(text.replace("\xad", "").replace("\xa0", " ").split()).casefold()


# --- what it holds ----------------------------------------------------------------------------------------------


def test_photographs_are_enough_and_of_several_kinds(sample: Sample) -> None:
    assert len(sample.album.photos) >= 24
    assert {photo.kind for photo in sample.loaded.scan.photos} >= {"JPEG", "HEIC"}


def test_every_photograph_is_placed_or_left_out_on_purpose(sample: Sample) -> None:
    shown = sample.album
    assert (shown.refused, shown.unplaced, shown.unsure, shown.missing) == ((), (), (), ())
    assert shown.findings_without_photo == ()
    assert len(shown.left_out) == 2
    assert all(sample.loaded.inspection.photos[name].caption for name in shown.left_out)
    known = {zone.id for zone in sample.loaded.body.zones}
    assert {photo.placed.zone for photo in shown.photos} <= known


def test_tags_alone_place_photographs_in_every_way_and_never_wrongly(sample: Sample) -> None:
    record = sample.loaded.inspection
    bare = record.model_copy(update={"findings": (), "photos": {}})
    said = {photo.name: photo.placed.zone for photo in sample.album.photos}
    tagged = album(sample.loaded.scan, bare, sample.loaded.body, sample.copies).photos
    placed = {photo.name: photo.placed.zone for photo in tagged if photo.placed.zone}
    assert {photo.placed.by for photo in tagged if photo.placed.zone} >= {"keyword", "folder", "file name"}
    assert {name: said[name] for name in placed if name in said} == {n: z for n, z in placed.items() if n in said}
    assert placed["estribo derecho interior.jpg"] == "rocker.right.inner"


def test_findings_cover_the_places_that_matter(sample: Sample) -> None:
    zones = [finding.zone for finding in sample.loaded.inspection.findings]
    assert len(zones) >= 12
    for place in ("floor.", "toe_board.", "rocker.", "cab_corner.", "frame_rail.", "crossmember.", "cab_mount."):
        assert any(zone.startswith(place) for zone in zones), place
    assert any(zone.endswith(".inner") for zone in zones)


def test_every_method_is_taken_at_least_once_for_the_aim(sample: Sample) -> None:
    taken = {panel.choice.taken.method for panel in sample.job.scope.panels}
    assert taken == set(Method)


def test_every_level_is_there(sample: Sample) -> None:
    assert {graded.level for graded in sample.job.grades.findings} >= set(Level) - {Level.NOT_SEEN}
    assert any(zone.level is Level.NOT_SEEN for zone in sample.job.grades.zones)


def test_a_sound_earlier_repair_stays_and_a_bad_one_does_not(sample: Sample) -> None:
    repaired = {f.id: f.repair for f in sample.loaded.inspection.findings if f.repair}
    states = {repair.state: finding for finding, repair in repaired.items()}
    graded = sample.job.grades.by_id
    assert graded[states[RepairState.SOUND]].level is Level.SOUND
    assert graded[states[RepairState.HIDES_RUST]].level is Level.SPENT
    stays = graded[states[RepairState.SOUND]].zone_id
    methods = {panel.panel: panel.choice.taken.method for panel in sample.job.scope.panels}
    assert methods[stays] is Method.LEAVE


def test_something_unsafe_lies_near_a_mounting(sample: Sample) -> None:
    unsafe = [graded for graded in sample.job.grades.findings if graded.level is Level.UNSAFE]
    assert any(graded.near_mounting and graded.finding.mounting for graded in unsafe)


def test_a_zone_was_not_seen_and_is_not_called_sound(sample: Sample) -> None:
    hidden = {one.zone for one in sample.loaded.inspection.not_seen}
    assert hidden
    states = {zone.zone_id: zone.level for zone in sample.job.grades.zones}
    assert {states[zone] for zone in hidden} == {Level.NOT_SEEN}


def test_steel_was_read_by_caliper_and_by_ultrasonic(sample: Sample) -> None:
    methods = {reading.method for finding in sample.loaded.inspection.findings for reading in finding.readings}
    assert {Gauge.CALIPER, Gauge.ULTRASONIC} <= methods


# --- the whole way through --------------------------------------------------------------------------------------


def test_check_has_one_thing_to_teach(sample: Sample, soundmetal_here: Run) -> None:
    (duty,) = [remark for remark in review(sample.loaded, sample.album) if not remark.note]
    assert duty.about == FINDINGS
    assert "ultrasonic reading over paint or rust" in duty.what
    done = soundmetal_here("check", sample.folder)
    assert done.returncode == Exit.INCOMPLETE
    assert done.stdout.splitlines()[-1] == "To look at: 1."
    assert json.loads(soundmetal_here("check", sample.folder, "--json").stdout)[0]["where"] == duty.where


def test_explain_answers_for_every_finding(sample: Sample, soundmetal_here: Run) -> None:
    done = soundmetal_here("explain", "F5", sample.folder)  # as the README has it
    assert done.stdout.startswith("F5, Left front floor pan: unsafe\n")
    assert "by rule G1" in done.stdout


def test_the_report_tells_every_finding_its_place_and_its_note(sample: Sample, report_text: str) -> None:
    names = {zone.id: zone.name("en") for zone in sample.loaded.body.zones}
    for finding in sample.loaded.inspection.findings:
        assert flat(names[finding.zone]) in report_text, finding.id
        assert flat(finding.note) in report_text, finding.id
    for hidden in sample.loaded.inspection.not_seen:
        assert flat(names[hidden.zone]) in report_text, hidden.zone


def test_the_report_leaves_no_zone_unlisted(sample: Sample, report_text: str) -> None:
    assert [zone.id for zone in sample.loaded.body.zones if flat(zone.name("en")) not in report_text] == []


def test_the_first_page_has_the_car_the_price_and_what_touches_safety(sample: Sample) -> None:
    first = flat(PdfReader(sample.folder / "report.pdf").pages[0].extract_text())
    record = sample.loaded.inspection
    assert flat(f"{record.vehicle.year} {record.vehicle.make} {record.vehicle.model}") in first
    assert flat(sample.job.shop.shop.name) in first
    assert "$" in first
    assert "hours" in first
    assert "unsafe" in first


def test_the_scope_tells_every_panel_that_is_worked_on(sample: Sample, scope_text: str) -> None:
    names = {zone.id: zone.name("en") for zone in sample.loaded.body.zones}
    worked = [panel.panel for panel in sample.job.scope.panels if panel.operations]
    assert len(worked) >= 12
    assert [panel for panel in worked if flat(names[panel]) not in scope_text] == []


@pytest.mark.parametrize("name", ["report", "scope"])
def test_poppler_reads_a_tagged_paper_with_fonts_in_it(name: str, sample: Sample) -> None:
    path = sample.folder / f"{name}.pdf"
    facts = dict(line.split(":", 1) for line in poppler("pdfinfo", path).splitlines() if ":" in line)
    assert facts["Tagged"].strip() == "yes"
    assert facts["JavaScript"].strip() == "no"
    assert int(facts["Pages"]) >= 3
    assert "Packhorse" in facts["Title"]
    fonts = [line.split() for line in poppler("pdffonts", path).splitlines()[2:]]
    assert fonts
    assert all(line[-5] == "yes" for line in fonts), fonts  # the column "emb"
    assert "packhorse" in poppler("pdftotext", path, "-").casefold()


@pytest.mark.parametrize("name", ["report", "scope"])
def test_pictures_carry_nothing_of_their_origin(name: str, sample: Sample, tmp_path: Path) -> None:
    raw = (sample.folder / f"{name}.pdf").read_bytes()
    page = (sample.folder / f"{name}.html").read_text(encoding="utf-8")
    for photo in sample.loaded.scan.photos:
        assert Path(photo.name).name not in page, photo.name
    assert b"Exif\0\0" not in raw
    assert str(sample.folder).encode() not in raw
    subprocess.run(["pdfimages", "-j", str(sample.folder / f"{name}.pdf"), str(tmp_path / "x")], check=True)
    pictures = sorted(tmp_path.glob("x*.jpg"))
    assert len(pictures) >= 10
    for path in pictures:
        with Image.open(path) as picture:
            assert not picture.getexif(), path.name
            assert "exif" not in picture.info
            assert "xmp" not in picture.info


def test_the_same_bytes_the_next_time_from_another_process(sample: Sample, soundmetal_command: Run) -> None:
    first = (sample.folder / "report.pdf").read_bytes()
    target = sample.folder.parent / "again.pdf"
    done = soundmetal_command("report", "sample_inspection", "-o", target, cwd=sample.folder.parent, TZ="Asia/Tokyo")
    assert (done.returncode, done.stderr) == (0, "")
    assert target.read_bytes() == first


def test_writing_pages_leaves_the_record_and_the_photographs_alone(
    sample: Sample, sample_inspection: Path, fingerprint: Callable[[Path], dict[str, str]]
) -> None:
    assert fingerprint(sample.folder) == fingerprint(sample_inspection)


def poppler(*command: str | Path) -> str:
    return subprocess.run([str(part) for part in command], capture_output=True, text=True, check=True).stdout

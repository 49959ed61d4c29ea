"""A folder made again from the PDF that a customer was sent: it checks, reports, and tells the same."""

from __future__ import annotations

import hashlib
import io
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from small import write_small_inspection

from soundmetal import pipeline
from soundmetal.cli import main
from soundmetal.errors import FolderError, RecordError
from soundmetal.folder import store
from soundmetal.folder.carried import Carry, open_report
from soundmetal.folder.restore import restore
from soundmetal.record.terms import Reply
from soundmetal.report.carried import told_by
from soundmetal.report.job import Job
from soundmetal.report.publish import write_pdf_of
from soundmetal.restoring import bring_back

SHOP = "shop: {name: Millrace Metalworks}\nrates: {metal: 118.00, strip: 71.00, trim: 64.00}\n"
MORE = """\
  - id: F3
    zone: frame_rail.left.rear
    seen: pitted
    size: 4 1/2 in x 40 mm
    readings: [{thickness: 1.1 mm, method: ultrasonic, surface: cleaned, note: "by the hanger"}]
    note: "<script>alert(1)</script> & the \\"tail\\""
photos:
  spare.jpg: {zone: cowl.top, caption: "nobody's finding"}
spent: {F1: {cut: 2.5}}
"""


def job_of(folder: Path) -> Job:
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


@pytest.fixture(scope="module")
def original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with findings, photographs (one on no page), a note with markup, hours spent and a shop book."""
    folder = write_small_inspection(tmp_path_factory.mktemp("original"))
    spare = (folder / "photos" / "floor left front.jpg").read_bytes()
    (folder / "photos" / "spare.jpg").write_bytes(spare + b"\0")
    (folder / "shop.yaml").write_text(SHOP, encoding="utf-8")
    record = folder / "inspection.yaml"
    operation = sorted(pipeline.load(folder).shop.operations)[0]
    text = record.read_text(encoding="utf-8").replace("photos: {}\n", MORE.replace("cut:", f"{operation}:"))
    record.write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def pdfs(original: Path) -> dict[Carry, Path]:
    job = job_of(original)
    return {how: write_pdf_of("report", job, original / f"{how.value}.pdf", how) for how in Carry}


def told(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as ended:
        main([str(one) for one in arguments])
    said = capsys.readouterr()
    return int(ended.value.code or 0), said.out, said.err


@pytest.mark.parametrize("how", [Carry.NEUTRAL, Carry.WHOLE])
def test_it_tells_the_same_with_the_same_shop_book(
    original: Path, pdfs: dict[Carry, Path], how: Carry, tmp_path: Path
) -> None:
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    brought = bring_back(tmp_path / "again", pdfs[how])
    assert brought.differs == ()
    before, after = job_of(original), job_of(tmp_path / "again")
    assert told_by(after) == told_by(before)
    for one, other in zip(before.inspection.findings, after.inspection.findings, strict=True):
        assert other.model_copy(update={"photos": ()}) == one.model_copy(update={"photos": ()})
        assert [use.caption for use in other.photos] == [use.caption for use in one.photos]
    same = {"photos", "findings", "owner", "spent", "version"}
    left = before.inspection.model_dump(exclude=same)
    assert after.inspection.model_dump(exclude=same) == left
    assert after.scopes[after.inspection.aim].total.lines == before.scopes[before.inspection.aim].total.lines
    assert after.grades.zones == before.grades.zones


def test_check_and_report_take_it(
    pdfs: dict[Carry, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = told(capsys, "start", tmp_path / "again", "--from-pdf", pdfs[Carry.NEUTRAL])
    assert code == 20  # the rates here are the defaults
    assert f"wrote {tmp_path / 'again' / 'inspection.yaml'}" in out
    assert "wrote 2 copies of photographs" in out
    assert "not brought back: The shop book" in err
    assert "not brought back: One photograph stood on no page" in err
    assert "not brought back: 2 photographs came back as the report's small copy" in err
    assert "not as in the PDF: Price for the aim sound: the PDF says" in err
    code, out, _ = told(capsys, "check", tmp_path / "again")
    assert code in (0, 20)
    assert "F3" in out
    code, _, err = told(capsys, "report", tmp_path / "again")
    assert (code, err) == (0, "")
    page = subprocess.run(
        ["pdftotext", tmp_path / "again" / "report.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    assert '<script>alert(1)</script> & the "tail"' in page


def test_a_report_of_a_report_carries_the_same(pdfs: dict[Carry, Path], tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    bring_back(tmp_path / "1", pdfs[Carry.NEUTRAL])
    first = write_pdf_of("report", job_of(tmp_path / "1"), tmp_path / "1.pdf")
    brought = bring_back(tmp_path / "2", first)
    assert brought.differs == ()
    assert open_report(first).carried.told == open_report(pdfs[Carry.NEUTRAL]).carried.told
    copies = [
        sorted(hashlib.sha256(p.read_bytes()).hexdigest() for p in (tmp_path / n / "photos").glob("*.jpg"))
        for n in "12"
    ]
    assert len(copies[0]) == len(copies[1]) == 2


def test_copies_are_named_as_copies_and_are_the_pictures_of_the_pages(
    pdfs: dict[Carry, Path], tmp_path: Path
) -> None:
    restored = restore(tmp_path / "again", open_report(pdfs[Carry.WHOLE]))
    photos = tmp_path / "again" / "photos"
    assert sorted(path.name for path in photos.iterdir()) == ["report-copy-001.jpg", "report-copy-002.jpg"]
    opened = open_report(pdfs[Carry.WHOLE])
    assert {path.read_bytes() for path in photos.iterdir()} == set(opened.pictures.values())
    assert restored.written[-1].name == "inspection.yaml"
    record = store.read(tmp_path / "again").inspection
    assert [use.file for use in record.findings[0].photos] == ["report-copy-002.jpg"]
    assert {name: note.zone for name, note in record.photos.items()} == {
        "report-copy-001.jpg": "floor.left.front",
        "report-copy-002.jpg": "rocker.left.outer",
    }


def test_whole_brings_comments_and_hours_back(pdfs: dict[Carry, Path], tmp_path: Path) -> None:
    bring_back(tmp_path / "again", pdfs[Carry.WHOLE])
    text = (tmp_path / "again" / "inspection.yaml").read_text(encoding="utf-8")
    assert "# along the pinch weld" in text
    assert "# A made-up pickup, looked at in a hurry." in text
    assert store.read(tmp_path / "again").inspection.spent["F1"]
    assert "comments" not in " ".join(bring_back(tmp_path / "two", pdfs[Carry.WHOLE]).lost)


def test_the_record_says_first_what_did_not_come_back(pdfs: dict[Carry, Path], tmp_path: Path) -> None:
    lost = bring_back(tmp_path / "again", pdfs[Carry.NEUTRAL]).lost
    lines = (tmp_path / "again" / "inspection.yaml").read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("# Brought back from the PDF")
    assert lines[1 : len(lost) + 1] == [f"# - {line}" for line in lost]
    assert len(lost) == 5


def test_answers_come_back_without_the_forms_that_said_them(original: Path, tmp_path: Path) -> None:
    folder = shutil.copytree(original, tmp_path / "answered")
    with (folder / "inspection.yaml").open("a", encoding="utf-8") as record:
        record.write('answers: {F1: {reply: "no"}}\n')
    brought = bring_back(tmp_path / "again", write_pdf_of("report", job_of(folder), tmp_path / "answered.pdf"))
    assert store.read(tmp_path / "again").inspection.answers["F1"].reply is Reply.NO
    assert any("states that were sent" in line for line in brought.lost)


def test_nothing_is_overwritten(pdfs: dict[Carry, Path], original: Path, tmp_path: Path) -> None:
    opened = open_report(pdfs[Carry.NEUTRAL])
    with pytest.raises(FolderError, match="holds an inspection already"):
        restore(original, opened)
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "mine.jpg").write_bytes(b"mine")
    with pytest.raises(FolderError, match="holds photographs already"):
        restore(tmp_path, opened)
    (tmp_path / "file").write_bytes(b"mine")
    with pytest.raises(FolderError, match="is a file"):
        restore(tmp_path / "file", opened)
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["file", "mine.jpg", "photos"]


def test_an_empty_folder_with_the_shops_own_book_is_taken(pdfs: dict[Carry, Path], tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    assert bring_back(tmp_path, pdfs[Carry.NEUTRAL]).differs == ()
    assert (tmp_path / "shop.yaml").read_text(encoding="utf-8") == SHOP


def test_a_pdf_that_carries_nothing_says_so(
    pdfs: dict[Carry, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(RecordError, match="carries no inspection"):
        bring_back(tmp_path / "again", pdfs[Carry.NOTHING])
    assert not (tmp_path / "again").exists()
    code, out, err = told(capsys, "start", tmp_path / "again", "--from-pdf", pdfs[Carry.NOTHING])
    assert (code, out, err.count("\n")) == (4, "", 1)
    code, _, err = told(capsys, "start", tmp_path / "again", "--from-pdf", tmp_path / "none.pdf")
    assert (code, err.count("\n")) == (3, 1)


def test_body_is_asked_for_without_a_pdf_and_not_beside_one(
    pdfs: dict[Carry, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = told(capsys, "start", tmp_path / "again")
    assert (code, "--body pickup" in err) == (2, True)
    code, _, err = told(capsys, "start", tmp_path / "again", "--body", "pickup", "--from-pdf", pdfs[Carry.NEUTRAL])
    assert (code, "knows body and structure" in err) == (2, True)
    assert not (tmp_path / "again").exists()


def test_a_restored_copy_tells_nothing_but_its_pixels(pdfs: dict[Carry, Path]) -> None:
    pictures: Any = open_report(pdfs[Carry.WHOLE]).pictures.values()
    for data in pictures:
        with Image.open(io.BytesIO(data)) as image:
            assert dict(image.getexif()) == {}

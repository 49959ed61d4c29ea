"""The customer's PDF carries the inspection, and no more of it than its owner may have."""

from __future__ import annotations

import dataclasses
import io
import json
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter

from soundmetal.data import read_yaml
from soundmetal.errors import UsageError
from soundmetal.folder import yaml_text
from soundmetal.folder.carried import open_report, photograph_names, read_carried, with_names
from soundmetal.folder.store import from_text
from soundmetal.record.models import Inspection
from soundmetal.record.terms import Aim
from soundmetal.report.carried import FILE, Carried, Carry, carried_bytes, carry_known
from soundmetal.report.html import customer_html
from soundmetal.report.job import Job
from soundmetal.report.publish import pdf_of, write_pdf_of

#: What stands in the record below and must not leave the shop unless it asks for that.
PRIVATE = ("Zqx", "555 0199", "ana@example.invalid")
RECORD = """\
# Zqxcomment: pays late
soundmetal: 1
vehicle: {year: 1964, make: Larkspur, model: Drover, body: pickup, structure: frame}
owner: {name: "Inés Peña", phone: "555 0199", email: "ana@example.invalid"}
shop: Zqxshop.yaml
date: 2026-11-18
basis: lift
zones:
  cowl.top: {look: rust, note: "Zqxzone"}
findings:
  - id: F01
    zone: rocker.left.outer
    seen: holed
    size: 4 1/2 in x 80 mm
    photos: [{file: rocker left.jpg, caption: "as it stands"}]
    note: "yes"
photos:
  floor.jpg: {zone: floor.left.front, caption: "Zqxcaption"}
  rocker left.jpg: {zone: rocker.left.outer}
spent:
  F01: {Zqxoperation: 3.5}
"""


@pytest.fixture
def written(job_with: Callable[..., Job], tmp_path: Path) -> Job:
    """A job of a record that was read from a file with comments and private parts in it."""
    stored = from_text(tmp_path, tmp_path / "inspection.yaml", RECORD)
    changes = stored.inspection.model_dump(mode="json", by_alias=True)
    job = job_with(**changes)
    return dataclasses.replace(job, inspection=stored.inspection, stored=stored)


def carried(job: Job, how: Carry = Carry.NEUTRAL) -> Carried:
    return Carried.model_validate_json(carried_bytes(job, how))


def test_the_pdf_holds_what_was_carried_and_another_reader_finds_it(job: Job, tmp_path: Path) -> None:
    path = write_pdf_of("report", job, tmp_path / "r.pdf")
    attached = PdfReader(path).attachments
    assert attached[FILE] == [carried_bytes(job)]
    assert read_carried(path) == carried(job)


def test_the_pictures_on_the_pages_come_out_as_they_went_in(job: Job, tmp_path: Path) -> None:
    opened = open_report(write_pdf_of("report", job, tmp_path / "r.pdf"))
    shown = {use.file for finding in job.inspection.findings for use in finding.photos}
    copies = {photo.copy.path.read_bytes() for photo in job.album.photos if photo.name in shown}
    assert set(opened.pictures.values()) == copies
    listed = {photo.copy_sha256 for photo in opened.carried.photographs} - {None}
    assert listed == set(opened.pictures)
    assert len(listed) >= 3


def test_same_job_same_bytes(job: Job) -> None:
    assert carried_bytes(job) == carried_bytes(job)
    assert pdf_of("report", job) == pdf_of("report", job)


def test_neutral_leaves_out_what_no_page_tells(written: Job) -> None:
    data = carried_bytes(written)
    for secret in (*PRIVATE, "rocker left.jpg", "floor.jpg"):
        assert secret.encode() not in data
    it = carried(written)
    assert it.record["owner"] == {"name": "Inés Peña"}
    assert it.record["findings"][0]["note"] == "yes"
    assert "spent" not in it.record
    assert "shop" not in it.record
    assert it.record["findings"][0]["photos"] == [{"file": "photograph-005", "caption": "as it stands"}]
    assert len(it.left_out) == 5


def test_no_figure_of_the_shops_is_carried(written: Job) -> None:
    """The only money in it is what the pages show, and no finer than they show it."""
    data = json.loads(carried_bytes(written))
    assert set(data) == {
        "soundmetal_carried", "how", "program", "shop", "left_out", "text", "record", "photographs", "told",
    }  # fmt: skip
    assert data["shop"] == "Millrace Metalworks"
    step = written.shop.policies.round_to
    assert step >= 1
    for prices in data["told"]["prices"].values():
        assert all(Decimal(price) % step == 0 for price in prices)
    rates = written.shop.rates
    assert not {str(rates.metal), str(rates.strip), str(rates.trim)} & set(data["text"].split())


def test_whole_keeps_everything_word_for_word(written: Job) -> None:
    it = carried(written, Carry.WHOLE)
    assert it.text == RECORD
    assert Inspection.model_validate(it.record) == written.inspection
    assert "rocker left.jpg" in {photo.name for photo in it.photographs}


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("en", "This PDF also carries the inspection as data. Keep it, and the inspection can be worked on again"),
        ("es", "Este PDF también lleva la inspección como datos. Guárdelo: con este solo archivo se puede retomar"),
    ],
)
def test_the_last_page_says_what_the_file_carries_and_only_then(job_with, code: str, told: str) -> None:
    job = job_with(language=code)

    def last(how: Carry) -> str:
        page = PdfReader(io.BytesIO(pdf_of("report", job, how))).pages[-1]
        return " ".join(page.extract_text().replace("\xa0", " ").split())

    assert told in last(Carry.NEUTRAL)
    assert told not in last(Carry.NOTHING)
    assert told.split(".")[0] not in customer_html(job)


def test_nothing_is_carried_where_that_is_asked(job: Job) -> None:
    assert PdfReader(io.BytesIO(pdf_of("report", job, Carry.NOTHING))).attachments == {}
    with pytest.raises(UsageError, match="Did you mean"):
        carry_known("neutrl")
    assert carry_known("whole") is Carry.WHOLE


def test_a_reader_of_another_language_carries_the_record_as_it_is(written: Job) -> None:
    other = written.inspection.model_copy(update={"language": "es"})
    assert carried(dataclasses.replace(written, inspection=other)).record == carried(written).record


def test_a_job_that_tells_of_something_else_than_its_file_carries_what_it_tells(written: Job) -> None:
    other = written.inspection.model_copy(update={"aim": Aim.FACTORY})
    assert carried(dataclasses.replace(written, inspection=other)).record["aim"] == "factory"


def test_lengths_stay_as_they_were_written(written: Job) -> None:
    it = carried(written)
    assert it.record["findings"][0]["size"] == "4 1/2 in x 80 mm"
    assert "4 1/2 in x 80 mm" in it.text


def test_names_are_changed_everywhere_and_the_unknown_taken_out() -> None:
    tree = yaml_text.parse(RECORD, Path("inspection.yaml"))
    assert photograph_names(tree) == {"floor.jpg", "rocker left.jpg"}
    with_names(tree, {"rocker left.jpg": "1.jpg"})
    assert photograph_names(tree) == {"1.jpg"}
    with_names(tree, {})
    assert photograph_names(tree) == set()
    assert "# Zqxcomment" in yaml_text.dump(tree)


#: Words that a careless writer of YAML hands on as something else than text.
TRAPS = ["yes", "null", "0o17", "1e3", "2026-11-18", "'", '"\\', "# no", "- a", "a: b", "&x", "*x", "!!int 3", "~"]
TRAPS += ["\u2028", "e\u0301", "<script>", "%", "@", "`", "=", "<<", "{", "0x10", "1_000", "12:30:45"]
WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Cn")), max_size=60) | st.sampled_from(TRAPS)
SIZES = st.builds("{} x {} {}".format, st.integers(1, 900), st.sampled_from(["7", "1 3/8", "0.4"]), st.just("mm"))
FINDINGS = st.builds(
    lambda number, zone, seen, size, note, share: {
        "id": f"F{number}",
        "zone": zone,
        "seen": seen,
        "size": size,
        "note": note,
        "rusted_share": share,
    },
    st.integers(1, 999),
    st.sampled_from(["rocker.left.outer", "floor.left.front", "cowl.top"]),
    st.sampled_from(["surface", "scale", "pitted", "holed", "gone"]),
    SIZES,
    WORDS,
    st.none() | st.floats(0, 100),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
@given(findings=st.lists(FINDINGS, max_size=4, unique_by=lambda one: one["id"]), owner=WORDS, colour=WORDS)
def test_any_record_comes_out_as_it_went_in(job: Job, findings: list[Any], owner: str, colour: str) -> None:
    """Law: what is written into the PDF is read from it, letter for letter, by the reader of records."""
    record = {
        "soundmetal": 1,
        "vehicle": {"body": "pickup", "structure": "frame", "colour": colour},
        "owner": {"name": owner},
        "date": "2026-11-18",
        "basis": "lift",
        "findings": findings,
    }
    inspection = Inspection.model_validate(record)
    grades = dataclasses.replace(job.grades, findings=())
    data = carried_bytes(dataclasses.replace(job, inspection=inspection, grades=grades))
    it = Carried.model_validate_json(data)
    path = Path("inspection.yaml")
    assert from_text(path, path, it.text).inspection == inspection
    assert Inspection.model_validate(it.record) == inspection
    assert yaml.safe_load(it.text)["vehicle"]["colour"] == inspection.vehicle.colour


def test_a_report_that_was_filled_in_and_saved_again_still_carries_it(job: Job, tmp_path: Path) -> None:
    """Saved anew, and saved as a change at the end of the file (ISO 32000-2, 7.5.6), by another program."""
    path = write_pdf_of("report", job, tmp_path / "r.pdf")
    for incremental in (False, True):
        writer = PdfWriter(path, incremental=True) if incremental else PdfWriter(clone_from=path)
        writer.add_metadata({"/Title": "renamed"})
        again = tmp_path / f"again {incremental}.pdf"
        writer.write(again)
        assert open_report(again) == open_report(path)


def test_the_shop_book_has_a_step_to_round_to() -> None:
    assert Decimal(str(read_yaml("shop_book.yaml")["policies"]["round_to"])) >= 1

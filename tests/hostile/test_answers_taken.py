"""What an answer file may be without doing harm: prices in it never matter, and damage is refused or changes nothing.

And what is no file at all, or one too large to look at.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import os
import resource
import shutil
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from odd_answers import answer_file, refused
from pypdf import PdfWriter
from pypdf.generic import DecodedStreamObject, DictionaryObject, NameObject, TextStringObject

from soundmetal import answering, pipeline
from soundmetal.errors import AnswerError, Exit
from soundmetal.folder import store
from soundmetal.folder.states import states
from soundmetal.record.terms import Aim, Reply
from soundmetal.report.form import read_form

LATER = dt.date(2026, 11, 25)
MEMORY_BYTES = 1_500_000_000


def saved(writer: PdfWriter) -> bytes:
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


def dearer(data: bytes) -> bytes:
    """Every page says another price: drawn over what stands there."""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    for page in writer.pages:
        stream = DecodedStreamObject()
        stream.set_data(b"BT (All work: 1.00 dollar, deposit 0.00) Tj ET")
        page[NameObject("/Contents")] = writer._add_object(stream)
    return saved(writer)


def carrying_other_prices(data: bytes) -> bytes:
    """The inspection inside says that the work is for nothing."""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    spec = writer.root_object["/AF"][0].get_object()  # type: ignore[index]
    stream = spec["/EF"]["/F"].get_object()
    inside = json.loads(stream.get_data())
    inside["told"]["prices"] = {aim: ["0", "0", "0"] for aim in inside["told"]["prices"]}
    stream.set_data(json.dumps(inside).encode())
    return saved(writer)


def with_price_fields(data: bytes) -> bytes:
    """Fields of others say a price."""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    fields = writer.root_object["/AcroForm"]["/Fields"]  # type: ignore[index]
    for name in ("price", "total.price", "sm-price", "sm-price-F1", "deposit"):
        field = {"/FT": NameObject("/Tx"), "/T": TextStringObject(name), "/V": TextStringObject("1.00")}
        fields.append(writer._add_object(DictionaryObject({NameObject(k): v for k, v in field.items()})))
    return saved(writer)


PRICES: dict[str, Callable[[bytes], bytes]] = {
    "on the pages": dearer,
    "in the inspection inside": carrying_other_prices,
    "in fields of others": with_price_fields,
    "everywhere": lambda data: with_price_fields(carrying_other_prices(dearer(data))),
}


def answered(sent: Path, home: Path, data: bytes) -> tuple[Path, dict[str, object]]:
    """Have a file taken by a copy of the inspection; give the copy, and all that is told of the scope afterwards."""
    folder = Path(shutil.copytree(sent, home / "car"))
    (home / "back.pdf").write_bytes(data)
    answering.take_form(folder, home / "back.pdf", LATER)
    loaded = pipeline.load(folder)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded), heed=True)
    return folder, {"price": job.scope.total.price, "hours": job.scope.total.hours, "declined": job.scope.declined}


@pytest.mark.parametrize("where", PRICES)
def test_prices_in_the_file_never_matter(where: str, sent: Path, back: bytes, tmp_path: Path) -> None:
    data = PRICES[where](back)
    assert data != back
    plain, told = answered(sent, tmp_path / "plain", back)
    folder, told_too = answered(sent, tmp_path / "odd", data)
    assert told_too == told
    assert (folder / "inspection.yaml").read_bytes() == (plain / "inspection.yaml").read_bytes()
    (state,), (before,) = states(folder), states(sent)
    assert state.offer == before.offer
    assert (state.folder / "report.pdf").read_bytes() == (sent / "report.pdf").read_bytes()
    assert (state.mark.returned[0].replies, state.mark.returned[0].aim) == (
        {"F1": Reply.YES, "F2": Reply.NO},
        Aim.FACTORY,
    )


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(where=st.floats(0, 1), how=st.sampled_from(["cut", "flip", "insert", "zero"]), value=st.integers(1, 255))
def test_damage_anywhere_is_refused_or_changes_no_answer(back: bytes, where: float, how: str, value: int) -> None:
    """Cut, flipped, grown or wiped at any place: a reason in one line, what the owner said, or less of it."""
    data, at = bytearray(back), int(where * (len(back) - 1))
    if how == "cut":
        del data[at:]
    elif how == "flip":
        data[at] ^= value
    elif how == "insert":
        data[at:at] = bytes((value,))
    else:
        data[at : at + 200] = bytes(200)
    with contextlib.suppress(AnswerError):
        said = read_form(bytes(data))
        assert said.replies.items() <= {"F1": Reply.YES, "F2": Reply.NO}.items()
        assert said.aim in (Aim.FACTORY, None)


@settings(max_examples=150, deadline=None)
@given(st.text("<>[]()/ 0123456789RTVFASKidsOptBtnOf\\#%\n", max_size=200))
def test_any_form_at_all_is_read_or_refused(text: str) -> None:
    for data in (answer_file(text), answer_file(form=text), answer_file(root=text)):
        with pytest.raises(AnswerError):  # none of these can be a form of ours
            read_form(data)


@pytest.mark.parametrize("kind", ["folder", "pipe", "device", "missing", "broken link", "link to itself"])
def test_what_is_no_file_is_refused(
    kind: str, sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "back.pdf"
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind != "missing":
        path.symlink_to({"device": Path("/dev/zero"), "broken link": tmp_path / "no"}.get(kind, path))
    refused(sent, path, '"back.pdf"', capsys, code=Exit.FOLDER if kind == "folder" else Exit.ANSWER)


def test_a_file_of_200_mb_is_not_even_read(sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "back.pdf"
    with path.open("wb") as stream:
        stream.write(b"%PDF-1.7\n")
        stream.truncate(200_000_000)
    began = time.process_time()
    refused(sent, path, "is larger than 64 MB: no report of ours", capsys)
    assert time.process_time() - began < 1


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))


@pytest.mark.parametrize(
    "data",
    [
        answer_file("%x\n" * 8_000_000),
        answer_file("[" + "[]" * 5_000_000 + "]"),
        answer_file("10 0 R", more=(b"<< /T <" + b"41" * 29_000_000 + b"> >>",)),
    ],
    ids=["remarks", "lists", "a name"],
)
def test_the_largest_files_are_refused_in_little_memory(
    data: bytes, sent: Path, tmp_path: Path, soundmetal_command: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    path = tmp_path / "back.pdf"
    path.write_bytes(data)
    done = soundmetal_command("answers", sent, path, before=_limited)
    assert done.returncode == Exit.ANSWER, done.stderr
    assert done.stderr.count("\n") == 1


def test_the_same_answers_packed_otherwise_are_taken_again_without_harm(
    sent: Path, back: bytes, tmp_path: Path
) -> None:
    """A form that two programs saved says the same: the record says it once, and both files are kept."""
    folder, _ = answered(sent, tmp_path, back)
    record = (folder / "inspection.yaml").read_text("utf-8")
    writer = PdfWriter(clone_from=io.BytesIO(back))
    (tmp_path / "again.pdf").write_bytes(saved(writer) + b"\n")
    answering.take_form(folder, tmp_path / "again.pdf", LATER)
    assert {n: a.reply for n, a in store.read(folder).inspection.answers.items()} == {"F1": Reply.YES, "F2": Reply.NO}
    assert [one.replies for one in states(folder)[0].mark.returned] == [{"F1": Reply.YES, "F2": Reply.NO}] * 2
    assert record.count("F1:") == (folder / "inspection.yaml").read_text("utf-8").count("F1:")

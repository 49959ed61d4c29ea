"""Somebody saves while a report is made, and two people send at once: whole papers, whole states, or a refusal."""

from __future__ import annotations

import datetime as dt
import io
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from commanding import Run, environment, lines_of, pdf_text
from pypdf import PdfReader
from small import write_small_inspection

from soundmetal import answering, pipeline
from soundmetal.errors import ChangedMeanwhile, Exit
from soundmetal.folder import store
from soundmetal.folder.states import OFFER, REPORT, states
from soundmetal.folder.store import RECORD, Change
from soundmetal.record.terms import Reply
from soundmetal.report import publish
from soundmetal.report.carried import read_carried

DAY, LATER = dt.date(2026, 11, 20), dt.date(2026, 11, 25)
#: Where the other one saves, from soon after the record was read to the moment before the file is written.
MOMENTS = (
    (pipeline, "album_of"),
    (pipeline, "work_out"),
    (publish, "carried_bytes"),
    (publish, "pdf_bytes"),
)


def edit(folder: Path) -> None:
    """Save other words, another size and one finding less, all at once as an editor does."""
    text = (folder / RECORD).read_text(encoding="utf-8")
    text = text.replace("Ana Quiroga", "Somebody Else").replace("320 x 60 mm", "640 x 90 mm")
    (folder / RECORD).write_text(text.replace("seen: surface", "seen: pitted"), encoding="utf-8")


def at(moment: tuple[Any, str], do: Callable[[], None], monkeypatch: pytest.MonkeyPatch) -> None:
    """Let somebody do something once, just before the program goes on with one of its steps."""
    module, name = moment
    go_on, left = getattr(module, name), [do]

    def step(*arguments: Any, **named: Any) -> Any:
        if left:
            left.pop()()
        return go_on(*arguments, **named)

    monkeypatch.setattr(module, name, step)


def report_of(folder: Path) -> bytes:
    loaded = pipeline.load(folder)
    return publish.pdf_of("report", pipeline.work_out(loaded, pipeline.album_of(loaded)))


@pytest.fixture(scope="module")
def old_report(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The report of the small inspection, the same wherever the folder lies."""
    return report_of(write_small_inspection(tmp_path_factory.mktemp("undisturbed")))


@pytest.mark.parametrize("moment", MOMENTS, ids=lambda moment: moment[1])
def test_a_record_saved_while_a_report_is_made_is_not_half_in_it(
    moment: tuple[Any, str], small_inspection: Path, old_report: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pages, form and carried data are of the record as it was read, to the byte."""
    at(moment, lambda: edit(small_inspection), monkeypatch)
    assert report_of(small_inspection) == old_report
    assert store.read(small_inspection).inspection.owner.name == "Somebody Else"


def test_the_report_after_that_is_all_of_the_new_record(small_inspection: Path, old_report: bytes) -> None:
    edit(small_inspection)
    path = small_inspection / "report.pdf"
    path.write_bytes(report_of(small_inspection))
    carried = read_carried(path).text
    assert all(word in carried for word in ("Somebody Else", "640 x 90 mm", "pitted"))
    assert "Somebody Else" in pdf_text(path)
    assert path.read_bytes() != old_report


@pytest.mark.parametrize("moment", [MOMENTS[0], MOMENTS[-1]], ids=lambda moment: moment[1])
def test_a_record_saved_while_it_is_sent_is_not_frozen(
    moment: tuple[Any, str], small_inspection: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.change(small_inspection, [Change(("id",), "q7w8e9r0")])
    at(moment, lambda: edit(small_inspection), monkeypatch)
    with pytest.raises(ChangedMeanwhile, match="saved the record meanwhile"):
        answering.send(small_inspection, DAY, "zzzzzzzz")
    assert states(small_inspection) == ()
    assert not (small_inspection / "report.pdf").exists()
    assert not list((small_inspection).glob("states/.*"))


def test_an_amendment_saved_over_while_it_is_sent_leaves_the_answered_state(
    small_inspection: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answering.send(small_inspection, DAY, "q7w8e9r0")
    answering.take_words(small_inspection, {"F1": Reply.YES, "F2": Reply.YES}, None, DAY)
    (before,) = states(small_inspection)
    store.change(small_inspection, [Change(("findings", "F1", "size"), "500 x 60 mm")])
    at((publish, "pdf_bytes"), lambda: edit(small_inspection), monkeypatch)
    with pytest.raises(ChangedMeanwhile):
        answering.send(small_inspection, LATER, "zzzzzzzz")
    assert states(small_inspection) == (before,)
    monkeypatch.undo()
    sent = answering.send(small_inspection, LATER, "zzzzzzzz")
    assert sent.state.number == 2
    assert {name: one.level for name, one in sent.state.offer.findings.items()}["F2"] == "thinned"


def whole(folder: Path) -> list[int]:
    """Give the numbers of the states, every file of each held against its fingerprint and against the others."""
    found = states(folder)
    for state in found:
        assert sorted(path.name for path in state.folder.iterdir()) == [RECORD, OFFER, REPORT, "state.yaml"]
        report = (state.folder / REPORT).read_bytes()
        fields = PdfReader(io.BytesIO(report)).get_fields() or {}
        assert {name.split("-")[2] for name in fields} == {state.offer.digest[:16]}
        assert state.record.id == state.offer.inspection
    assert not [path for path in (folder / "states").iterdir() if path.name.startswith(".")]
    return [state.number for state in found]


def test_two_who_send_the_same_at_once_make_one_state(soundmetal_command: Run, small_inspection: Path) -> None:
    """Neither knew the inspection's id; whoever wrote it first named it for both."""
    with ThreadPoolExecutor(2) as pool:
        ends = list(pool.map(lambda _n: soundmetal_command("send", small_inspection, "--date", DAY), range(2)))
    assert Exit.OK in [end.returncode for end in ends]
    for end in ends:
        assert end.returncode in (Exit.OK, Exit.CHANGED), end.stderr
        if end.returncode:
            assert "Do it again." in lines_of(end)[0]
    assert whole(small_inspection) == [1]
    assert states(small_inspection)[0].offer.inspection == store.read(small_inspection).inspection.id


_FREEZE = """
import datetime as dt, sys
from pathlib import Path
from offers import an_offer
from soundmetal.folder import store
from soundmetal.folder.states import freeze
folder = Path(sys.argv[1])
stored = store.read(folder)
print("ready", flush=True)
sys.stdin.readline()
for price in sys.argv[2:]:
    kept = freeze(folder, stored, an_offer(price=int(price)), b"%PDF-" + price.encode(), dt.date(2026, 11, 20))
    print(kept.number, flush=True)
"""


def test_two_programs_that_freeze_at_once_number_every_state_once(small_inspection: Path) -> None:
    support = str(Path(__file__).resolve().parents[1] / "support")
    around = environment()
    around["PYTHONPATH"] = f"{around['PYTHONPATH']}:{support}"
    pipe = subprocess.PIPE
    programs = [
        subprocess.Popen(
            [sys.executable, "-c", _FREEZE, str(small_inspection), *prices],
            env=around, stdin=pipe, stdout=pipe, stderr=pipe, text=True,
        )
        for prices in (("1000", "1200", "1400", "1600"), ("1100", "1300", "1500", "1700"))
    ]  # fmt: skip
    for program in programs:
        assert program.stdout is not None
        assert program.stdout.readline() == "ready\n"
    for program in programs:
        assert program.stdin is not None
        program.stdin.write("\n")
        program.stdin.flush()
    told = [program.communicate(timeout=60) for program in programs]
    assert [program.returncode for program in programs] == [0, 0], told
    numbers = [int(line) for out, _err in told for line in out.split()]
    assert sorted(numbers) == list(range(1, 9))
    found = states(small_inspection)
    assert [state.number for state in found] == list(range(1, 9))
    prices = {state.offer.aims[state.offer.aim].price.likely for state in found}
    assert prices == set(range(1000, 1800, 100))
    for state in found:
        likely = state.offer.aims[state.offer.aim].price.likely
        assert (state.folder / REPORT).read_bytes() == b"%PDF-" + str(likely).encode()

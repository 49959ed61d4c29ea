"""Answer files that lie, ask for too much or bring something along: refused in one line, and nothing is changed.

Most are written by hand around a form that is taken as it is, so that each is refused for its own fault alone.
"""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from filling import filled
from odd_answers import AIMS, DAY, answer_file, button, everything, refused, text

from soundmetal import answering
from soundmetal.cli import main
from soundmetal.folder import store
from soundmetal.folder.states import states
from soundmetal.record.terms import Aim, Reply
from soundmetal.report.form import FormNames

SENT = dt.date(2026, 11, 20)


Make = Callable[[FormNames], bytes]
SCRIPT = "<< /S /JavaScript /JS (app.alert\\(1\\)) >>"
PROGRAM = "holds a program"
FILE = "carries a file"


def good(n: FormNames, *more: str, root: str = "", form: str = "", objects: tuple[bytes, ...] = ()) -> bytes:
    """The form that is taken, with something beside it."""
    return answer_file(button(n.reply("F1")), *more, root=root, form=form, more=objects)


def reply(n: FormNames, *arguments: object, **more: object) -> bytes:
    return answer_file(button(n.reply("F1"), *arguments, **more))  # type: ignore[arg-type]


def signed(n: FormNames, value: str) -> bytes:
    return good(n, text(n.field("signed"), value))


def page(entries: str) -> tuple[bytes, ...]:
    return (f"<< /Type /Pages /Kids [11 0 R] /Count 1 {entries} >>".encode(), f"<< /Type /Page {entries} >>".encode())


def attached(*files: str) -> str:
    specs = " ".join(f"<< /Type /Filespec /F ({name}) /UF ({name}) >>" for name in files)
    return f"/AF [{specs}]"


def kid(n: FormNames, more: str) -> bytes:
    return answer_file(button(n.reply("F1"), first=more))


CASES: dict[str, tuple[Make, str]] = {
    "another inspection": (lambda n: good(FormNames("zzzzzzzz", n.digest)), "belongs to another inspection"),
    "a state that there never was": (lambda n: good(FormNames(n.inspection, "f" * 16)), "says something else than"),
    "two reports in one": (
        lambda n: good(n, button(FormNames("zzzzzzzz", n.digest).reply("F2"))),
        "the forms of more than one report",
    ),
    "two states in one": (
        lambda n: good(n, button(FormNames(n.inspection, "f" * 16).reply("F2"))),
        "the forms of more than one report",
    ),
    "no form": (lambda n: answer_file(), "holds no form of ours"),
    "a form of others": (lambda n: answer_file(text("name"), button("sm-x-y-z")), "holds no form of ours"),
    "an empty form": (lambda n: reply(n, None), "answers nothing"),
    "only signed": (lambda n: answer_file(text(n.field("signed"))), "answers nothing"),
    "a finding that there is not": (lambda n: good(n, button(n.reply("F9"))), 'answers "F9", which the report does'),
    "a finding in other letters": (lambda n: good(n, button(n.reply("f1"))), 'answers "f1", which the report does'),
    "a finding of nothing": (lambda n: good(n, button(n.field("reply-"))), 'answers "", which the report does'),
    "a finding with a script for a name": (
        lambda n: good(n, button(n.reply("<script>x</script>"))),
        "which the report does not ask about",
    ),
    "a finding that turns the line round": (
        lambda n: good(n, button(n.reply("F1\\u202e\\r\\n\\033[2Jx"))),
        "which the report does not ask about",
    ),
    "a choice that there is not": (
        lambda n: reply(n, 1, words=("yes", "maybe", "talk")),
        '"maybe" is no answer to "reply-F1". There are: yes, no, talk',
    ),
    "a choice by a name of its own": (lambda n: reply(n, None, "free"), "shows one thing and says another"),
    "an aim that there is not": (
        lambda n: good(n, button(n.field("aim"), 1, words=("arrest", "gold", "factory"))),
        '"gold" is no answer to "aim"',
    ),
    "answers in another order": (lambda n: reply(n, 0, words=("no", "yes", "talk")), "are not those of a report"),
    "a button that is none": (lambda n: reply(n, 0, "7"), "shows one thing and says another"),
    "a button of too many digits": (lambda n: reply(n, 0, "9" * 3000), "shows one thing and says another"),
    "shows yes and says no": (lambda n: reply(n, 0, "1"), "shows one thing and says another"),
    "shows yes and says nothing": (lambda n: reply(n, 0, "Off"), "shows one thing and says another"),
    "says yes and shows nothing": (lambda n: reply(n, None, "0"), "shows one thing and says another"),
    "shows yes and no": (
        lambda n: good(n).replace(b"/AS /Off ", b"/AS /1   ", 1),
        "shows one thing and says another",
    ),
    "says a number": (lambda n: good(n).replace(b"/V /0", b"/V 0 "), "has a button that is none"),
    "says a list": (lambda n: good(n).replace(b"/V /0", b"/V []"), "has a button that is none"),
    "the same question twice": (lambda n: good(n, button(n.reply("F1"), 1)), 'answers "reply-F1" twice and'),
    "the same question, not answered": (lambda n: good(n, button(n.reply("F1"), None)), "twice and differently"),
    "two names": (lambda n: good(n, text(n.field("signed")), text(n.field("signed"), "(Eva)")), "twice and"),
    "a question without buttons": (lambda n: answer_file(button(n.reply("F1"), None, "0", ())), "has no buttons"),
    "a hundred buttons": (lambda n: reply(n, 0, words=["yes"] * 100), "or more than a report"),
    "a typed answer": (lambda n: answer_file(text(n.reply("F1"), "(yes)")), "has no buttons"),
    "a pressed name": (lambda n: good(n, button(n.field("signed"))), "holds no text"),
    "questions inside a question": (lambda n: kid(n, "/T (x)"), "has no buttons"),
    "a question that is its own button": (
        lambda n: answer_file("10 0 R", more=(button(n.reply("F1"), more="/Kids [10 0 R]").encode(),)),
        "has more pages or fields than a report",
    ),
    "a price": (lambda n: good(n, text(n.field("price"), "(1)")), 'has a field "price" that no report has'),
    "a field with no name of its own": (lambda n: good(n, text(n.field("aim-"), "(x)")), "that no report has"),
    "a name that is a number": (lambda n: signed(n, "7"), "holds no text"),
    "a name that is a part of the file": (
        lambda n: good(n, text(n.field("signed"), "10 0 R"), objects=(b"<< /Length 1 >>\nstream\nx\nendstream",)),
        "holds no text",
    ),
    "a name of 201 letters": (lambda n: signed(n, f"({'x' * 201})"), "is longer than 200 letters"),
    "a name of five million letters": (lambda n: signed(n, f"({'x' * 5_000_000})"), "is longer than 200 letters"),
    "a name of nothing but blanks": (lambda n: signed(n, f"({' ' * 5000})"), "is longer than 200 letters"),
    "a form that is a number": (lambda n: answer_file(root="/AcroForm 7"), "holds no form of ours"),
    "fields that are a number": (lambda n: answer_file(form="/Fields 7"), PROGRAM),
    "six thousand fields": (lambda n: good(n, *(text(f"f{i}") for i in range(6000))), "has more than 5000 fields"),
    "pages that are their own page": (
        lambda n: good(n, root="/Pages 10 0 R", objects=(b"<< /Kids [10 0 R 10 0 R 10 0 R] >>",)),
        "has more pages or fields than a report",
    ),
    "a script when it opens": (lambda n: good(n, root=f"/OpenAction {SCRIPT}"), PROGRAM),
    "starts a program when it opens": (lambda n: good(n, root="/OpenAction << /S /Launch /F (a.exe) >>"), PROGRAM),
    "an action of no kind": (lambda n: good(n, root="/OpenAction << /S [/URI] >>"), PROGRAM),
    "a script when it is saved": (lambda n: good(n, root=f"/AA << /WS {SCRIPT} >>"), PROGRAM),
    "a script in its names": (lambda n: good(n, root=f"/Names << /JavaScript << /X {SCRIPT} >> >>"), PROGRAM),
    "a script in a field": (lambda n: good(n, text(n.field("date"), more=f"/AA << /K {SCRIPT} >>")), PROGRAM),
    "a script in a field of others": (lambda n: good(n, text("x", more=f"/A {SCRIPT}")), PROGRAM),
    "a script in a button": (lambda n: kid(n, f"/A {SCRIPT}"), PROGRAM),
    "sends itself away": (lambda n: kid(n, "/A << /S /SubmitForm /F (x) >>"), PROGRAM),
    "a script on a page": (
        lambda n: good(n, root="/Pages 10 0 R", objects=page(f"/AA << /O {SCRIPT} >>")),
        PROGRAM,
    ),
    "a link that goes on to a script": (
        lambda n: good(
            n,
            root="/Pages 10 0 R",
            objects=page(f"/Annots [<< /Subtype /Link /A << /S /URI /URI (x) /Next {SCRIPT} >> >>]"),
        ),
        PROGRAM,
    ),
    "the form in another language": (lambda n: good(n, form="/XFA (x)"), PROGRAM),
    "a file inside": (lambda n: good(n, root=attached("a.exe")), FILE),
    "a file beside the inspection": (lambda n: good(n, root=attached("inspection.json", "a.exe")), FILE),
    "a file under two names": (
        lambda n: good(n, root="/AF [<< /F (inspection.json) /UF (inspection.exe) >>]"),
        FILE,
    ),
    "a file pinned to a page": (
        lambda n: good(n, root="/Pages 10 0 R", objects=page("/Annots [<< /Subtype /FileAttachment >>]")),
        FILE,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_it_is_refused(
    case: str, sent: Path, names: FormNames, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make, why = CASES[case]
    path = tmp_path / "back.pdf"
    path.write_bytes(make(names))
    assert "back.pdf: " in refused(sent, path, why, capsys)


def taken(sent: Path, home: Path, data: bytes) -> Path:
    """Have a file taken by a copy of the inspection, and give the copy."""
    folder = Path(shutil.copytree(sent, home / "car"))
    (home / "back.pdf").write_bytes(data)
    with pytest.raises(SystemExit) as ended:
        main(["answers", str(folder), str(home / "back.pdf"), "--date", DAY])
    assert not ended.value.code
    return folder


def test_the_form_that_all_these_are_made_of_is_taken(sent: Path, names: FormNames, tmp_path: Path) -> None:
    folder = taken(sent, tmp_path, good(names, button(names.field("aim"), 2, words=AIMS)))
    record = store.read(folder).inspection
    assert {name: answer.reply for name, answer in record.answers.items()} == {"F1": Reply.YES}
    assert record.aim is Aim.FACTORY


def test_a_form_that_nobody_signed_is_taken_and_said_to_be_so(
    sent: Path, names: FormNames, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    taken(sent, tmp_path, good(names))
    assert "nobody put a name to it" in capsys.readouterr().err
    (tmp_path / "signed").mkdir()
    taken(sent, tmp_path / "signed", signed(names, "(Ana)"))
    assert capsys.readouterr().err == ""


def test_marks_that_steer_a_line_of_text_are_left_out_of_a_name(sent: Path, names: FormNames, tmp_path: Path) -> None:
    odd = "Ana \u202eagoriuQ\u202c\x1b[2J\r\n\x00<b>&\u2066".encode("utf-16-be").hex()
    folder = taken(sent, tmp_path, signed(names, f"<feff{odd}>"))
    (returned,) = states(folder)[0].mark.returned
    assert returned.signed == "Ana agoriuQ[2J <b>&"


@pytest.mark.parametrize("date", ["31 Feb 2199", "1 Jan 1890", "tomorrow", "2026-13-45"])
def test_the_date_that_was_typed_is_kept_and_never_reckoned_with(
    sent: Path, names: FormNames, tmp_path: Path, date: str
) -> None:
    folder = taken(sent, tmp_path, good(names, text(names.field("date"), f"({date})")))
    (returned,) = states(folder)[0].mark.returned
    assert (returned.dated, str(returned.date)) == (date, DAY)


def test_an_answer_from_before_the_question_is_refused(
    sent: Path, names: FormNames, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "back.pdf"
    path.write_bytes(good(names))
    refused(sent, path, "2026-11-19, before it was sent on 2026-11-20", capsys, date="2026-11-19")


def test_an_answer_to_an_older_state_is_refused(
    sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = Path(shutil.copytree(sent, tmp_path / "car"))
    path = tmp_path / "back.pdf"
    path.write_bytes(filled((folder / "report.pdf").read_bytes(), {"reply-F1": "yes"}))
    store.change(folder, [store.Change(("findings", "F1", "size"), "500 x 60 mm")])
    answering.send(folder, SENT, "zzzzzzzz")
    refused(folder, path, "answers state 1 of 2026-11-20; state 2 was sent", capsys)


@pytest.mark.parametrize("strange", ["F2", "aim"])
def test_an_answer_that_only_an_earlier_report_asked_for_is_refused(
    strange: str, sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """More was found in one place, so the owner is asked about that alone; what held before is not asked again."""
    folder, path = Path(shutil.copytree(sent, tmp_path / "car")), tmp_path / "back.pdf"
    path.write_bytes(filled((folder / "report.pdf").read_bytes(), {"reply-F1": "yes", "reply-F2": "yes"}))
    answering.take_form(folder, path, SENT)
    store.change(folder, [store.Change(("findings", "F1", "size"), "500 x 60 mm")])
    names = FormNames.of(answering.send(folder, SENT, "zzzzzzzz").state.offer)
    more = button(names.field("aim"), 0, words=AIMS) if strange == "aim" else button(names.reply(strange), 1)
    path.write_bytes(good(names, more))
    refused(folder, path, f'answers "{strange}", which the report does not ask about', capsys)
    path.write_bytes(good(names))
    assert answering.take_form(folder, path, SENT).replies == {"F1": Reply.YES}


def test_a_report_that_was_never_sent_is_not_frozen_for_an_answer_that_it_did_not_ask_for(
    small_inspection: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from soundmetal import pipeline

    loaded = pipeline.load(small_inspection)
    names = FormNames.of(pipeline.work_out(loaded, pipeline.album_of(loaded)).offer)
    path = tmp_path / "back.pdf"
    path.write_bytes(good(names, button(names.reply("F9"))))
    before = everything(small_inspection)
    refused(small_inspection, path, 'answers "F9"', capsys)
    assert everything(small_inspection) == before
    assert not (small_inspection / "states").exists()


def test_a_file_with_a_name_to_frighten_a_terminal_is_told_of_in_one_line(
    sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a\n\x1b[31mb\u202e.pdf"
    path.write_bytes(b"x")
    assert "a [31mb.pdf: is no PDF" in refused(sent, path, "is no PDF", capsys)

"""The report's form, filled in by programs of others that know nothing of each other, read back, and looked at.

pypdf writes the fields as it finds them; pikepdf does it through qpdf and draws what was typed; PDFium, the reader in
Chromium, has its buttons clicked and its fields typed in, as an owner would. Poppler, which did none of it, shows how
the filled page looks.
"""

from __future__ import annotations

import ctypes
import io
import json
import shutil
import subprocess
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from filling import filled
from pikepdf.form import DefaultAppearanceStreamGenerator, Form
from PIL import Image

from soundmetal.cli import main
from soundmetal.folder import store
from soundmetal.record.terms import Aim, Reply
from soundmetal.report.form import AIMS, REPLIES, read_form

SAID = {"reply-F1": "yes", "reply-F2": "talk", "aim": "factory", "signed": "Ana Núñez – Ølsen", "date": "25 Nov 2026"}
Program = Callable[[bytes, Mapping[str, str]], bytes]


def key_of(name: str) -> str:
    return name.split("-", 3)[3]


def place_of(key: str, word: str) -> int:
    return list(AIMS if key == "aim" else REPLIES).index(word)


def by_qpdf(data: bytes, answers: Mapping[str, str], drawing: Any = DefaultAppearanceStreamGenerator) -> bytes:
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for name, field in list(Form(pdf, drawing).items()):
            word = answers.get(key_of(name))
            if word is not None and field.is_radio_button:
                field.options[place_of(key_of(name), word)].select()
            elif word is not None:
                field.value = word
        out = io.BytesIO()
        pdf.save(out, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return out.getvalue()


def by_qpdf_undrawn(data: bytes, answers: Mapping[str, str]) -> bytes:
    """Without drawing anything: whoever opens it is asked to draw what was typed (`NeedAppearances`)."""
    return by_qpdf(data, answers, None)


def told(function: Callable[..., int], *arguments: object) -> str:
    size = function(*arguments, None, 0)
    buffer = ctypes.create_string_buffer(size)
    function(*arguments, ctypes.cast(buffer, ctypes.POINTER(pdfium.FPDF_WCHAR)), size)
    return buffer.raw[:size].decode("utf-16-le").rstrip("\0")


def boxes_of(form: object, page: object) -> Iterator[tuple[str, int, float, float]]:
    """Give key, number among its kind and middle of each field's box on a page."""
    seen: dict[str, int] = {}
    for at in range(pdfium.FPDFPage_GetAnnotCount(page)):
        note = pdfium.FPDFPage_GetAnnot(page, at)
        if pdfium.FPDFAnnot_GetSubtype(note) == pdfium.FPDF_ANNOT_WIDGET:
            key, box = key_of(told(pdfium.FPDFAnnot_GetFormFieldName, form, note)), pdfium.FS_RECTF()
            pdfium.FPDFAnnot_GetRect(note, box)
            yield key, seen.setdefault(key, 0), (box.left + box.right) / 2, (box.top + box.bottom) / 2
            seen[key] += 1
        pdfium.FPDFPage_CloseAnnot(note)


def by_clicks(data: bytes, answers: Mapping[str, str]) -> bytes:
    pdf = pypdfium2.PdfDocument(data)
    pdf.init_forms()
    form = pdf.formenv.raw
    pages = [pdf[number] for number in range(len(pdf))]  # each must live until all is saved
    for page in (one.raw for one in pages):
        for key, nth, x, y in list(boxes_of(form, page)):
            word = answers.get(key)
            typed = key in ("signed", "date")
            if word is None or (not typed and nth != place_of(key, word)):
                continue
            pdfium.FORM_OnMouseMove(form, page, 0, x, y)
            pdfium.FORM_OnLButtonDown(form, page, 0, x, y)
            pdfium.FORM_OnLButtonUp(form, page, 0, x, y)
            for letter in word if typed else "":
                pdfium.FORM_OnChar(form, page, ord(letter), 0)
        pdfium.FORM_ForceToKillFocus(form)
    out = io.BytesIO()
    pdf.save(out)
    for one in pages:
        one.close()
    pdf.close()
    return out.getvalue()


PROGRAMS: dict[str, Program] = {
    "pypdf": filled,
    "qpdf": by_qpdf,
    "qpdf, not drawn": by_qpdf_undrawn,
    "PDFium, clicked and typed": by_clicks,
}
#: Programs that draw what was typed, or have the reader do it.
SHOWN = [name for name in PROGRAMS if name != "pypdf"]


@pytest.mark.parametrize("program", PROGRAMS)
def test_what_one_program_fills_in_is_read_back_the_same(program: str, sent: Path) -> None:
    back = PROGRAMS[program]((sent / "report.pdf").read_bytes(), SAID)
    read = read_form(back)
    assert read.replies == {"F1": Reply.YES, "F2": Reply.TALK}
    assert read.aim is Aim.FACTORY
    assert (read.signed, read.date) == (SAID["signed"], SAID["date"])


@pytest.mark.parametrize("program", PROGRAMS)
def test_every_answer_there_is(program: str, sent: Path) -> None:
    report = (sent / "report.pdf").read_bytes()
    for word, aim in zip(REPLIES, AIMS, strict=True):
        read = read_form(PROGRAMS[program](report, {"reply-F2": word, "aim": aim}))
        assert (read.replies, read.aim, read.signed) == ({"F2": REPLIES[word]}, AIMS[aim], "")


@pytest.mark.parametrize("first", PROGRAMS)
def test_an_owner_who_changes_an_answer_in_another_program(first: str, sent: Path) -> None:
    data = PROGRAMS[first]((sent / "report.pdf").read_bytes(), SAID)
    for second in PROGRAMS.values():
        assert read_form(second(data, {"reply-F1": "no"})).replies == {"F1": Reply.NO, "F2": Reply.TALK}


@pytest.mark.parametrize("program", PROGRAMS)
def test_the_command_takes_it(program: str, sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = Path(shutil.copytree(sent, tmp_path / "car"))
    path = tmp_path / "back.pdf"
    path.write_bytes(PROGRAMS[program]((sent / "report.pdf").read_bytes(), SAID))
    with pytest.raises(SystemExit) as ended:
        main(["answers", str(folder), str(path), "--date", "2026-11-25", "--json"])
    assert not ended.value.code
    said = json.loads(capsys.readouterr().out)
    assert (said["answers"], said["aim"]) == ({"F1": "yes", "F2": "talk to me"}, "factory")
    assert store.read(folder).inspection.aim is Aim.FACTORY


def shown(data: bytes, home: Path) -> list[np.ndarray]:
    """Give the pages of a PDF in grey as Poppler draws them, 100 dots to the inch."""
    home.mkdir(exist_ok=True)
    (home / "it.pdf").write_bytes(data)
    done = subprocess.run(
        ["pdftoppm", "-r", "100", "-gray", home / "it.pdf", home / "page"], capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    return [np.asarray(Image.open(path)) for path in sorted(home.glob("page-*.pgm"))]


def boxes_on_pages(data: bytes) -> dict[str, tuple[int, slice, slice]]:
    """Give page and place, in dots, of the box of each text field and of each pressed answer of `SAID`."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        found = {}
        for number, page in enumerate(pdf.pages):
            for note in page.get("/Annots", []):
                holder = note if "/T" in note else note.get("/Parent")
                if note.Subtype != "/Widget" or holder is None:
                    continue
                key = key_of(str(holder.T))
                state = "" if "/Opt" not in holder else f":{list(holder.Kids).index(note)}"
                x1, y1, x2, y2 = (float(one) for one in note.Rect)
                height = float(page.MediaBox[3])
                across = slice(round(min(x1, x2) / 0.72), round(max(x1, x2) / 0.72))
                down = slice(round((height - max(y1, y2)) / 0.72), round((height - min(y1, y2)) / 0.72))
                found[key + state] = (number, down, across)
    return found


@pytest.mark.parametrize("program", SHOWN)
def test_the_filled_page_shows_the_answers_and_nothing_else_changed(program: str, sent: Path, tmp_path: Path) -> None:
    """Ink comes where something was pressed or typed, in every such box, and nowhere else on any page."""
    report = (sent / "report.pdf").read_bytes()
    before, after = shown(report, tmp_path / "a"), shown(PROGRAMS[program](report, SAID), tmp_path / "b")
    assert len(before) == len(after)
    changed = [np.abs(one.astype(int) - other) > 60 for one, other in zip(before, after, strict=True)]
    for key, (page, down, across) in boxes_on_pages(report).items():
        name, _, at = key.partition(":")
        pressed = not at or int(at) == place_of(name, SAID[name])
        ink = int(changed[page][down, across].sum())
        assert (ink >= 12) is pressed, (key, ink)
        changed[page][slice(down.start - 2, down.stop + 2), slice(across.start - 2, across.stop + 2)] = False
    assert sum(int(one.sum()) for one in changed) == 0


@pytest.mark.parametrize("program", SHOWN)
def test_what_was_typed_can_be_read_from_the_page(program: str, sent: Path, tmp_path: Path) -> None:
    """Poppler reads the name from what is drawn, not from the field: the letters are those that were typed."""
    path = tmp_path / "back.pdf"
    path.write_bytes(PROGRAMS[program]((sent / "report.pdf").read_bytes(), SAID))
    text = subprocess.run(["pdftotext", path, "-"], capture_output=True, encoding="utf-8", check=True).stdout
    assert SAID["signed"] in text
    assert SAID["date"] in text

"""What a PDF would do when it is opened: links are harmless, everything else is refused."""

from __future__ import annotations

import pytest
from odd_pdfs import small_pdf

from soundmetal.folder.pdf_file import PdfFile
from soundmetal.folder.pdf_programs import refuse_programs
from soundmetal.folder.pdf_syntax import PdfFault

LINKS = "<< /S /URI /URI (x) >>", "<< /S /GoTo /D [11 0 R /Fit] >>", "<< /S /Named /N /NextPage >>"
PROGRAMS = (
    "JavaScript",
    "Launch",
    "SubmitForm",
    "ImportData",
    "GoToR",
    "GoToE",
    "Rendition",
    "Hide",
    "ResetForm",
    "",
)


def with_action(action: str, mark: str = "Link") -> PdfFile:
    pages = b"<< /Type /Pages /Kids [11 0 R] /Count 1 >>"
    page = f"<< /Type /Page /Annots [<< /Subtype /{mark} /A {action} >>] >>".encode()
    return PdfFile(small_pdf({}, root="/Pages 10 0 R", more=(pages, page)))


@pytest.mark.parametrize("action", LINKS)
def test_a_link_is_harmless(action: str) -> None:
    refuse_programs(with_action(action))
    refuse_programs(PdfFile(small_pdf({}, root=f"/OpenAction {action}")))
    refuse_programs(PdfFile(small_pdf({}, root="/OpenAction [2 0 R /Fit]")))


@pytest.mark.parametrize("kind", PROGRAMS)
def test_any_other_action_is_refused(kind: str) -> None:
    with pytest.raises(PdfFault, match="holds a program"):
        refuse_programs(with_action(f"<< /S /{kind} >>"))
    with pytest.raises(PdfFault, match="holds a program"):
        refuse_programs(PdfFile(small_pdf({}, root=f"/OpenAction << /S /{kind} >>")))


@pytest.mark.parametrize("mark", ["FileAttachment", "RichMedia", "Screen", "Movie", "Sound", "3D"])
def test_a_mark_that_carries_or_plays_something_is_refused(mark: str) -> None:
    with pytest.raises(PdfFault, match="carries a file on a page"):
        refuse_programs(with_action(LINKS[0], mark))

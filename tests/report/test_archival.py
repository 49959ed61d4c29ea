"""What PDF/A-3 (ISO 19005-3) and PDF/UA-1 (ISO 14289-1) ask of a file, read back by pypdf and poppler.

Clauses from memory; a validator of both standards is asked by `tests/bench/validate_pdf.py`, which is no part of the
suite.
"""

from __future__ import annotations

import io
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from after import CLOSED, amended
from defusedxml import ElementTree
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ContentStream, DictionaryObject, IndirectObject, StreamObject

from soundmetal.paths import template_dir
from soundmetal.report import archival
from soundmetal.report.carried import FILE
from soundmetal.report.pdf import Fetcher, pdf_bytes
from soundmetal.report.publish import write_pdf_of

NAMES = {"a": "http://www.aiim.org/pdfa/ns/id/", "ua": "http://www.aiim.org/pdfua/ns/id/"}
RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
PAGE = """<html lang="en"><head><meta charset="utf-8"><title>A form</title><style>
{css} @page {{ @top-left {{ content: "Running head" }} @bottom-right {{ content: "page " counter(page) }} }}
</style></head><body><h1>Form</h1>{body}</body></html>"""
FORM = """<form>
<p><label>Yes <input type="radio" name="F1" value="yes"></label><label>No <input type="radio" name="F1" value="no">
</label></p><p><label>Agreed <input type="checkbox" name="agreed" value="on"></label></p>
<p><label>Name <input type="text" name="name"></label></p>
<p><label>Aim <select name="aim"><option value="a">A</option><option value="b">B</option></select></label></p></form>
<table><tr><th>part</th><th>hours</th></tr><tr><th scope="row">first</th><td>1728</td></tr></table>
<ul><li>one</li><li>two</li></ul>
<dl><div><dt>Rocker</dt><dd>the box under the door</dd></div><div><dt>Cowl</dt><dd>under the glass</dd></div></dl>"""


@pytest.fixture(scope="module", params=["report", "scope", "amendment", "closing"])
def pdf(
    request: pytest.FixtureRequest, job: Any, job_with: Callable[..., Any], tmp_path_factory: pytest.TempPathFactory
) -> PdfReader:
    kind, target = request.param, tmp_path_factory.mktemp("kept") / "it.pdf"
    told = {"amendment": lambda: amended(job), "closing": lambda: job_with(**CLOSED)}.get(kind, lambda: job)()
    return PdfReader(write_pdf_of("report" if kind == "amendment" else kind, told, target))


def rendered(body: str, *, forms: bool = False) -> PdfReader:
    import weasyprint

    fonts = template_dir()
    html = PAGE.format(css=(fonts / "base.css").read_text(encoding="utf-8"), body=body)
    document = weasyprint.HTML(string=html, base_url=fonts.resolve().as_uri() + "/", url_fetcher=Fetcher([fonts]))
    data = document.write_pdf(
        **archival.options(), pdf_forms=forms, finisher=lambda made, pdf: archival.finish(made, pdf, complete=True)
    )
    return PdfReader(io.BytesIO(data))


@pytest.fixture(scope="module")
def form() -> PdfReader:
    return rendered(FORM, forms=True)


def objects(reader: PdfReader) -> Iterator[Any]:
    """Give every object of a file that the trailer leads to."""
    seen: set[tuple[int, int]] = set()
    waiting: list[Any] = [reader.trailer["/Root"]]
    while waiting:
        one = waiting.pop()
        if isinstance(one, IndirectObject):
            if (one.idnum, one.generation) in seen:
                continue
            seen.add((one.idnum, one.generation))
            one = one.get_object()
        yield one
        if isinstance(one, DictionaryObject):
            waiting += [one.raw_get(key) for key in one]
        elif isinstance(one, list):
            waiting += list(one)


def claims(reader: PdfReader) -> dict[str, str]:
    """Give what the metadata says the file is: part and conformance, as attributes or as elements."""
    stream = reader.root_object["/Metadata"]
    assert "/Filter" not in stream  # ISO 19005-3, 6.6.2.1
    tree = ElementTree.fromstring(stream.get_data())
    found = {}
    for description in tree.iter(f"{RDF}Description"):
        for short, space in NAMES.items():
            for part in ("part", "conformance"):
                value = description.get(f"{{{space}}}{part}") or description.findtext(f"{{{space}}}{part}")
                if value:
                    found[f"{short} {part}"] = value
    return found


def test_it_says_that_it_is_both(pdf: PdfReader) -> None:
    assert claims(pdf) == {"a part": "3", "a conformance": "A", "ua part": "1"}
    text = pdf.root_object["/Metadata"].get_data().decode()
    assert text.count("<rdf:RDF") == 1
    assert "<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/<" in text  # 6.6.2.3: what is not its own


def test_a_page_with_a_letter_that_no_font_has_claims_neither() -> None:
    def made(word: str) -> PdfReader:
        html = PAGE.format(css=(template_dir() / "base.css").read_text(encoding="utf-8"), body=f"<p>{word}</p>")
        return PdfReader(io.BytesIO(pdf_bytes(html, allowed=[template_dir()], base=template_dir())))

    assert claims(made("a \U0010ff00 b")) == {}  # a letter of nobody's: 6.2.11.8 forbids .notdef
    assert claims(made("a b")) == {"a part": "3", "a conformance": "A", "ua part": "1"}


def test_colours_are_told(pdf: PdfReader) -> None:
    (intent,) = pdf.root_object["/OutputIntents"]
    assert intent["/S"] == "/GTS_PDFA1"
    profile = intent["/DestOutputProfile"].get_data()
    assert profile[36:40] == b"acsp"
    assert profile[16:20] == b"RGB "  # ICC.1, 7.2: signature and colour space of the data


def test_it_has_an_identifier_and_no_program(pdf: PdfReader) -> None:
    assert len(pdf.trailer["/ID"]) == 2
    forbidden = {"/JavaScript", "/JS", "/AA", "/Launch", "/Movie", "/Sound", "/XFA", "/Encrypt"}
    for one in objects(pdf):
        if isinstance(one, DictionaryObject):
            assert forbidden.isdisjoint(one)
            assert one.get("/S") not in {"/JavaScript", "/Launch"}


def test_pictures_are_not_blurred_and_nothing_is_packed_by_lzw(pdf: PdfReader) -> None:
    streams = [one for one in objects(pdf) if isinstance(one, StreamObject)]
    assert len(streams) > 10
    assert {str(one.get("/Interpolate", "False")) for one in streams} == {"False"}  # 6.2.8
    assert all("LZW" not in str(one.get("/Filter")) for one in streams)  # 6.1.7.2


def test_no_stream_looks_shorter_than_it_is(job: Any, tmp_path: Path) -> None:
    data = write_pdf_of("report", job, tmp_path / "r.pdf").read_bytes()
    assert data.count(b"\nendstream") > 20
    assert b"\r\nendstream" not in data  # 6.1.7.1


def test_a_stream_that_would_look_shorter_is_packed_again() -> None:
    import zlib

    import pydyf

    plain = next(b"%d" % n for n in range(100_000) if zlib.compress(b"%d" % n, 6).endswith(b"\r"))
    stream = pydyf.Stream([plain], compress=True)
    archival._mend_stream(stream)
    body = stream.data.split(b"stream\n", 1)[1].rsplit(b"\nendstream", 1)[0]
    assert not body.endswith(b"\r")
    assert zlib.decompress(body).rstrip(b"\n") == plain
    assert b"/FlateDecode" in stream.data


def test_every_mark_on_a_page_has_an_owner_in_the_tree(pdf: PdfReader) -> None:
    """All content is tagged or an artifact (ISO 14289-1, 7.1), and the two lists of it agree."""
    root = pdf.root_object["/StructTreeRoot"]
    owners = numbers(root["/ParentTree"])
    reached = {
        (one.indirect_reference.idnum, one.indirect_reference.generation)
        for one in elements(root)
        if one.indirect_reference
    }
    for page in pdf.pages:
        listed = owners[page["/StructParents"]]
        for operands, operator in ContentStream(page.get_contents(), pdf).operations:
            if operator == b"BDC" and "/MCID" in operands[1]:
                owner = listed[int(operands[1]["/MCID"])]
                assert isinstance(owner, IndirectObject)
                assert (owner.idnum, owner.generation) in reached


def test_running_heads_are_not_read_aloud(form: PdfReader) -> None:
    """ISO 14289-1, 7.8."""
    page = form.pages[0]
    kinds = [op[0] for op, what in ContentStream(page.get_contents(), form).operations if what in (b"BDC", b"BMC")]
    pagination = [
        op[1]
        for op, what in ContentStream(page.get_contents(), form).operations
        if what == b"BDC" and op[0] == "/Artifact"
    ]
    assert kinds.count("/Artifact") >= 2
    assert [one["/Type"] for one in pagination] == ["/Pagination"] * 2
    assert "Running head" in page.extract_text()


def numbers(node: Any) -> dict[int, Any]:
    flat = node["/Nums"]
    return {int(flat[i]): flat[i + 1].get_object() for i in range(0, len(flat), 2)}


def elements(node: Any) -> Iterator[Any]:
    node = node.get_object() if isinstance(node, IndirectObject) else node
    if isinstance(node, list):
        for kid in node:
            yield from elements(kid)
    elif isinstance(node, DictionaryObject):
        if node.get("/Type") == "/StructElem":
            yield node
        if "/K" in node:
            yield from elements(node["/K"])


def test_each_head_of_a_table_says_what_it_stands_for(pdf: PdfReader, form: PdfReader) -> None:
    heads = [one for one in elements(pdf.root_object["/StructTreeRoot"]) if one["/S"] == "/TH"]
    assert heads
    assert {head["/A"]["/Scope"] for head in heads} <= {"/Row", "/Column"}
    small = [one["/A"]["/Scope"] for one in elements(form.root_object["/StructTreeRoot"]) if one["/S"] == "/TH"]
    assert small == ["/Column", "/Column", "/Row"]


def test_no_table_is_without_heads(pdf: PdfReader) -> None:
    """ISO 14289-1, 7.5: what only stands side by side is no table."""
    tables = [one for one in elements(pdf.root_object["/StructTreeRoot"]) if one["/S"] == "/Table"]
    assert tables
    assert all(any(one["/S"] == "/TH" for one in elements(table)) for table in tables)
    side_by_side = rendered("<table><tr><td>one</td><td>two</td></tr></table>")
    kinds = {one["/S"] for one in elements(side_by_side.root_object["/StructTreeRoot"])}
    assert kinds.isdisjoint({"/Table", "/TR", "/TD"})
    assert "one" in side_by_side.pages[0].extract_text()


def test_lists_hold_items_and_nothing_else(pdf: PdfReader, form: PdfReader) -> None:
    """ISO 14289-1, 7.6: L holds LI, L and Caption, LI holds Lbl and LBody."""
    for reader in (pdf, form):
        for element in elements(reader.root_object["/StructTreeRoot"]):
            kids = {kid["/S"] for kid in kids_of(element)}
            if element["/S"] == "/L":
                assert kids <= {"/LI", "/L", "/Caption"}
            elif element["/S"] == "/LI":
                assert kids
                assert kids <= {"/Lbl", "/LBody"}
            else:
                assert "/LI" not in kids
    terms = [one for one in elements(form.root_object["/StructTreeRoot"]) if one["/S"] == "/LI"]
    assert [[kid["/S"] for kid in kids_of(term)] for term in terms][-2:] == [["/Lbl", "/LBody"]] * 2


def kids_of(element: Any) -> list[Any]:
    kids = element["/K"]
    found = [kid.get_object() for kid in (kids if isinstance(kids, list) else [kids])]
    return [kid for kid in found if isinstance(kid, DictionaryObject) and kid.get("/Type") == "/StructElem"]


def test_every_note_on_a_page_prints_and_is_in_the_tree(pdf: PdfReader, form: PdfReader) -> None:
    """ISO 19005-3, 6.3.2; ISO 14289-1, 7.18."""
    for reader in (pdf, form):
        for page in reader.pages:
            notes = [note.get_object() for note in page.get("/Annots", [])]
            assert all(note["/F"] & 4 and not note["/F"] & 0b100011 for note in notes)
            assert all("/StructParent" in note for note in notes)
            assert not notes or page["/Tabs"] == "/S"


def test_fields_show_themselves_and_are_filled_by_another_tool(form: PdfReader) -> None:
    """Every widget has its appearance and readers are asked for none (ISO 19005-3, 6.4.1)."""
    box = form.root_object["/AcroForm"]
    assert "/NeedAppearances" not in box
    widgets = [note.get_object() for note in form.pages[0]["/Annots"]]
    assert len(widgets) == 5
    assert all("/N" in widget["/AP"] for widget in widgets)
    assert set(form.get_fields() or {}) == {"F1", "agreed", "name", "aim"}
    writer = PdfWriter(clone_from=form)
    writer.update_page_form_field_values(
        writer.pages[0], {"name": "Ana Ñ", "F1": "/1", "agreed": "/on", "aim": "b"}, auto_regenerate=False
    )
    buffer = io.BytesIO()
    writer.write(buffer)
    values = {name: field.value for name, field in (PdfReader(buffer).get_fields() or {}).items()}
    assert values == {"name": "Ana Ñ", "F1": "/1", "agreed": "/on", "aim": "b"}


def test_figures_stay_figures_where_there_is_a_form(form: PdfReader, tmp_path: Path) -> None:
    """Tabular figures are glyphs of their own, which the map of plain letters does not know."""
    path = tmp_path / "form.pdf"
    PdfWriter(clone_from=form).write(path)
    told = subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=True).stdout
    assert "1728" in told
    assert "1728" in form.pages[0].extract_text()


def test_the_report_names_its_source(job: Any, tmp_path: Path) -> None:
    """An associated file with its relation, type and date (ISO 19005-3, 6.8; ISO 32000-2, 14.13)."""
    report = PdfReader(write_pdf_of("report", job, tmp_path / "r.pdf"))
    (spec,) = report.root_object["/AF"]
    names = report.root_object["/Names"]["/EmbeddedFiles"]["/Names"]
    assert names[1].get_object() == spec.get_object()
    assert (spec["/UF"], spec["/F"], spec["/AFRelationship"]) == (FILE, FILE, "/Source")
    file = spec["/EF"]["/F"]
    assert file["/Subtype"] == "/application/json"
    assert file["/Params"]["/ModDate"].startswith("D:20261118")
    assert spec["/Desc"] == "The inspection as data, for a program to read"
    scope = PdfReader(write_pdf_of("scope", job, tmp_path / "s.pdf"))
    assert "/AF" not in scope.root_object

"""What a finished PDF still needs to be kept (PDF/A-3a, ISO 19005-3) and to be read aloud (PDF/UA-1, ISO 14289-1).

WeasyPrint writes one of the two kinds at a time; here its PDF/A gets what PDF/UA asks for, and the last faults of
both are mended while the file is still objects: running heads become artifacts, pictures are not blurred, forms carry
their appearance. Clauses are named beside each step (from memory; `tests/bench/validate_pdf.py` asks validators).
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Iterator
from importlib.resources import files
from typing import Any, BinaryIO

from soundmetal.report.form_fonts import type_in_plain_letters

#: WeasyPrint writes this kind; the claim to the other is put into the same metadata.
VARIANT = "pdf/a-3a"
_COLOURS = "soundmetal-srgb"
_FAST = 6
_TRIES = 9
_GRID = frozenset(("/Table", "/THead", "/TBody", "/TFoot", "/TR", "/TD"))
_END = b"</rdf:RDF>"
#: PDF/A knows only its own properties, so any other is declared in the file (ISO 19005-3, 6.6.2.3).
_UA_CLAIM = b"""\
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">\
<pdfuaid:part>1</pdfuaid:part></rdf:Description>\
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"\
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">\
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">\
<pdfaSchema:schema>PDF/UA Universal Accessibility Schema</pdfaSchema:schema>\
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>\
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>\
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">\
<pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer</pdfaProperty:valueType>\
<pdfaProperty:category>internal</pdfaProperty:category>\
<pdfaProperty:description>Part of ISO 14289 that the file follows</pdfaProperty:description>\
</rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>"""


def options() -> dict[str, Any]:
    """Give what WeasyPrint is to be told. The colours are its own sRGB profile, whose file it would leave open."""
    from weasyprint.css import ColorProfile

    path = files("weasyprint.pdf") / "sRGB2014.icc"
    with path.open("rb") as stream:
        srgb = ColorProfile(stream, path.name, "relative-colorimetric", (["r"], ["g"], ["b"]))
    return {"pdf_variant": VARIANT, "output_intent": _COLOURS, "color_profiles": {_COLOURS: srgb}}


def finish(document: Any, pdf: Any, *, complete: bool) -> None:
    """Make a PDF of WeasyPrint's follow both standards; where a letter had no font (not `complete`) claim neither."""
    _say_what_it_is(document, pdf, complete=complete)
    _running_heads_aside(pdf)
    _say_what_heads_stand_for(pdf)
    _no_tables_without_heads(pdf)
    _pair_terms(pdf)
    _name_each_file_once(pdf)
    _fill_forms(pdf)
    _spell_out_fonts_of_forms(document, pdf)
    type_in_plain_letters(document, pdf)
    for one in pdf.objects:
        if hasattr(one, "stream"):
            _mend_stream(one)
    pdf.write = _Writer(pdf)


class _Writer:
    """Writes a PDF again where a stream that is packed only while writing ends in a carriage return.

    Those are the objects kept together and the table of places; see `_mend_stream`. An object that nothing leads to
    changes the last byte of both.
    """

    def __init__(self, pdf: Any) -> None:
        self.pdf, self.plainly = pdf, pdf.write

    def __call__(self, output: BinaryIO, *how: Any) -> None:
        import pydyf

        pdf, written = self.pdf, len(self.pdf.objects)
        data = self._bytes(*how)
        for more in range(_TRIES):
            if b"\r\nendstream" not in data:
                break
            del pdf.objects[written + more :]
            pdf.current_position = 0
            pdf.add_object(pydyf.Dictionary({}))
            data = self._bytes(*how)
        output.write(data)

    def _bytes(self, *how: Any) -> bytes:
        whole = io.BytesIO()
        self.plainly(whole, *how)
        return whole.getvalue()


def _say_what_it_is(document: Any, pdf: Any, *, complete: bool) -> None:
    """Claim both kinds in plain XMP: a program that knows no PDF can find it (ISO 19005-3, 6.6.2.1 and 6.6.4)."""
    if not complete:
        document.metadata.include_in_pdf(pdf, "a", None, None, compress=False)
    metadata = _object(pdf, pdf.catalog["Metadata"])
    metadata.compress = False
    if complete:
        metadata.stream = [one.replace(_END, _UA_CLAIM + _END) for one in metadata.stream]


def _running_heads_aside(pdf: Any) -> None:
    """Mark running heads and page numbers as artifacts: nobody wants them read on each page (ISO 14289-1, 7.8).

    WeasyPrint tags them and leaves their elements out of the tree; those are what nothing leads to.
    """
    elements = {one.reference: one for one in pdf.objects if _is(one, "/StructElem")}
    reached = {kid for one in elements.values() for kid in one["K"] if isinstance(kid, bytes)}
    loose = [one for one in elements.values() if one.reference not in reached and one["S"] != "/Document"]
    pages = {page: number for number, page in enumerate(pdf.page_references)}
    aside: dict[int, set[int]] = {}
    for top in loose:
        for element in list(_below(top, elements)):
            aside.setdefault(pages[element["Pg"]], set()).update(k for k in element["K"] if isinstance(k, int))
            element.clear()
    parents = _object(pdf, _object(pdf, pdf.catalog["StructTreeRoot"])["ParentTree"])["Nums"]
    for number, marks in aside.items():
        owners = parents[parents.index(number) + 1] if number else parents[1]
        for mark in marks:
            owners[mark] = "null"
        _as_artifacts(_object(pdf, _object(pdf, pdf.page_references[number])["Contents"]).stream, marks)


def _say_what_heads_stand_for(pdf: Any) -> None:
    """Say of each head of a table whether it stands for its row or its column (ISO 14289-1, 7.5)."""
    rows = {one.reference: one for one in pdf.objects if _is(one, "/StructElem") and one["S"] == "/TR"}
    kinds = {one.reference: one["S"] for one in pdf.objects if _is(one, "/StructElem") and one["S"] in ("/TD", "/TH")}
    beside_cells = {name for name, row in rows.items() if any(kinds.get(kid) == "/TD" for kid in row["K"])}
    for one in pdf.objects:
        if _is(one, "/StructElem") and one["S"] == "/TH" and "A" in one:
            one["A"]["Scope"] = "/Row" if one["P"] in beside_cells else "/Column"


def _no_tables_without_heads(pdf: Any) -> None:
    """Call a table that has no heads what it is, parts side by side: no column of it means anything (7.5)."""
    elements = {one.reference: one for one in pdf.objects if _is(one, "/StructElem")}
    for table in [one for one in elements.values() if one["S"] == "/Table"]:
        inside = list(_below(table, elements))
        if not any(one["S"] == "/TH" for one in inside):
            for one in inside:
                if one["S"] in _GRID:
                    one["S"] = "/Div"
                    one.pop("A", None)


def _pair_terms(pdf: Any) -> None:
    """Make one item of a term and what it means, where a `div` holds the two (ISO 14289-1, 7.6).

    WeasyPrint makes an item of each line of both, and leaves them in a part that no list may hold.
    """
    elements = {one.reference: one for one in pdf.objects if _is(one, "/StructElem")}
    lists = [one for one in elements.values() if one["S"] == "/L"]
    for pair in [elements[kid] for one in lists for kid in one["K"] if kid in elements]:
        if pair["S"] in ("/Div", "/NonStruct"):
            _make_item(pair, elements)


def _make_item(pair: Any, elements: dict[bytes, Any]) -> None:
    """Let the first part be the label, and the second the body that holds all the others in their order."""
    within = [elements[kid]["K"] if kid in elements and elements[kid]["S"] == "/LI" else [kid] for kid in pair["K"]]
    parts = [part for inner in within for part in inner]
    bodies = [part for part in parts if part in elements and elements[part]["S"] == "/LBody"]
    if len(bodies) < 2 or not all(part in elements for part in parts):
        return
    pair["S"], pair["K"][:] = "/LI", bodies[:2]
    label, body = elements[bodies[0]], elements[bodies[1]]
    label["S"], label["P"], body["P"] = "/Lbl", pair.reference, pair.reference
    own = list(body["K"])
    body["K"].clear()
    for part in parts[1:]:
        if part == bodies[1]:
            body["K"].extend(own)
        else:
            body["K"].append(part)
            elements[part]["S"], elements[part]["P"] = "/Span", body.reference


def _as_artifacts(stream: list[Any], marks: set[int]) -> None:
    for at, item in enumerate(stream):
        if isinstance(item, dict) and item.get("MCID") in marks:
            stream[at - 1] = "/Artifact"
            item.clear()
            item["Type"] = "/Pagination"


def _below(element: Any, elements: dict[bytes, Any]) -> Iterator[Any]:
    yield element
    for kid in element["K"]:
        if kid in elements:
            yield from _below(elements[kid], elements)


def _name_each_file_once(pdf: Any) -> None:
    if "AF" in pdf.catalog:
        pdf.catalog["AF"][:] = dict.fromkeys(pdf.catalog["AF"])


def _fill_forms(pdf: Any) -> None:
    """Give each field the appearance that a reader would have to make up otherwise (ISO 19005-3, 6.3.3 and 6.4.1).

    And let the buttons of a choice be one field: WeasyPrint lists each of them as a field of its own as well.
    """
    form = pdf.catalog.get("AcroForm")
    if form is None:
        return
    form.pop("NeedAppearances", None)
    fields = {one.reference: one for one in pdf.objects if _is(one, "/Annot") and one.get("Subtype") == "/Widget"}
    form["Fields"][:] = [name for name in form["Fields"] if "Parent" not in fields.get(name, {})]
    for field in fields.values():
        if "Parent" in field:
            field.pop("T", None)
        if "AP" not in field:
            field["AP"] = _blank(pdf, field["Rect"])


def _spell_out_fonts_of_forms(document: Any, pdf: Any) -> None:
    """Say which letters the glyphs on the page are (ISO 19005-3, 6.2.11.7.2).

    WeasyPrint gives a font that fields are typed in the map of its plain letters only: tabular figures and ligatures
    would be lost to who listens, searches or copies.
    """
    fonts = {one["BaseFont"]: one for one in pdf.objects if _is(one, "/Font") and "ToUnicode" in one}
    for font in document.fonts.values():
        if not font.used_in_forms or font.name not in fonts:
            continue
        stream = _object(pdf, fonts[font.name]["ToUnicode"]).stream
        known = {item[:6] for item in stream if item.startswith(b"<")}
        told = [
            f"<{glyph:04x}> <{text.encode('utf-16-be').hex()}>".encode() for glyph, text in font.to_unicode.items()
        ]
        missing = [line for line in told if line[:6] not in known]
        blocks = [missing[at : at + 100] for at in range(0, len(missing), 100)]
        lines = [line for block in blocks for line in (b"%d beginbfchar" % len(block), *block, b"endbfchar")]
        at = stream.index(b"endcmap")
        stream[at:at] = lines


def _blank(pdf: Any, rectangle: list[float]) -> Any:
    """Make the appearance of a field that nobody has filled in yet."""
    import pydyf

    x1, y1, x2, y2 = rectangle
    box = pydyf.Array((0, 0, abs(x2 - x1), abs(y2 - y1)))
    empty = pydyf.Stream([b"/Tx BMC", b"EMC"], {"Type": "/XObject", "Subtype": "/Form", "BBox": box})
    pdf.add_object(empty)
    return pydyf.Dictionary({"N": empty.reference})


def _mend_stream(stream: Any) -> None:
    """Leave pixels as they are (no `Interpolate`, ISO 19005-3, 6.2.8) and pack the rest here.

    A packed stream that happens to end in a carriage return looks one byte shorter to strict readers: the line feed
    that ends it makes one line end of both (ISO 19005-3, 6.1.7.1). One more blank inside changes its last byte.
    """
    if stream.extra.get("Interpolate") == "true":
        stream.extra["Interpolate"] = "false"
    if not stream.compress or "Filter" in stream.extra:
        return
    plain = b"\n".join(_bytes(one) for one in stream.stream)
    packed = zlib.compress(plain, _FAST)
    while packed.endswith(b"\r"):
        plain += b"\n"
        packed = zlib.compress(plain, _FAST)
    stream.stream, stream.compress = [packed], False
    stream.extra["Filter"] = "/FlateDecode"


def _bytes(item: Any) -> bytes:
    if isinstance(item, bytes):
        return item
    return bytes(item.data) if hasattr(item, "data") else str(item).encode("ascii")


def _is(one: Any, kind: str) -> bool:
    return isinstance(one, dict) and one.get("Type") == kind


def _object(pdf: Any, reference: bytes) -> Any:
    return pdf.objects[int(reference.split()[0])]

"""The font that an owner's program types with: one letter a byte, as plain programs for forms expect it.

WeasyPrint names its page font for fields, whose letters are glyph numbers of two bytes. Programs that do not look
closer write Latin letters into it, and nothing is to be seen. So the fields get the same font file in its plain form
(TrueType with WinAnsiEncoding, ISO 32000-2, 9.6.5; from memory), and what they are filled with is shown.
"""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from typing import Any

NAME = "SmTyped"
_FIRST, _LAST = 32, 255
#: Bit 6: the font's letters are those of the standard Latin set (ISO 32000-2, table 121).
_LATIN = 32
_MAP_HEAD = (
    b"/CIDInit /ProcSet findresource begin",
    b"12 dict begin",
    b"begincmap",
    b"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
    b"/CMapName /Adobe-Identity-UCS def",
    b"/CMapType 2 def",
    b"1 begincodespacerange",
    b"<00> <ff>",
    b"endcodespacerange",
)
_MAP_END = (b"endcmap", b"CMapName currentdict /CMap defineresource pop", b"end", b"end")
_STATE, _FONT = re.compile(r"/\S+ gs "), re.compile(r"/\S+ (\S+) Tf")


def type_in_plain_letters(document: Any, pdf: Any) -> None:
    """Let the text fields of a PDF of WeasyPrint's be typed in a plain font made of their own font file."""
    form = pdf.catalog.get("AcroForm")
    fields = [one for one in pdf.objects if isinstance(one, dict) and one.get("FT") == "/Tx" and "DA" in one]
    font = next((one for one in document.fonts.values() if one.used_in_forms), None)
    full = {one["BaseFont"]: one for one in pdf.objects if _is_page_font(one)}
    if form is None or not fields or font is None or font.name not in full:
        return
    shared = pdf.objects[int(form["DR"].split()[0])]["Font"]
    fonts = pdf.objects[int(shared.split()[0])] if isinstance(shared, bytes) else shared
    fonts[NAME] = _plain_font(pdf, full[font.name], _widths(font.file_content))
    for field in fields:
        field["DA"] = _plain(field["DA"])


def _is_page_font(one: Any) -> bool:
    return isinstance(one, dict) and one.get("Type") == "/Font" and one.get("Subtype") == "/Type0"


def _plain_font(pdf: Any, of: Any, widths: Mapping[int, int]) -> bytes:
    """Add the plain font and what describes it; both share the file of the font on the pages."""
    import pydyf

    below = pdf.objects[int(of["DescendantFonts"][0].split()[0])]
    described = pydyf.Dictionary(pdf.objects[int(below["FontDescriptor"].split()[0])])
    described["Flags"] = _LATIN
    described.pop("CIDSet", None)
    pdf.add_object(described)
    font = pydyf.Dictionary(
        {
            "Type": "/Font",
            "Subtype": "/TrueType",
            "BaseFont": of["BaseFont"],
            "Encoding": "/WinAnsiEncoding",
            "FirstChar": _FIRST,
            "LastChar": _LAST,
            "Widths": pydyf.Array(widths[code] for code in range(_FIRST, _LAST + 1)),
            "FontDescriptor": described.reference,
            "ToUnicode": _letter_map(pdf),
        }
    )
    pdf.add_object(font)
    return bytes(font.reference)


def _widths(data: bytes) -> dict[int, int]:
    """Give the width of each letter in thousandths of its size; that of the empty box where the font has none."""
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(data), lazy=True)
    glyphs, advances, unit = font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm
    return {code: round(advances[glyphs.get(ord(of), ".notdef")][0] * 1000 / unit) for code, of in _letters().items()}


def _letters() -> dict[int, str]:
    """Give the letter of each code in WinAnsiEncoding; those that stand for none get a mark for that."""
    return {code: bytes((code,)).decode("cp1252", "replace") for code in range(_FIRST, _LAST + 1)}


def _letter_map(pdf: Any) -> bytes:
    """Add the map from codes to letters, for who listens, searches or copies (ISO 32000-2, 9.10.3; from memory)."""
    import pydyf

    told = [f"<{code:02x}> <{ord(letter):04x}>".encode() for code, letter in _letters().items()]
    blocks = [told[at : at + 100] for at in range(0, len(told), 100)]
    lines = [line for block in blocks for line in (b"%d beginbfchar" % len(block), *block, b"endbfchar")]
    stream = pydyf.Stream([*_MAP_HEAD, *lines, *_MAP_END], compress=True)
    pdf.add_object(stream)
    return bytes(stream.reference)


def _plain(appearance: Any) -> Any:
    """Say the appearance of a field with the plain font, and without a state that only pages know."""
    import pydyf

    said = appearance.string
    said = said.decode("ascii") if isinstance(said, bytes) else said
    return pydyf.String(_FONT.sub(rf"/{NAME} \1 Tf", _STATE.sub("", said)))

"""Pages read for the PDF writer as the XML that our templates nearly write: thirty times as fast as by HTML's rules.

Those rules (WHATWG HTML, 13.2) are for pages that anybody may have written. Ours differ from XML only in elements
that are never closed, one named blank and the document type. A page that is not well-formed after that, for a letter
in a note that XML does not know, say, is read by the rules of HTML.
"""

from __future__ import annotations

import re
from typing import Any
from xml.etree.ElementTree import Element, ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring

#: Elements that HTML never closes (WHATWG HTML, 13.1.2, void elements), as far as our templates use them.
_VOID = re.compile(r"<(meta|br|img|input|col|hr|link|wbr)\b((?:[^>\"']|\"[^\"]*\"|'[^']*')*?)\s*/?>")
_DOCTYPE = re.compile(r"<!doctype html>", re.IGNORECASE)
#: In here XML would read entities and HTML does not.
_RAW = re.compile(r"<(style|script)\b[^>]*>[^<&]*</\1>")
_RAW_BEGINS = re.compile(r"<(?:style|script)\b")
_DRAWING = "{http://www.w3.org/2000/svg}svg"


def document(html: str, base: str, fetcher: Any) -> Any:
    """Give a page as WeasyPrint's document: with the tree that it would read itself, sooner."""
    import weasyprint

    root = tree(html)
    made = weasyprint.HTML(string=html if root is None else "<html></html>", base_url=base, url_fetcher=fetcher)
    if root is not None:
        made.etree_element = root
        made.wrapper_element = type(made.wrapper_element).from_html_root(root, content_language=None)
    return made


def tree(html: str) -> Any:
    """Read a page as XML; None where it is not well-formed, or where HTML would read it differently.

    A line's end within an attribute becomes a blank (XML 1.0, 3.3.3), which no page shows.

    >>> tree("<!DOCTYPE html><html><body><p>a<br>b&nbsp;c</p></body></html>")[0][0][0].tail
    'b\\xa0c'
    >>> tree("<html><p>one<p>two</html>") is None
    True
    """
    text = _VOID.sub(r"<\1\2/>", _DOCTYPE.sub("", html, count=1)).replace("&nbsp;", "\N{NO-BREAK SPACE}")
    if len(_RAW_BEGINS.findall(text)) != len(_RAW.findall(text)):
        return None
    try:
        root = fromstring(text)
    except (ParseError, DefusedXmlException, ValueError):
        return None
    for table in root.iter("table"):
        _with_body(table)
    _fold_drawings(root)
    return root


class Drawing(Element):
    """A drawing that looks empty from outside, so that no style is worked out for its hundreds of lines and letters.

    WeasyPrint draws a drawing from its own attributes alone, and comes to it as to a document of its own.
    """

    def __init__(self, drawn: Any) -> None:
        """Stand in the place of a drawing."""
        super().__init__(drawn.tag, drawn.attrib)
        self.text, self.tail, self._drawn = None, drawn.tail, drawn

    def getroot(self) -> Any:
        """Give the drawing itself to whoever draws it."""
        return self._drawn

    def find(self, path: str, namespaces: Any = None) -> Any:
        """Look inside, as for the title that is read aloud."""
        return self._drawn.find(path, namespaces)


def _fold_drawings(element: Any) -> None:
    for place, child in enumerate(element):
        if child.tag == _DRAWING:
            element[place] = Drawing(child)
        else:
            _fold_drawings(child)


def _with_body(table: Any) -> None:
    """Put a body round rows that stand in a table itself, as HTML does (13.2.6.4.9)."""
    body = None
    for row in list(table):
        if row.tag != "tr":
            body = None
            continue
        if body is None:
            body = row.makeelement("tbody", {})
            table.insert(list(table).index(row), body)
        table.remove(row)
        body.append(row)

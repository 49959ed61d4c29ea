"""Pages read as XML for the PDF: the same tree as by the rules of HTML, and those rules where XML is not enough."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
import tinyhtml5
from markupsafe import escape

from soundmetal.paths import template_dir
from soundmetal.report import page_tree
from soundmetal.report.html import customer_html
from soundmetal.report.page_tree import Drawing, tree
from soundmetal.report.pdf import Fetcher, pdf_bytes
from soundmetal.report.shop import shop_html

PAGES = [
    pytest.param(lambda job: customer_html(job, carries=True), id="report"),
    pytest.param(lambda job: customer_html(job, "es"), id="report-es"),
    pytest.param(shop_html, id="scope"),
]
ODD = 'Brackets <p> & <br>, "quotes", &nbsp; &lt; \u00a0\u200b\U0001f600 \u2028 <svg> </style> ]]> <!-- -- -->'


def plain(root: Any) -> list[Any]:
    """Give all elements with what can be seen of each; blanks round `body`, which nothing shows, are left out."""
    seen: list[Any] = []

    def look(element: Any, tail: str) -> None:
        element = element.getroot() if hasattr(element, "getroot") else element
        kept = sorted(
            (name, value.replace("\n", " ")) for name, value in element.attrib.items() if "xmlns" not in name
        )
        seen.append((element.tag, kept, "" if element.tag == "html" else element.text or "", tail))
        for child in element:
            last = element.tag == "html" or (element.tag == "body" and child is element[-1])
            look(child, (child.tail or "").strip() if last else child.tail or "")
        seen.append(("end", element.tag))

    look(root, "")
    return seen


def by_the_rules(html: str) -> Any:
    """Read a page as the WHATWG's rules say, by a reader that is not ours."""
    return tinyhtml5.parse(html, namespace_html_elements=False)


@pytest.mark.parametrize("made", PAGES)
def test_the_same_tree_as_by_the_rules_of_html(job: Any, made: Callable[[Any], str]) -> None:
    html = made(job)
    read = tree(html)
    assert read is not None, "an unclosed element in a template makes every report slower"
    assert plain(read) == plain(by_the_rules(html))


@pytest.mark.parametrize("odd", [ODD, "form\x0cfeed", "\x01", "\ufffe", "one\rtwo"])
def test_no_letter_of_a_note_changes_the_tree(job: Any, odd: str) -> None:
    html = customer_html(job).replace("</h1>", f'</h1><p title="{escape(odd)}">{escape(odd)}</p>', 1)
    read = tree(html)
    assert read is not None or odd != ODD
    if read is not None:
        assert plain(read) == plain(by_the_rules(html))


def test_the_bytes_are_those_of_the_rules_of_html(job: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    allowed = [template_dir(), *(photo.copy.path for photo in job.album.photos)]
    html = customer_html(job)
    quick = pdf_bytes(html, allowed=allowed, base=template_dir())
    monkeypatch.setattr(page_tree, "tree", lambda _html: None)
    assert pdf_bytes(html, allowed=allowed, base=template_dir()) == quick


def test_rows_get_the_body_that_html_gives_them() -> None:
    html = (
        "<!DOCTYPE html><html><head></head><body><table><caption>c</caption><tr><td>1</td></tr>\n<tr><td>2</td></tr>"
        "<tfoot><tr><td>3</td></tr></tfoot></table></body></html>"
    )
    assert plain(tree(html)) == plain(by_the_rules(html))
    assert [child.tag for child in tree(html)[1][0]] == ["caption", "tbody", "tfoot"]


def test_a_drawing_looks_empty_and_is_drawn_whole() -> None:
    drawn = '<svg xmlns="http://www.w3.org/2000/svg" class="plate"><title>Steel</title><path d="M0 0"/></svg>'
    (folded,) = tree(f"<html><p>{drawn} after</p></html>")[0]
    assert isinstance(folded, Drawing)
    assert (len(folded), folded.get("class"), folded.tail) == (0, "plate", " after")
    assert len(folded.getroot()) == 2
    assert folded.find("{http://www.w3.org/2000/svg}title").text == "Steel"


@pytest.mark.parametrize("html", ["<html><p>one<p>two</html>", "<html><style>a > b {} /* & */</style></html>"])
def test_what_xml_reads_otherwise_is_left_to_the_rules_of_html(html: str) -> None:
    assert tree(html) is None
    made = page_tree.document(html, template_dir().as_uri() + "/", Fetcher([template_dir()]))
    assert plain(made.etree_element) == plain(by_the_rules(html))


def test_entities_of_a_page_of_somebody_elses_are_not_followed() -> None:
    assert tree('<!DOCTYPE x [<!ENTITY a "b">]><html>&a;</html>') is None

"""The words of a page as a reader meets them, block by block."""

from __future__ import annotations

import re
from html.parser import HTMLParser

INLINE = {"b", "span", "a", "input", "img"}
SILENT = {"style", "svg", "title", "script"}


class Blocks(HTMLParser):
    """Collects the text of every block; `findings` holds that of each article by its id."""

    def __init__(self) -> None:
        super().__init__()
        self.blocks: list[str] = []
        self.findings: dict[str, list[str]] = {}
        self._words = ""
        self._silent = 0
        self._article = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._silent += tag in SILENT
        if tag not in INLINE:
            self._end()
        if tag == "article":
            self._article = str(dict(attrs)["id"])

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in SILENT
        if tag not in INLINE:
            self._end()
        if tag == "article":
            self._article = ""

    def handle_data(self, data: str) -> None:
        self._words += "" if self._silent else data

    def _end(self) -> None:
        text = re.sub(r"\s+", " ", self._words).strip()
        self._words = ""
        if text:
            self.blocks.append(text)
            if self._article:
                self.findings.setdefault(self._article, []).append(text)


def shown(html: str) -> Blocks:
    """Read a page."""
    reader = Blocks()
    reader.feed(html)
    reader.close()
    return reader


def prose(blocks: list[str]) -> list[str]:
    """Keep what is told in sentences: headings, names and lone figures would only make a text look easier."""
    return [block for block in blocks if re.search(r"[.!?]", block) and len(block.split()) >= 5]

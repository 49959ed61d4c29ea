"""Captions out of a log of messages: the line that names a picture says what it shows, whoever wrote the log."""

from __future__ import annotations

import html
import re
from collections.abc import Collection, Iterable, Iterator
from typing import Final
from urllib.parse import unquote

from soundmetal.errors import one_line
from soundmetal.photos.scan import PICTURE_SUFFIXES, key
from soundmetal.photos.settings import settings

#: A message begins with its time, in brackets or not; a line that does not goes on with the message above.
_BEGINS = re.compile(r"\W{0,3}\d")
_SUFFIX = re.compile("|".join(re.escape(suffix) for suffix in sorted(PICTURE_SUFFIXES, key=len, reverse=True)), re.I)
_ADDRESS = re.compile(r"""\b(?:src|href)\s*=\s*("[^"]*"|'[^']*'|[^\s>"']+)""", re.I)
_WORDS = re.compile(r"""\balt\s*=\s*("[^"]*"|'[^']*')""", re.I)
_OPENS = re.compile(r"<(?=[A-Za-z/!])")
_TAG = re.compile(r"/?([A-Za-z][A-Za-z0-9]*)")
_NEW_LINE: Final = frozenset("p div br li tr table hr h1 h2 h3 h4 h5 h6 section article ul ol body html".split())  # noqa: SIM905
_UNSEEN: Final = frozenset(("script", "style", "title"))
_LINE_LETTERS: Final = 1000
_TAG_LETTERS: Final = 4000
_PER_LINE: Final = 3


def captions(logs: Iterable[str], names: Collection[str]) -> dict[str, str]:
    r"""Give a caption for each picture's name (without its folders) that a line of a log names; the first one counts.

    The caption is the line without the name, and the next line where that is the same message going on.

    >>> log = "9:05 - Ana: IMG_7.jpg\nrust behind the left wheel\n9:06 - Ana: that is all"
    >>> captions([log], {"IMG_7.jpg"})
    {'IMG_7.jpg': '9:05 - Ana: rust behind the left wheel'}
    """
    known = {_folded(key(name)): name for name in names}
    found: dict[str, str] = {}
    for log in logs:
        lines = [key(line) for line in log.splitlines() if line.strip()]
        for line, after in zip(lines, [*lines, ""][1:], strict=True):
            for name, start, end in _named(line[:_LINE_LETTERS], known):
                text = f"{_before(line, start)} {line[end:]}"
                more = after if _BEGINS.match(line) and not _BEGINS.match(after) else ""
                more = "" if _SUFFIX.search(more) else more
                caption = one_line(f"{text} {more}")[: settings().sources.caption_letters]
                found.setdefault(known[name], caption)
    return {name: text for name, text in sorted(found.items()) if text}


def _named(line: str, known: Collection[str]) -> Iterator[tuple[str, int, int]]:
    """Give the known names that stand in a line, the longest at each place, and where."""
    folded = _folded(line)
    for count, suffix in enumerate(_SUFFIX.finditer(folded)):
        if count == _PER_LINE:
            return
        end = suffix.end()
        for start in range(max(0, end - 255), suffix.start()):
            whole = start == 0 or not (folded[start - 1].isalnum() or folded[start - 1] in "_-")
            if whole and folded[start:end] in known:
                yield folded[start:end], start, end
                break


def _folded(text: str) -> str:
    """Fold to small letters without a change of length: some letters would become two."""
    folded = text.casefold()
    return folded if len(folded) == len(text) else "".join(c if len(c.casefold()) > 1 else c.casefold() for c in text)


def _before(line: str, start: int) -> str:
    """Give what stands before a name, without the folders that lead to it."""
    head = line[:start]
    return head[: len(head.rstrip()) - len(head.rstrip().split(" ")[-1])] if head.endswith("/") else head


def text_of(data: bytes, name: str) -> str:
    """Decode a log: UTF-16 with its mark, else UTF-8, wrong bytes replaced; of a page only what can be read on it."""
    sixteen = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    text = data.decode("utf-16" if sixteen else "utf-8-sig", "replace")
    return _of_page(text) if name.lower().endswith((".html", ".htm")) else text


def _of_page(page: str) -> str:
    """Lay out a page as lines. Tags are cut by hand in one pass: a broken page takes no longer than its length."""
    told: list[str] = []
    unseen = ""
    for number, piece in enumerate(_OPENS.split(page)):
        tag, text = _parted(piece) if number else ("", piece)
        match = _TAG.match(tag)
        element = match[1].lower() if match else ""
        if unseen and not (element == unseen and tag.startswith("/")):
            continue
        unseen = element if element in _UNSEEN and not tag.startswith("/") else ""
        told.append("\n" if element in _NEW_LINE else " ")
        told += _of_tag(tag[:_TAG_LETTERS])
        told.append("" if unseen else html.unescape(" ".join(text.split())))
    return "".join(told)


def _parted(piece: str) -> tuple[str, str]:
    """Part what follows a `<` into tag and text; without its end it was no tag."""
    tag, closed, text = piece.partition(">")
    return (tag, text) if closed else ("", f"<{piece}")


def _of_tag(tag: str) -> list[str]:
    addresses = [unquote(html.unescape(one.strip("\"'"))) for one in _ADDRESS.findall(tag)]
    words = [html.unescape(one.strip("\"'")) for one in _WORDS.findall(tag)]
    return [f" {text} " for text in (*addresses, *words)]

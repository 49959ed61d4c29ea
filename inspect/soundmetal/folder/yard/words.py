"""Words to search for: accents and case do not count, and the beginning of a word is enough."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

_WORD = re.compile(r"[^\W_]+")
#: A longer word is cut, in what is searched and in what is searched for: the index keeps words of any script whole.
LONGEST = 64


def folded(text: str) -> str:
    """Take accents and case off a text.

    >>> folded("Guardafango TRASERO, Número 3: Größe")
    'guardafango trasero, numero 3: grosse'
    """
    if text.isascii():
        return text.lower()
    bare = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    bare = "".join(char for char in bare if not unicodedata.category(char).startswith("M"))
    return unicodedata.normalize("NFKD", bare.casefold())


def words_of(text: str) -> tuple[str, ...]:
    """Give the words of a text, each once, in the order they come.

    >>> words_of("PH10-67-20418, Inés's Packhorse")
    ('ph10', '67', '20418', 'ines', 's', 'packhorse')
    """
    return tuple(dict.fromkeys(word[:LONGEST] for word in _WORD.findall(folded(text))))


def one_text(texts: Iterable[str]) -> str:
    """Put the words of several texts into one, a blank before each, as the index keeps them.

    >>> one_text(("Left rocker", "left"))
    ' left rocker'
    """
    return "".join(f" {word}" for word in dict.fromkeys(word for text in texts for word in words_of(text)))


def has_all(text: str, words: Sequence[str]) -> bool:
    """Tell whether each of the words begins a word of a text that `one_text` made.

    >>> has_all(" left rocker", ("rock", "le")), has_all(" left rocker", ("ocker",))
    (True, False)
    """
    return all(f" {word}" in text for word in words)

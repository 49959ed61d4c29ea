"""How hard a text is to read: Flesch-Kincaid grade for English, Fernández Huerta for Spanish.

Sources. Flesch-Kincaid grade: Kincaid, Fishburne, Rogers and Chissom, Derivation of new readability formulas for
Navy enlisted personnel, Research Branch Report 8-75, 1975: 0.39 words a sentence + 11.8 syllables a word - 15.59
(second-hand). Fernández Huerta, Medidas sencillas de lecturabilidad, Consigna 214, 1959: 206.84 - 60 syllables a word
- 1.02 words a sentence; the print of 1959 can be read as sentences a hundred words, G. Law, 2011, showed that words a
sentence is meant (second-hand). Figures with their units are left out, as Flesch advises where a passage holds many
(How to Write Plain English, 1979, from memory).

Syllables. Spanish: as many as a word has vowel groups by the academies (Ortografía de la lengua española, 2010,
 from memory): two open vowels part, an accented closed one beside an open one parts, all others stay together.
English spelling tells less: the greater of two counts is taken, the hyphenation patterns of pyphen and the groups of
vowels that are heard, so that no word makes a text look easier than it is.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

import pyphen

#: A figure, with its unit, sign or fraction: "5 7/16 in", "$1,120", "80 %", "D610", "0.9 mm".
FIGURE = re.compile(
    r"(?:[$€£]|\b[A-Z]{0,3})\d[\d.,/:]*(?:[\s\u00a0]\d+/\d+)?"
    r"(?:[\s\u00a0](?:mm|cm²|m²|m|in|ft|pulg²?|pies?²?|sq in|sq ft|%|h|km|mi)(?=\W|$))?"
)
WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
END = re.compile(r"[.!?…]+[\"”»)]*(?=\s|$)")
ENGLISH_VOWELS = re.compile(r"[aeiouy]+")
SILENT_END = re.compile(r"[^aeiouyl](?<![tb]r)e$|[aeiouy]le$|[^aeiouytd]ed$|(?<![cgsxz])(?<![cs]h)(?<=[^aeiouy])es$")
SILENT_INSIDE = re.compile(r"[aeiouy][^aeiouy]e(?:ly|ment|ful|less|ness|where|thing)s?$")
HEARD_TWICE = re.compile(r"i(?:a(?!l\b|n\b)|o(?!n|us)|um|er\b)|eous\b|[aeiouy]ing\b|ua|sm\b|[rd]ea\b")
OPEN, CLOSED, HEARD_APART = "aeoáéó", "iuü", "íú"


@dataclass(frozen=True)
class Count:
    """Words, sentences and syllables of a text."""

    words: int
    sentences: int
    syllables: int

    @property
    def flesch_kincaid(self) -> float:
        """School grade in the United States that reads it."""
        return 0.39 * self.words / self.sentences + 11.8 * self.syllables / self.words - 15.59

    @property
    def fernandez_huerta(self) -> float:
        """Ease from about 0 (hard) to 100 (very easy)."""
        return 206.84 - 60 * self.syllables / self.words - 1.02 * self.words / self.sentences


def count(texts: list[str], code: str) -> Count:
    """Count over texts that each end a sentence."""
    sentences = [part for text in texts for part in END.split(FIGURE.sub(" ", text)) if WORD.search(part)]
    words = [word for sentence in sentences for word in WORD.findall(sentence)]
    return Count(len(words), len(sentences), sum(syllables(word, code) for word in words))


@cache
def syllables(word: str, code: str) -> int:
    """Count the syllables of a word; each part of a word with hyphens counts for itself."""
    if "-" in word:
        return sum(syllables(part, code) for part in word.split("-"))
    return _spanish(word.lower()) if code == "es" else _english(word.lower())


@cache
def _patterns() -> pyphen.Pyphen:
    return pyphen.Pyphen(lang="en_US", left=1, right=1)


def _english(word: str) -> int:
    bare = re.sub(r"['’](?:s|t|ll|re|ve|d|m)?$", "", word)
    parts = sum(bool(ENGLISH_VOWELS.search(part)) for part in _patterns().inserted(bare).split("-"))
    return max(1, _heard(bare), parts - bool(re.search(r"-[^aeiouy]+es?$", _patterns().inserted(bare))))


def _heard(word: str) -> int:
    groups = len(ENGLISH_VOWELS.findall(re.sub("qu", "q", word)))
    silent = re.search(
        r"[^aeiouyl](?<![tb]r)e$|[aeiouy]le$|[^aeiouytd]ed$|(?<![cgsxz])(?<![cs]h)(?<=[^aeiouy])es$", word
    )
    groups -= bool(silent and groups > 1)
    groups -= bool(SILENT_INSIDE.search(word))
    return groups + len(HEARD_TWICE.findall(word))


def _spanish(word: str) -> int:
    word = re.sub(r"qu(?=[eiéí])|gu(?=[eiéí])", "k", word)
    word = re.sub(r"y(?=$|[^aeiouáéíóúü])", "i", word)
    groups = 0
    for run in re.findall(f"[{OPEN}{CLOSED}{HEARD_APART}]+", word.replace("h", "") if "h" in word else word):
        groups += _nuclei(run)
    return max(1, groups)


def _nuclei(run: str) -> int:
    """Count the nuclei of a run of vowels."""
    strong = sum(letter in OPEN + HEARD_APART for letter in run)
    return strong or 1

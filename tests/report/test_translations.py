"""Every sentence that can reach a page is translated, nothing in the file is unused, and no field gets lost."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from babel import Locale
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po
from jinja2 import Environment
from jinja2.ext import extract_from_ast

import soundmetal
from soundmetal.car import catalogue
from soundmetal.data import DATA, read_yaml
from soundmetal.grade.books import rule_book
from soundmetal.grade.models import Level
from soundmetal.grade.rules import rules
from soundmetal.handbook.sources import source
from soundmetal.paths import template_dir
from soundmetal.record import changes, terms
from soundmetal.repair.models import Method
from soundmetal.repair.practice import practice
from soundmetal.report import language as spoken
from soundmetal.report.html import customer_html
from soundmetal.report.language import TRANSLATIONS, Language, languages
from soundmetal.report.pages.rules_used import TABLES, all_rules
from soundmetal.report.sentences import sentences
from soundmetal.report.telling import ended

PACKAGE = Path(soundmetal.__file__).parent
FIELD = re.compile(r"\{(\w+)\}")
#: Calls whose plain string arguments are sentences: method name -> how many arguments.
CALLS = {"text": 1, "translated": 1, "plural": 2, "Step": 1, "_": 1}
#: Keys of data files under which sentences stand; `*` is any key.
DATA_SENTENCES = {
    "report.yaml": (("*",),),
    "after.yaml": (("*",),),
    "rules.yaml": (("*", "reason"), ("*", "says"), ("urgency", "*", "text"), ("zones", "*", "text")),
    "methods.yaml": (("rules", "*", "reason"), ("why_not",), ("chosen",)),
    "cautions.yaml": (("cautions", "*", "text"), ("holds",), ("undone",)),
    "order.yaml": (("stages", "*", "text"), ("stages", "*", "measured"), ("rules", "*", "say")),
    "blank_notes.yaml": (("*", "text"),),
    "shots.yaml": (("letter",), ("distances",), ("hints",), ("shots", "*", "view")),
    "shop_packet.yaml": (("reminders", "*", "text"), ("terms",)),
}
NOT_SAID = ("owner_cautions", "rule", "source", "id", "wanted")
#: Enumerations whose members are shown with a `_word` field or as a heading.
SHOWN_TERMS = (
    terms.Aim, terms.Check, terms.Seen, terms.Mounting, terms.RepairKind, terms.TakenWhen, changes.Why, Level, Method,
)  # fmt: skip
#: How a source was seen and what kind it is, told beside it.
SEEN_AS = ("published", "precedent", "read", "second-hand", "from memory")
UNITS = ("mm", "m", "in", "ft", "cm²", "m²", "sq in", "sq ft", "h", "mi", "km")


#: Sentences that conftest makes up in place of the scope's.
MADE_UP = {
    "It costs more than the method taken, by {more_money}.",
    "Of what is possible here it costs least.",
    "Seams stay visible on hidden sides.",
    "The left frame rail waits for a structural repairer.",
    "{panel_zone}: cut, weld and dress",
    "It waits for your answer.",
    "paint of the repaired panels",
}


def leaves(node: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], str]]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield from leaves(value, (*path, str(key)))
    elif isinstance(node, list):
        for value in node:
            yield from leaves(value, path)
    elif isinstance(node, str):
        yield path, node


def wanted(path: tuple[str, ...], pattern: tuple[str, ...]) -> bool:
    """A pattern holds when its parts occur in the path in this order; the last part, if not `*`, anywhere after."""
    position = 0
    for part in pattern:
        if part == "*":
            continue
        if part not in path[position:]:
            return False
        position = path.index(part, position) + 1
    return True


def from_data() -> Iterator[str]:
    for name, patterns in DATA_SENTENCES.items():
        for path, text in leaves(read_yaml(name)):
            if (
                any(wanted(path, pattern) for pattern in patterns)
                and path[0] not in NOT_SAID
                and path[-1] not in NOT_SAID
            ):
                yield text
                if path[0] in ("words", "rules_beyond"):
                    yield path[1]
    for book in sorted((DATA / "rule_books").glob("*.yaml")):
        for path, text in leaves(read_yaml(f"rule_books/{book.name}")):
            if path[-1] == "text":
                yield text


def from_sources() -> Iterator[str]:
    """Where the rules are from, as the report tells it."""
    yield from (rule.source for rule in all_rules(rules()))
    yield from (rule.source for rule in practice().rules.values())
    for path in sorted((DATA / "rule_books").glob("*.yaml")):
        book = rule_book(path.stem)
        yield from (note.source for note in (*book.refer, *book.limits, *book.notes))
    for table in map(source, TABLES):
        yield from (part for part in (table.title, table.edition, table.clause) if part)


def named_in_data(code: str) -> Iterator[str]:
    """English names of parts, bodies, rule books and shop work that the data does not tell in this language."""
    files = ["car/bodies.yaml", "shop_book.yaml"]
    files += [f"rule_books/{path.name}" for path in sorted((DATA / "rule_books").glob("*.yaml"))]
    told = [names for name in files for names in told_names(read_yaml(name))]
    bodies = [catalogue.body(name, structure) for name, structures in catalogue.bodies() for structure in structures]
    zones = [zone for body in bodies for zone in body.zones]
    told += [names for zone in zones for names in (zone.names, zone.plain, zone.access_work) if names]
    told += [outline.text for body in bodies for outline in body.outlines if outline.text]
    yield from (names["en"] for names in told if code not in names)


def told_names(node: Any) -> Iterator[dict[str, str]]:
    """Every mapping of the data that tells one thing in several languages: it has an English string."""
    if isinstance(node, dict):
        if isinstance(node.get("en"), str):
            yield node
        for value in node.values():
            yield from told_names(value)
    elif isinstance(node, list):
        for value in node:
            yield from told_names(value)


def from_code() -> Iterator[str]:
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                yield from _called(node)
        if path.relative_to(PACKAGE).parts[0] in ("grade", "repair", "scope", "report"):
            yield from _standing_alone(tree)


def _called(node: ast.Call) -> Iterator[str]:
    name = getattr(node.func, "attr", getattr(node.func, "id", ""))
    on_drawing = name == "text" and isinstance(node.func, ast.Attribute) and _is_drawing(node.func.value)
    for argument in node.args[: 0 if on_drawing else CALLS.get(name, 0)]:
        yield from _strings(argument)


def _standing_alone(tree: ast.AST) -> Iterator[str]:
    """Sentences that are kept in a name or a table before they are said: "Like this." or with {fields}."""
    skipped: set[int] = set()
    for node in ast.walk(tree):
        spoken_elsewhere = isinstance(node, (ast.JoinedStr, ast.Raise)) or _is_error(node) or _is_docstring(node)
        if spoken_elsewhere:
            skipped |= {id(child) for child in ast.walk(node)}
    for node in ast.walk(tree):
        if id(node) not in skipped and isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
            if " " in text and (text.endswith(".") or FIELD.search(text)) and "\\" not in text and "<" not in text:
                yield text


def _is_error(node: ast.AST) -> bool:
    name = getattr(node, "func", None)
    return isinstance(node, ast.Call) and getattr(name, "id", "").endswith(("Error", "Name", "Known", "check_output"))


def _is_docstring(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _is_drawing(node: ast.expr) -> bool:
    return getattr(node, "id", getattr(node, "attr", "")) in ("drawing", "row", "cells", "self", "field")


def _strings(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    if isinstance(node, ast.IfExp):
        yield from (*_strings(node.body), *_strings(node.orelse))


def from_templates() -> Iterator[str]:
    environment = Environment(autoescape=True)
    for path in sorted(template_dir().rglob("*.html")):
        parsed = environment.parse(path.read_text(encoding="utf-8"))
        for _line, _function, message in extract_from_ast(parsed, ("_",)):
            yield message if isinstance(message, str) else str(message[0])


def messages() -> set[str]:
    shown = {member.value for group in SHOWN_TERMS for member in group}
    return {*from_data(), *from_sources(), *from_code(), *from_templates(), *shown, *SEEN_AS, *UNITS}


def entries(code: str) -> list[Message]:
    with (TRANSLATIONS / f"{code}.po").open("rb") as file:
        return [entry for entry in read_po(file, locale=code, abort_invalid=True) if entry.id]


def ids(entry: Message) -> tuple[str, ...]:
    return entry.id if isinstance(entry.id, tuple) else (entry.id,)


def strings(entry: Message) -> tuple[str, ...]:
    return entry.string if isinstance(entry.string, tuple) else (entry.string,)


OTHERS = [code for code in languages() if code != "en"]


@pytest.mark.parametrize("code", OTHERS)
def test_every_sentence_is_translated(code: str) -> None:
    translated = {one for entry in entries(code) if all(strings(entry)) and not entry.fuzzy for one in ids(entry)}
    assert sorted({*messages(), *named_in_data(code)} - translated) == []


@pytest.mark.parametrize("code", OTHERS)
def test_no_translation_is_left_over(code: str) -> None:
    wanted_here = {*messages(), *named_in_data(code)}
    assert sorted({one for entry in entries(code) for one in ids(entry)} - wanted_here) == []


@pytest.mark.parametrize("code", OTHERS)
def test_fields_survive_translation(code: str) -> None:
    for entry in entries(code):
        wanted_fields = set(FIELD.findall(" ".join(ids(entry))))
        for string in strings(entry):
            assert set(FIELD.findall(string)) <= wanted_fields, entry.id
        assert set(FIELD.findall(strings(entry)[-1])) == wanted_fields, entry.id


@pytest.mark.parametrize("code", OTHERS)
def test_no_sentence_stands_twice(code: str) -> None:
    text = (TRANSLATIONS / f"{code}.po").read_text(encoding="utf-8")
    seen = re.findall(r"((?:^msgctxt .*\n)?^msgid (?:\".*\"\n)+)", text, re.MULTILINE)
    assert len(seen) == len(set(seen))


@pytest.mark.parametrize("code", OTHERS)
def test_sentences_end_as_they_did(code: str) -> None:
    for entry in entries(code):
        for one, other in zip(ids(entry), strings(entry), strict=False):
            assert (one[-1:] in ".:" and one[-1:] == other[-1:]) or one[-1:] not in ".:", entry.id


@pytest.mark.parametrize("code", OTHERS)
def test_a_whole_report_finds_every_word(code: str, job, monkeypatch: pytest.MonkeyPatch) -> None:
    missed: set[str] = set()
    find = Language._lookup

    def watch(self: Language, message: str, context: str | None) -> Any:
        found = find(self, message, context)
        if not found and context is None and re.search(r"[a-z]{2}", FIELD.sub("", message)):
            missed.add(message)
        return found

    monkeypatch.setattr(Language, "_lookup", watch)
    customer_html(job, code)
    assert missed - MADE_UP == set()


#: A language of the plural rule and number habits that Babel knows and the project does not.
MADE_UP_LANGUAGE = "eo"
OPENS, CLOSES = "\u2e22", "\u2e25"


@pytest.fixture
def one_more_language(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """One file beside the others, and nothing else: every message in half brackets."""
    folder = tmp_path / "translations"
    folder.mkdir()
    catalog = Catalog(locale=MADE_UP_LANGUAGE)
    plural = {entry.id[0]: entry.id for entry in entries("es") if isinstance(entry.id, tuple)}
    for text in sorted(
        {*messages(), *named_in_data(MADE_UP_LANGUAGE), *MADE_UP} - {one[1] for one in plural.values()}
    ):
        both = plural.get(text, text)
        strings_of = tuple(map(bracketed, both)) if isinstance(both, tuple) else bracketed(both)
        catalog.add(both, strings_of)
    with (folder / f"{MADE_UP_LANGUAGE}.po").open("wb") as file:
        write_po(file, catalog)
    monkeypatch.setattr(spoken, "TRANSLATIONS", folder)
    spoken.catalogue.cache_clear()
    yield MADE_UP_LANGUAGE
    spoken.catalogue.cache_clear()


def bracketed(text: str) -> str:
    return f"{OPENS}{text}{CLOSES}"


class Shown(HTMLParser):
    """Collects the text that a reader meets, alternatives of pictures and drawings with it."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.block = ""
        self.skipped = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.skipped += tag == "style"
        self.texts += [value for name, value in attrs if name == "alt" and value]
        if tag not in ("b", "span", "a", "br"):
            self.end_block()

    def handle_endtag(self, tag: str) -> None:
        self.skipped -= tag == "style"
        if tag not in ("b", "span", "a", "br"):
            self.end_block()

    def handle_data(self, data: str) -> None:
        self.block += "" if self.skipped else data

    def end_block(self) -> None:
        if self.block.strip():
            self.texts.append(self.block.strip())
        self.block = ""


def outside_brackets(text: str) -> str:
    while re.search(f"{OPENS}[^{OPENS}{CLOSES}]*{CLOSES}", text):
        text = re.sub(f"{OPENS}[^{OPENS}{CLOSES}]*{CLOSES}", " ", text)
    return text


def test_a_language_is_one_file(one_more_language: str, job) -> None:
    """With one file more, no English is left in the report but what people wrote and what things are called by."""
    shown = Shown()
    shown.feed(customer_html(job, one_more_language))
    inspection, contact = job.inspection, job.shop.shop
    written = [contact.name, contact.street, contact.town, contact.email, inspection.owner.name, inspection.inspector]
    written += [str(inspection.vehicle.make), str(inspection.vehicle.model), str(inspection.vehicle.colour)]
    written += [text for finding in inspection.findings for text in (finding.note, ended(finding.note))]
    written += [text for finding in inspection.findings for use in finding.photos for text in photo_words(use)]
    written += [note.note for note in inspection.not_seen] + [str(line) for line in job.shop.terms.values()]
    written += [part for line in job.shop.terms.values() for part in str(line).splitlines()]
    left = []
    for text in shown.texts:
        bare = outside_brackets(text)
        for words in sorted(filter(None, written), key=len, reverse=True):
            bare = bare.replace(words, " ")
        if re.search(r"[A-Za-z]{4,}", re.sub(r"iso-[\d-]+|astm-d\d+|(?:shop|us|uk|nz)-[\w.-]+", " ", bare)):
            left.append((text, bare))
    left = [pair for pair in left if not set(re.findall(r"[a-z]{4,}", pair[1])) <= MONTHS]
    assert [bare for _, bare in left] == []


def photo_words(use: Any) -> Iterator[str]:
    yield from filter(None, (use.caption, *(mark.text for mark in use.call_outs)))


#: Months of the made-up language's calendar come from Babel, not from the file.
MONTHS = set(Locale.parse(MADE_UP_LANGUAGE).months["format"]["wide"].values())


@pytest.mark.parametrize("code", OTHERS)
def test_every_word_of_the_trade_is_told_in_its_own_tongue(code: str) -> None:
    lang = spoken.language(code, terms.Units.METRIC, "USD")
    same = {term for term in sentences().words if lang.word(term, "glossary") == term}
    assert same <= {"panel", "Ri, D610"}

"""Every sentence that can reach a page is translated, nothing in the file is unused, and no field gets lost."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from babel.messages.catalog import Message
from babel.messages.pofile import read_po
from jinja2 import Environment
from jinja2.ext import extract_from_ast

import soundmetal
from soundmetal.data import DATA, read_yaml
from soundmetal.grade.models import Level
from soundmetal.paths import template_dir
from soundmetal.record import terms
from soundmetal.repair.models import Method
from soundmetal.report.html import customer_html
from soundmetal.report.language import TRANSLATIONS, Language, languages

PACKAGE = Path(soundmetal.__file__).parent
FIELD = re.compile(r"\{(\w+)\}")
#: Calls whose plain string arguments are sentences: method name -> how many arguments.
CALLS = {"text": 1, "translated": 1, "plural": 2, "Step": 1, "_": 1}
#: Keys of data files under which sentences stand; `*` is any key.
DATA_SENTENCES = {
    "report.yaml": (("*",),),
    "rules.yaml": (("*", "reason"), ("*", "says"), ("urgency", "*", "text"), ("zones", "*", "text")),
    "methods.yaml": (("rules", "*", "reason"), ("why_not",), ("chosen",)),
    "cautions.yaml": (("cautions", "*", "text"), ("holds",), ("undone",)),
    "order.yaml": (("stages", "*", "text"), ("stages", "*", "measured"), ("rules", "*", "say")),
    "blank_notes.yaml": (("*", "text"),),
    "shots.yaml": (("letter",), ("distances",), ("hints",), ("shots", "*", "view")),
    "shop_packet.yaml": (("reminders", "*", "text"), ("terms",)),
}
NOT_SAID = ("owner_cautions", "rule", "source")
#: Enumerations whose members are shown with a `_word` field or as a heading.
SHOWN_TERMS = (
    terms.Aim, terms.Check, terms.Seen, terms.Mounting, terms.RepairKind, Level, Method,
)  # fmt: skip
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
                if path[:1] == ("words",):
                    yield path[1]
    for book in sorted((DATA / "rule_books").glob("*.yaml")):
        for path, text in leaves(read_yaml(f"rule_books/{book.name}")):
            if path[-1] == "text":
                yield text


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
    return {*from_data(), *from_code(), *from_templates(), *shown, *UNITS}


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
    assert sorted(messages() - translated) == []


@pytest.mark.parametrize("code", OTHERS)
def test_no_translation_is_left_over(code: str) -> None:
    assert sorted({one for entry in entries(code) for one in ids(entry)} - messages()) == []


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

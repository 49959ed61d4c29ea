"""Every sentence that can reach a page, collected from data, code and templates; and what a language's file holds.

A new data file with sentences is named in DATA_SENTENCES.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from babel.messages.catalog import Message
from babel.messages.pofile import read_po
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
from soundmetal.report.language import TRANSLATIONS
from soundmetal.report.pages.rules_used import TABLES, all_rules

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

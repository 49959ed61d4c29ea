"""The rules that this report rests on, each with its id, its words and its source."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from soundmetal.grade.rules import Rule, Rules, rules
from soundmetal.handbook.sources import source
from soundmetal.repair.practice import practice
from soundmetal.report.contexts import RuleLine
from soundmetal.report.telling import Telling

#: Published tables that every report rests on: rusted area, loss of steel in the air.
TABLES = ("iso-4628-3", "astm-d610", "iso-9223", "iso-9224")


def rules_used(telling: Telling) -> tuple[RuleLine, ...]:
    """Give the grading rules, the rules for methods, the rule book's notes and the published tables used."""
    lines = (*_grading(telling), *_methods(telling), *_book(telling), *_tables(telling))
    return tuple(dict.fromkeys(lines))


def _grading(telling: Telling) -> Iterator[RuleLine]:
    used = {rule for graded in telling.job.grades.findings for rule in (graded.rule, *graded.also)}
    used |= {zone.rule for zone in telling.job.grades.zones}
    used |= {step.source for graded in telling.job.grades.findings for step in graded.why}
    for rule in _all_rules(rules()):
        if rule.id in used:
            yield RuleLine(rule.id, telling.lang.text(rule.reason), rule.source)


def _all_rules(book: Rules) -> Iterator[Rule]:
    yield from (book.metal_left, book.readings, book.mill, book.filler, book.limits, book.suspect, book.nearness)
    yield from book.levels
    yield book.waiting


def _methods(telling: Telling) -> Iterator[RuleLine]:
    used = {rule for work in telling.job.scope.panels for rule in work.choice.taken.rules}
    for rule_id, rule in practice().rules.items():
        if rule_id in used:
            yield RuleLine(rule_id, telling.lang.text(rule.reason), rule.source)


def _book(telling: Telling) -> Iterator[RuleLine]:
    book = telling.job.book
    used = {note for graded in telling.job.grades.findings for note in graded.book_notes}
    for note in (*book.refer, *book.limits, *book.notes):
        if note.id in used:
            yield RuleLine(note.id, telling.lang.text(note.text), f"{note.source} ({note.confidence})")


def _tables(telling: Telling) -> Iterator[RuleLine]:
    for source_id in TABLES:
        found = source(source_id)
        edition = f"{found.edition}, {found.clause}, {found.confidence.value}" if found.edition else found.clause
        yield RuleLine(source_id, Markup.escape(found.title), edition)

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
#: The rule that chooses between methods; it is used wherever a method is.
CHOICE = "R7"
#: A rule that only the trade's habit carries says so in its source.
HABIT = "common practice"
#: A table is published anyway; what is left of the word tells how far it was seen.
READ_OF = "published-"


def rules_used(telling: Telling) -> tuple[RuleLine, ...]:
    """Give the rules for grades and methods, the rule book's notes, what else counts, and the published tables."""
    lines = (*_grading(telling), *_methods(telling), *_book(telling), *_beyond(telling), *_tables(telling))
    return tuple(dict.fromkeys(lines))


def _grading(telling: Telling) -> Iterator[RuleLine]:
    used = {rule for graded in telling.job.grades.findings for rule in (graded.rule, *graded.also)}
    used |= {zone.rule for zone in telling.job.grades.zones}
    used |= {step.source for graded in telling.job.grades.findings for step in graded.why}
    score, waiting = rules().score, rules().waiting.id
    ranked = {score.loss.id, score.share.id, score.role.id} if telling.told else set()
    for rule in all_rules(rules()):
        if rule.id in used | ranked | {waiting}:
            yield RuleLine(rule.id, telling.lang.text(rule.reason), _source(telling, rule))


def all_rules(book: Rules) -> Iterator[Rule]:
    """Give every grading rule in the order in which it is told."""
    yield from (book.metal_left, book.readings, book.mill, book.filler, book.limits, book.suspect, book.nearness)
    yield from book.levels
    yield from (book.score.loss, book.score.share, book.score.role)
    yield book.waiting


def _source(telling: Telling, rule: Rule) -> Markup:
    if rule.source_kind == HABIT:
        return telling.lang.text(rule.source)
    return _quoted(telling, rule.source_kind, telling.lang.text(rule.source), rule.confidence)


def _quoted(telling: Telling, kind: str, where: Markup, confidence: str) -> Markup:
    return telling.lang.text(
        "{kind_word}: {where} ({confidence_word})",
        kind_word=kind,
        where=where,
        confidence_word=confidence,
    )


def _methods(telling: Telling) -> Iterator[RuleLine]:
    used = {rule for work in telling.job.scope.panels for rule in work.choice.taken.rules}
    used |= {CHOICE} if used else set()
    for rule_id, rule in practice().rules.items():
        if rule_id in used:
            yield RuleLine(rule_id, telling.lang.text(rule.reason), telling.lang.text(rule.source))


def _book(telling: Telling) -> Iterator[RuleLine]:
    book = telling.job.book
    used = {note for graded in telling.job.grades.findings for note in graded.book_notes}
    for note in (*book.refer, *book.limits, *book.notes):
        if note.id in used:
            where = telling.lang.text(
                "{where} ({confidence_word})", where=telling.lang.text(note.source), confidence_word=note.confidence
            )
            yield RuleLine(note.id, telling.lang.text(note.text), where)


def _beyond(telling: Telling) -> Iterator[RuleLine]:
    for name, said in telling.words.rules_beyond.items():
        yield RuleLine(
            telling.lang.word(name, "rule"), telling.lang.text(said.says), telling.lang.text(said.rests_on)
        )


def _tables(telling: Telling) -> Iterator[RuleLine]:
    lang = telling.lang
    for source_id in TABLES:
        found = source(source_id)
        where = Markup(", ").join(lang.text(part) for part in (found.edition, found.clause) if part)
        yield RuleLine(
            source_id,
            lang.text(found.title),
            _quoted(telling, "published", where, found.confidence.value.removeprefix(READ_OF)),
        )

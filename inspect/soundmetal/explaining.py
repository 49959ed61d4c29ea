"""Answers to "why?": a rule, a rule book, the shop book, or all that led to one finding's level, method and price."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from soundmetal import pipeline
from soundmetal.data import DATA
from soundmetal.errors import FolderError, UnknownName, UsageError
from soundmetal.folder import store
from soundmetal.grade.books import RuleBook, rule_books
from soundmetal.grade.explain import explain_finding, explain_rule
from soundmetal.grade.rules import rules
from soundmetal.learning import lesson, write_learned
from soundmetal.record.terms import Units
from soundmetal.repair.practice import practice, rule_steps
from soundmetal.report.job import Job
from soundmetal.report.language import Language, language
from soundmetal.report.pages.practice import deposit
from soundmetal.report.telling import telling
from soundmetal.scope.learning import book_lines
from soundmetal.scope.models import PanelWork
from soundmetal.words import did_you_mean

#: The shop's own rule book; its name also asks for the shop book.
SHOP = "shop"
PRICE, LEARNING = "price", "learning"


@dataclass(frozen=True)
class Section:
    """A heading and its lines."""

    title: str
    lines: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Give it for JSON."""
        return asdict(self)


def explain(name: str, folder: Path, code: str = "", output: Path | None = None) -> tuple[Section, ...]:
    """Explain a rule (G1 ..., R1 ...), a rule book (`shop`: the shop book too), or a finding of an inspection.

    `price` tells what drives the range of the whole price; `learning` what hours really spent teach, of one
    inspection or of all in a folder, and writes the new figures to `output`. Raises UnknownName with the nearest
    right word, UsageError for a language that does not exist.
    """
    if code:
        pipeline.language_known(code)
    if name == LEARNING:
        return _learning(folder, code or "en", output)
    if output is not None:
        raise UsageError(f'there is nothing to write for "{name}"', todo=f"Only {LEARNING} takes --output.")
    words = language(code or "en", Units.METRIC, "USD")
    rule_ids = {rule.casefold(): rule for rule in (*(one.id for one in rules().levels), *practice().rules)}
    if name.casefold() in rule_ids:
        return (_rule(rule_ids[name.casefold()], words),)
    if name == PRICE:
        return (_price(folder, code),)
    books = {book.id: book for book in rule_books()}
    if name in books:
        return (*([_shop_book()] if name == SHOP else []), _book(books[name], words))
    return _finding(name, folder, code, [*rule_ids.values(), *books, PRICE, LEARNING])


def _shop_book() -> Section:
    text = (DATA / "shop_book.yaml").read_text(encoding="utf-8")
    return Section("The shop book's defaults; shop.yaml names only what differs", tuple(text.splitlines()))


def _book(book: RuleBook, words: Language) -> Section:
    lines = tuple(f"{note.id}: {words.translated(note.text)} ({note.source})" for note in book.notes)
    return Section(words.own(book.names), lines)


def _rule(rule_id: str, words: Language) -> Section:
    steps = rule_steps(rule_id) if rule_id in practice().rules else explain_rule(rule_id)
    return Section(rule_id, tuple(words.sentence(step).unescape() for step in steps))


def _learning(folder: Path, code: str, output: Path | None) -> tuple[Section, ...]:
    found = lesson(folder)
    told = Section("Hours spent, and the shop book before -> after", found.lines(code))
    book = Section("For shop.yaml, where you agree", book_lines(found.learned))
    if output is None:
        return told, book
    return told, book, Section(f"wrote {write_learned(found, output)}", ())


def _price(folder: Path, code: str) -> Section:
    loaded = pipeline.load(folder)
    job = pipeline.for_reader(pipeline.work_out(loaded, pipeline.album_of(loaded)), language=code)
    told, total = telling(job), job.scope.total
    words = told.lang
    causes = tuple(
        f"{words.sentence(one.text).unescape()}: {one.share:.0%}, "
        f"{words.look.exact_money(one.low)} / +{words.look.exact_money(one.high)}"
        for one in total.drivers
    )
    return Section(words.money_range(total.price).unescape(), (*causes, *deposit(told)))


def _words(job: Job) -> Language:
    """The language of a job, with the names of its zones and what its shop calls things."""
    return telling(job).lang


def _finding(name: str, folder: Path, code: str, others: list[str]) -> tuple[Section, ...]:
    try:
        store.record_path(folder)
    except FolderError as error:
        todo = did_you_mean(name, others) or f"There are: {', '.join(others)}; for a finding name its folder as well."
        raise UnknownName(f'no rule or rule book "{name}"', todo=todo) from error
    loaded = pipeline.load(folder)
    ids = {finding.id.casefold(): finding.id for finding in loaded.inspection.findings}
    if name.casefold() not in ids:
        known = [*ids.values(), *others]
        todo = did_you_mean(name, known) or f"There are: {', '.join(known)}."
        raise UnknownName(f'no finding, rule or rule book "{name}"', todo=todo)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded))
    return _sections(ids[name.casefold()], pipeline.for_reader(job, language=code))


def _sections(finding_id: str, job: Job) -> tuple[Section, ...]:
    words = _words(job)
    graded = job.grades.by_id[finding_id]
    title = f"{finding_id}, {words.zone(graded.zone_id)}: {words.word(graded.level)}"
    level = Section(title, tuple(words.sentence(step).unescape() for step in explain_finding(graded)))
    work = next((one for one in job.scope.panels if one.panel == graded.zone_id), None)
    return (level,) if work is None else (level, *_work(work, words))


def _work(work: PanelWork, words: Language) -> tuple[Section, ...]:
    method = Section(words.word(work.choice.taken.method), tuple(_methods(work, words)))
    if not work.operations:
        return (method,)
    hours = tuple(
        f"{one.kind}: {one.amount:.4g} {one.unit} -> "
        f"{one.hours.low:.2f} / {one.hours.likely:.2f} / {one.hours.high:.2f} h ({one.source})"
        for one in work.operations
    )
    return (
        method,
        *_made(work, words),
        Section(words.hours_range(work.hours).unescape(), hours),
        Section(words.money_range(work.price).unescape(), ()),
    )


def _made(work: PanelWork, words: Language) -> tuple[Section, ...]:
    """Say whether the piece is made or bought, with the break-even, and why it is joined as it is."""
    buying = work.choice.taken.buying
    steps = [] if buying is None else [buying.text]
    steps += [seam.why for seam in work.seams if seam.why is not None]
    lines = dict.fromkeys(words.sentence(step).unescape() for step in steps)
    return (Section(words.translated("How it is made and joined"), tuple(lines)),) if lines else ()


def _methods(work: PanelWork, words: Language) -> Iterator[str]:
    """Say why the method was taken, then why each other was not; those that lost for one reason share a line."""
    yield words.sentence(work.choice.reason).unescape()
    lost: dict[str, list[str]] = {}
    for loser in work.choice.losers:
        price = f" ({words.look.exact_money(loser.option.price)})" if loser.option.price is not None else ""
        name = f"{words.word(loser.option.method)}{price}"
        lost.setdefault(words.sentence(loser.reason).unescape(), []).append(name)
    for reason, names in lost.items():
        yield f"{', '.join(names)}: {reason}"

"""Rule books: what a country's inspection rules add to the grading, as data in `data/rule_books/`."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal

from pydantic import Field, ValidationError

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError, UnknownName
from soundmetal.grade.models import Step
from soundmetal.grade.rules import first_problem
from soundmetal.grade.when import Case, Known, When, holds
from soundmetal.record.terms import RepairKind
from soundmetal.words import did_you_mean, nearest

#: The books that come with the tool, the default first.
BOOKS = ("shop", "uk", "nz", "us")
Text = Annotated[str, Field(min_length=1)]
Confidence = Literal["read", "second-hand", "from memory"]


class Note(Known):
    """One sentence of a rule book with its source, and the cases in which it belongs to a finding."""

    id: Text
    text: Text
    source: Text
    confidence: Confidence
    verdict: Literal["minor", "major", "dangerous"] | None = None
    when: tuple[When, ...] = ()

    def applies(self, case: Case) -> bool:
        """Tell whether the note belongs to this finding."""
        return any(holds(when, case) for when in self.when)

    def step(self) -> Step:
        """The note as a sentence for a page."""
        return Step(self.text, {}, self.id)


class SizeLimit(Note):
    """A size that the book names for something a person measures, in mm: `more_than_mm` or `at_least_mm`."""

    what: Text
    more_than_mm: float | None = None
    at_least_mm: float | None = None

    def reached(self, value_mm: float) -> bool:
        """Tell whether a measured size in mm meets the limit. Raises ValueError for a negative size.

        Sizes are compared to the nanometre, so that 1 1/2 in meets a limit of 38.1 mm.
        """
        if not value_mm >= 0:
            raise ValueError(f"{self.what}: {value_mm} mm is not a size")
        size_mm = round(value_mm, 6)
        if self.more_than_mm is not None:
            return size_mm > self.more_than_mm
        return self.at_least_mm is not None and size_mm >= self.at_least_mm


class RuleBook(Known):
    """One rule book. `mounting_distance_mm` is None where the book names none; then all of a part counts (see M7).

    `refer` says what goes to a qualified structural repairer beyond what is unsafe; `notes` are told beside a finding
    they apply to; `cautions` always. `patch_seam` and `plug_allowed` are how structure may be joined.
    """

    id: Text
    names: dict[str, str]
    country: str
    mounting_distance_mm: Annotated[float, Field(gt=0)] | None
    mounting_distance_source: Text
    overlap_allowed_on_structure: bool
    patch_seam: Literal["continuous", "as the maker's"]
    plug_allowed: Literal["where factory spot welds were", "never", "always"]
    refer_structural: Literal["unsafe only", "any corrosion"]
    not_accepted_on_structure: tuple[RepairKind, ...]
    floor_patch_fixings: tuple[Literal["welded", "riveted", "screwed"], ...]
    refer: tuple[Note, ...] = ()
    limits: tuple[SizeLimit, ...] = ()
    notes: tuple[Note, ...] = ()
    cautions: tuple[Note, ...] = ()

    def name(self, language: str) -> str:
        """The book's name in the reader's language, English where there is none."""
        return self.names.get(language, self.names["en"])

    @property
    def by_id(self) -> dict[str, Note]:
        """Every sentence of the book by its id."""
        return {note.id: note for note in (*self.refer, *self.limits, *self.notes, *self.cautions)}

    def note(self, note_id: str) -> Note:
        """Give one sentence of the book. Raises UnknownName."""
        if note_id not in self.by_id:
            raise UnknownName(f'rule book "{self.id}" has no "{note_id}"', todo=did_you_mean(note_id, self.by_id))
        return self.by_id[note_id]

    def applying(self, case: Case) -> tuple[str, ...]:
        """Give the ids of all sentences that belong to a finding: reasons to refer first, then notes."""
        return tuple(note.id for note in (*self.refer, *self.notes) if note.applies(case))


@cache
def rule_book(book_id: str) -> RuleBook:
    """Give a rule book by its id. Raises UnknownName, or SettingsError if its data is wrong.

    >>> rule_book("uk").mounting_distance_mm
    300.0
    >>> rule_book("nz").mounting_distance_mm is None
    True
    """
    if book_id not in BOOKS:
        hint = did_you_mean(book_id, BOOKS) if nearest(book_id, BOOKS) else f"There are: {', '.join(BOOKS)}."
        raise UnknownName(f'there is no rule book "{book_id}"', todo=hint)
    name = f"rule_books/{book_id}.yaml"
    try:
        return RuleBook.model_validate(read_yaml(name))
    except ValidationError as error:
        key, words = first_problem(error)
        raise SettingsError(words, place=Place(DATA / name, key=key), todo="Correct the rule book.") from error


def rule_books() -> tuple[RuleBook, ...]:
    """Give every rule book, the default first."""
    return tuple(rule_book(book_id) for book_id in BOOKS)

"""Hours really spent, read from one inspection or a whole yard: what they teach, and the new figures as a file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from soundmetal import pipeline
from soundmetal.errors import FolderError, UsageError
from soundmetal.folder import store, yaml_text
from soundmetal.folder.atomic import write_text
from soundmetal.folder.shop import load_shop_book
from soundmetal.grade.car import grade_car
from soundmetal.grade.models import Step
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Units
from soundmetal.report.language import language
from soundmetal.scope.learning import Learned, Spent, book_lines, learned, spent_on
from soundmetal.scope.work import work_out

#: First words of the file; a file that begins otherwise is somebody's own and is not replaced.
HEAD = "# Learned from hours spent"
NOTHING = "No hours are written down yet. Write them into inspection.yaml, for instance  spent: {F1: {butt_mig: 3.5}}"


@dataclass(frozen=True)
class Lesson:
    """What the hours of some cars teach. `strange` are hours that belong to no work of their car's scope."""

    shop: ShopBook
    cars: tuple[str, ...]
    learned: tuple[Learned, ...]
    strange: tuple[Step, ...]

    def lines(self, code: str) -> tuple[str, ...]:
        """Tell every operation's factor and what it is from, its figures before and after, and what was left out."""
        operations = self.shop.operations
        names = {book.name["en"]: book.name.get(code, book.name["en"]) for book in operations.values()}
        words = language(code, Units.METRIC, self.shop.currency).with_zones({}, names)
        told: list[str] = []
        for one in self.learned:
            told.append(words.sentence(one.text).unescape())
            told.append("    " + ", ".join(figures(one)))
        told += [words.sentence(step).unescape() for step in self.strange]
        return tuple(told) or (NOTHING,)

    @property
    def text(self) -> str:
        """The new figures as a file in the form of the shop book."""
        head = (
            f"{HEAD} on: {', '.join(self.cars) or 'no car yet'}.",
            "# Look at each line, then copy those you agree with into shop.yaml. Nothing reads this file by itself.",
        )
        return "\n".join((*head, *book_lines(self.learned), ""))


def figures(one: Learned) -> tuple[str, ...]:
    """Give the shop book's figures of one operation, before and after; one that the book leaves at 0 is not told."""
    pairs = (("fixed_h", one.before[0], one.fixed_h), ("per_h", one.before[1], one.per_h))
    return tuple(f"{name} {before:.4g} -> {after:.4g}" for name, before, after in pairs if before)


def lesson(folder: Path) -> Lesson:
    """Learn from one inspection folder, or from every inspection in a yard. FolderError where there is none."""
    jobs: list[Spent] = []
    strange: list[Step] = []
    cars: list[str] = []
    shop: ShopBook | None = None
    for one in inspections(folder):
        loaded = pipeline.load(one)
        shop = shop or loaded.shop
        record = loaded.inspection
        if not record.spent:
            continue
        grades = grade_car(record, loaded.body, loaded.book)
        scope = work_out(record, loaded.body, loaded.shop, loaded.book, grades, record.aim)
        done, unknown = spent_on(one.resolve().name, record.spent, scope)
        cars.append(one.resolve().name)
        jobs += done
        strange += unknown
    book = shop or load_shop_book(folder)
    return Lesson(book, tuple(cars), learned(jobs, book), tuple(strange))


def inspections(folder: Path) -> list[Path]:
    """Give the folder itself where it holds a record, else those folders in it that do, by name."""
    try:
        store.record_path(folder)
    except FolderError:
        inside = sorted(path for path in folder.iterdir() if _holds_one(path)) if folder.is_dir() else []
        if not inside:
            raise
        return inside
    return [folder]


def write_learned(found: Lesson, path: Path) -> Path:
    """Write the new figures to a file. UsageError where a file of somebody's own would be replaced."""
    if path.is_file() and not yaml_text.read_text(path).startswith(HEAD):
        raise UsageError(f'"{path.name}" is somebody\'s own file', todo="Name another file to write to.")
    write_text(path, found.text)
    return path


def _holds_one(path: Path) -> bool:
    if not path.is_dir() or path.name.startswith("."):
        return False
    try:
        store.record_path(path)
    except FolderError:
        return False
    return True

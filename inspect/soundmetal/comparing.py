"""Two states of one inspection side by side: what was asked then, what is asked now, and what lies between.

Pure but for reading: a state that was sent is read from its folder, `now` is worked out from the record as it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from soundmetal import pipeline
from soundmetal.errors import UnknownName, UsageError
from soundmetal.folder.atomic import write_bytes
from soundmetal.folder.states import State, newest, states
from soundmetal.record.changes import Changes, changes
from soundmetal.record.offer import Offer, OfferedPanel
from soundmetal.record.terms import Aim
from soundmetal.report import publish
from soundmetal.report.compared import Pair, PairSide
from soundmetal.words import did_you_mean

NOW = "now"


@dataclass(frozen=True)
class Side:
    """One of the two: its name (a number, or `now`), what was asked, and the state where it was sent."""

    name: str
    offer: Offer
    state: State | None = None

    @property
    def title(self) -> str:
        """Name it with its day."""
        return f"state {self.name}, {self.state.mark.sent}" if self.state else NOW


@dataclass(frozen=True)
class Row:
    """One finding on both sides; a side is empty where there is no such finding."""

    finding: str
    zone: str
    before: str
    after: str
    why: str


@dataclass(frozen=True)
class Compared:
    """Both sides and all that differs, under one aim."""

    before: Side
    after: Side
    aim: Aim
    changes: Changes

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every finding of either side, changed ones first."""
        return (*self._changed(), *self._gone(), *self._same())

    def as_dict(self) -> dict[str, Any]:
        """Give it for another program."""
        added = self.changes.added[self.aim]
        return {
            "before": self.before.name,
            "after": self.after.name,
            "aim": self.aim.value,
            "findings": [row.__dict__ for row in self.rows],
            "added_price": [str(one) for one in added.price],
            "added_hours": [round(one, 4) for one in added.hours],
            "added_days": [round(one, 4) for one in added.days],
        }

    def _changed(self) -> Iterator[Row]:
        for one in self.changes.changed:
            yield self._row(one.finding, ", ".join(why.value for why in one.why))

    def _gone(self) -> Iterator[Row]:
        for name in self.changes.gone:
            yield self._row(name, "gone")

    def _same(self) -> Iterator[Row]:
        for name in self.changes.same:
            yield self._row(name, "")

    def _row(self, name: str, why: str) -> Row:
        holder = self.after.offer if name in self.after.offer.findings else self.before.offer
        then, today = (_told(side.offer, name, self.aim) for side in (self.before, self.after))
        return Row(name, holder.findings[name].zone, then, today, why)


def compare(folder: Path, before: str = "", after: str = NOW) -> Compared:
    """Compare two states by number or `now`; without a first one, the newest that was answered, or that was sent.

    UnknownName for a state that there is not, UsageError where nothing was ever sent.
    """
    found = states(folder)
    if not found:
        raise UsageError(
            "nothing was sent yet, so there is nothing to compare", todo=f"Send it: soundmetal send {folder}"
        )
    first = newest(found, answered=True) or found[-1]
    then = _side(folder, found, before or str(first.number))
    today = _side(folder, found, after)
    if then.offer.inspection != today.offer.inspection and today.state is None:
        raise UsageError("the states belong to another inspection", todo="Look whose folder states/ is.")
    if then.offer.currency != today.offer.currency:
        raise UsageError(
            f"one is in {then.offer.currency}, the other in {today.offer.currency}",
            todo="Compare states in one currency.",
        )
    aim = today.offer.aim
    return Compared(then, today, aim, changes(then.offer, today.offer, aim))


def write_compared(folder: Path, found: Compared, target: Path) -> Path:
    """Write two states side by side as a PDF in the language of the record, and give its path."""
    loaded = pipeline.load(folder)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded))
    pair = Pair(_on_paper(found.before), _on_paper(found.after), found.changes, found.aim)
    write_bytes(target, publish.pdf_of_pair(job, pair))
    return target


def _on_paper(side: Side) -> PairSide:
    if side.state is None:
        return PairSide(side.offer)
    return PairSide(side.offer, side.state.number, side.state.mark.sent)


def _side(folder: Path, found: tuple[State, ...], name: str) -> Side:
    if name == NOW:
        loaded = pipeline.load(folder)
        return Side(NOW, pipeline.work_out(loaded, pipeline.album_of(loaded)).offer)
    known = {str(state.number): state for state in found}
    if name not in known:
        names = [*known, NOW]
        raise UnknownName(f'no state "{name}"', todo=did_you_mean(name, names) or f"There are: {', '.join(names)}.")
    return Side(name, known[name].offer, known[name])


def _told(offer: Offer, name: str, aim: Aim) -> str:
    """Tell a finding in a few words: level, method, expected price."""
    found = offer.findings.get(name)
    if found is None:
        return ""
    panel = offer.aims[aim].panels.get(offer.panel_of(name, aim))
    return ", ".join((found.level, *_work(panel, offer.currency)))


def _work(panel: OfferedPanel | None, currency: str) -> tuple[str, ...]:
    return (panel.method, f"{panel.price.likely} {currency}") if panel else ()

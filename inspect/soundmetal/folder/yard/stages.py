"""Write down where a car stands in the shop: the next entry of `progress` in the record."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from soundmetal.errors import UsageError
from soundmetal.folder import store
from soundmetal.folder.store import Change
from soundmetal.folder.yard.reading import read_states
from soundmetal.record.models import Progress
from soundmetal.record.terms import Stage


@dataclass(frozen=True)
class Moved:
    """An entry that was written, and what is odd about it: it stands all the same."""

    entry: Progress
    odd: tuple[str, ...]


def move(folder: Path, stage: Stage, date: dt.date, note: str = "", *, again: bool = False) -> Moved:
    """Append where the car stands from a day on; `undo` takes it back.

    UsageError for an order that cannot be: a day before the last entry's, anything after closed unless it is opened
    `again`. Then nothing is written.
    """
    stored = store.read(folder)
    before = stored.inspection.progress
    _possible(before, stage, date, again=again)
    odd = tuple(_odd(folder, before, stage))
    entry: dict[str, object] = {"stage": stage.value, "date": date}
    if note:
        entry["note"] = note
    if "progress" in stored.tree:
        change = Change(("progress", len(before)), entry, was=None)
    else:
        change = Change(("progress",), [entry], was=None)
    new = store.change(folder, [change])
    return Moved(new.inspection.progress[-1], odd)


def _possible(before: tuple[Progress, ...], stage: Stage, date: dt.date, *, again: bool) -> None:
    last = before[-1] if before else None
    is_closed = last is not None and last.stage is Stage.CLOSED
    if again and not is_closed:
        raise UsageError("the inspection is not closed", todo="Leave --again out.")
    if last is None:
        return
    if date < last.date:
        raise UsageError(
            f"{date} lies before {last.date}, when it was {last.stage.value}", todo="Say the right day with --date."
        )
    if is_closed and stage is Stage.CLOSED:
        raise UsageError(f"it was closed on {last.date}", todo="There is nothing to write down.")
    if is_closed and not again:
        raise UsageError(f"it was closed on {last.date}", todo="Say --again to open it again.")


def _odd(folder: Path, before: tuple[Progress, ...], stage: Stage) -> list[str]:
    """Say what a shop would want to know, and may have its reasons for."""
    odd = []
    if stage is Stage.METAL:
        found = read_states(folder)
        if not found:
            odd.append("the owner was never sent anything to answer for this car")
        elif not any(state.answered for state in found):
            odd.append(f"state {found[-1].number} was sent on {found[-1].mark.sent}, and nobody answered it")
    if stage is Stage.BACK and not (before and before[-1].stage is Stage.AWAY):
        odd.append("nobody wrote down that the car went away")
    return odd

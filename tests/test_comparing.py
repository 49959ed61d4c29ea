from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from soundmetal import answering, comparing
from soundmetal.errors import UnknownName, UsageError
from soundmetal.folder import store
from soundmetal.record.terms import Reply

DAY, LATER = dt.date(2026, 11, 20), dt.date(2026, 11, 25)


def test_nothing_was_sent(small_inspection: Path) -> None:
    with pytest.raises(UsageError, match="nothing was sent"):
        comparing.compare(small_inspection)


def test_what_was_answered_beside_what_is_so_now(small_inspection: Path) -> None:
    answering.send(small_inspection, DAY, "q7w8e9r0")
    answering.take_words(small_inspection, {"F1": Reply.YES}, None, DAY)
    more = {"id": "F3", "zone": "cab_corner.left.outer", "seen": "holed", "size": "60 x 40 mm"}
    store.change(
        small_inspection,
        [store.Change(("findings", "F1", "size"), "500 x 60 mm"), store.Change(("findings", 2), more)],
    )
    found = comparing.compare(small_inspection)
    assert (found.before.name, found.after.name) == ("1", "now")
    why = {row.finding: row.why for row in found.rows}
    assert why["F1"].startswith("found more")
    assert (why["F3"], why["F2"]) == ("new", "")
    new = next(row for row in found.rows if row.finding == "F3")
    assert new.before == ""
    assert new.after.startswith("spent, ")
    assert found.changes.added[found.aim].price[1] > 0
    told = found.as_dict()
    assert told["added_price"][1] == str(found.changes.added[found.aim].price[1])
    answering.send(small_inspection, LATER, "zzzzzzzz")
    assert comparing.compare(small_inspection, "1", "2").changes.ask == found.changes.ask
    assert comparing.compare(small_inspection, "2").changes.ask == ()
    with pytest.raises(UnknownName, match='no state "3"'):
        comparing.compare(small_inspection, "3")


def test_the_commands_tell_it(small_inspection: Path, soundmetal_here: Callable[..., object]) -> None:
    assert soundmetal_here("compare", str(small_inspection)).returncode == 2
    assert soundmetal_here("compare", str(small_inspection), "--list").stdout == "Nothing was sent yet.\n"
    sent = soundmetal_here("send", str(small_inspection), "--date", "2026-11-20")
    assert sent.returncode == 0
    assert "state 1, sent 2026-11-20" in sent.stdout
    said = soundmetal_here("answers", str(small_inspection), "--yes", "F1", "--date", "2026-11-21")
    assert said.stdout == "yes: F1\nnot answered yet: F2\n"
    history = soundmetal_here("compare", str(small_inspection), "--list").stdout
    assert "2026-11-20" in history
    assert "2026-11-21" in history
    table = soundmetal_here("compare", str(small_inspection)).stdout
    assert "state 1, 2026-11-20" in table
    assert "rocker.left.outer" in table
    assert "+0.0 hours" in table
    twice = soundmetal_here("answers", str(small_inspection), "--yes", "F1", "--no", "F1")
    assert twice.returncode == 2
    assert "answered in two ways" in twice.stderr


def test_two_currencies_are_not_compared(small_inspection: Path) -> None:
    answering.send(small_inspection, DAY, "q7w8e9r0")
    store.change(small_inspection, [store.Change(("currency",), "EUR")])
    with pytest.raises(UsageError, match="one is in USD, the other in EUR"):
        comparing.compare(small_inspection)

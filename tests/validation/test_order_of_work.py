"""The order of work against its table of precedence: every row has its rules, with their kind and confidence.

Rows: workshop articles on bracing and gaps, service texts on coating and cavity wax, service manuals for the battery
(read); the others are common practice, from memory. Row 5 is read for the battery only; row 17 from memory, but that
wax is the last structural step was read.
"""

from __future__ import annotations

import pytest

from soundmetal.scope.order_rules import order_rules

#: Number of the row, (what, must precede) as stages or steps, kind, confidence.
ROWS: list[tuple[str, list[tuple[str, str]], str, str]] = [
    ("O1", [("record", "access"), ("record", "cut")], "hard", "read"),
    ("O2", [("support", "brace")], "hard", "from memory"),
    ("O3", [("brace", "cut"), ("brace", "cut")], "hard", "read"),
    ("O4", [("strip", "pattern"), ("strip", "cut")], "hard", "from memory"),
    ("O5", [("make_safe", "weld")], "hard", "read"),
    ("O6", [("away_before", "brace"), ("away_before", "cut")], "hard", "from memory"),
    ("O7", [("pattern", "cut")], "hard", "from memory"),
    ("O8", [("weld", "weld")], "hard", "from memory"),
    ("O9", [("weld", "cut")], "soft", "from memory"),
    ("O10", [("fit", "weld")], "hard", "read"),
    ("O11", [("weld-through coating on mating flanges", "plug and spot welds")], "hard", "read"),
    ("O12", [("weld", "wax")], "hard", "read"),
    ("O13", [("drain holes open", "closing skin"), ("drain holes open", "seam sealer")], "hard", "from memory"),
    ("O14", [("dress", "protect")], "hard", "from memory"),
    ("O15", [("epoxy primer on bare metal", "seam sealer and filler and undercoat")], "hard", "read"),
    ("O16", [("protect", "away_after")], "hard", "from memory"),
    ("O17", [("away_after", "wax")], "hard", "from memory"),
    ("O18", [("wax", "refit")], "soft", "read"),
    ("O19", [("weld", "unbrace"), ("unbrace", "refit")], "hard", "from memory"),
]


@pytest.mark.parametrize(("row", "pairs", "kind", "confidence"), ROWS, ids=[row[0] for row in ROWS])
def test_every_row_is_in_the_data(row: str, pairs: list[tuple[str, str]], kind: str, confidence: str) -> None:
    rules = [rule for rule in order_rules().rules if rule.id.rstrip("abc") == row]
    assert [(rule.before, rule.then) for rule in rules] == pairs
    assert {rule.kind for rule in rules} == {kind}
    assert {rule.confidence for rule in rules} == {confidence}
    assert all(rule.why and rule.source for rule in rules)


def test_what_goes_beyond_the_table_is_from_memory() -> None:
    own = [rule for rule in order_rules().rules if not rule.id.startswith("O")]
    assert {rule.confidence for rule in own} == {"from memory"}

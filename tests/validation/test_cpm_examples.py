"""Critical path: a solved exercise of eight activities (Render and Stair text) and one of fourteen (both
published-read; what the page does not print is computed).
"""

from __future__ import annotations

import pytest

from soundmetal.calc.network import length, schedule
from soundmetal.calc.three_point import pert_mean

DURATIONS = {"A": 7.0, "B": 8.0, "C": 3.0, "D": 1.0, "E": 4.0, "F": 5.0, "G": 11.0, "H": 7.0}
AFTER = {"C": ["A"], "D": ["A"], "E": ["B"], "F": ["B"], "G": ["C", "E"], "H": ["D", "F"]}
PLAN = schedule(DURATIONS, AFTER)


def test_cpm_01_length_and_earliest_starts() -> None:
    assert length(PLAN) == 23
    assert [PLAN[name].earliest_start for name in "CDEFGH"] == [7, 7, 8, 8, 12, 13]  # published-read


def test_cpm_02_latest_starts_and_t15() -> None:
    """The page prints a latest finish of 20 for H; its own latest start of 16 and 7 of duration make 23."""
    assert [PLAN[name].latest_start for name in "ABCDEFGH"] == [2, 0, 9, 15, 8, 11, 12, 16]
    assert PLAN["H"].latest_finish == 23


def test_cpm_03_total_float() -> None:
    assert [PLAN[name].total_float for name in "ABCDEFGH"] == [2, 0, 2, 8, 0, 3, 0, 3]  # computed
    assert [name for name in PLAN if PLAN[name].critical] == ["B", "E", "G"]


def test_cpm_04_free_float() -> None:
    assert [PLAN[name].free_float for name in "ABCDEFGH"] == [0, 0, 2, 5, 0, 0, 0, 3]  # computed


#: Fourteen activities: low, likely, high, and what they wait for (published-read).
FOURTEEN = {
    "A": (5, 5, 7, ""),
    "B": (1, 2, 5, ""),
    "C": (5, 5, 5, "A"),
    "D": (4, 8, 13, "A"),
    "E": (1, 10, 17, "BC"),
    "F": (1, 5, 7, "D"),
    "G": (2, 6, 9, "D"),
    "H": (4, 4, 6, "EF"),
    "I": (2, 7, 10, "GH"),
    "J": (2, 4, 7, "I"),
    "K": (6, 10, 13, "I"),
    "L": (2, 6, 6, "J"),
    "M": (2, 2, 3, "K"),
    "N": (7, 7, 12, "LM"),
}


@pytest.mark.parametrize(
    ("name", "start", "finish", "slack"),
    [
        ("A", 0, 5.33, 0),
        ("C", 5.33, 10.33, None),
        ("D", 5.33, 13.50, 1.83),
        ("E", 10.33, 20, None),
        ("F", 13.50, 18.17, 1.83),
    ],
)
def test_fourteen_activities(name: str, start: float, finish: float, slack: float | None) -> None:
    """Printed to two decimals (published-read), expected times by the PERT mean."""
    expected = {key: pert_mean(*row[:3]) for key, row in FOURTEEN.items()}
    plan = schedule(expected, {key: list(row[3]) for key, row in FOURTEEN.items()})
    assert plan[name].earliest_start == pytest.approx(start, abs=0.005)
    assert plan[name].earliest_finish == pytest.approx(finish, abs=0.005)
    if slack is not None:
        assert plan[name].total_float == pytest.approx(slack, abs=0.005)
    assert plan["B"].latest_start == pytest.approx(8, abs=0.005)
    assert plan["B"].total_float == pytest.approx(8, abs=0.005)

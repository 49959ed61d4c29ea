"""Identification numbers: check digit of 49 CFR 565.15(c) for numbers after ISO 3779 (examples from memory)."""

from __future__ import annotations

import pytest

from soundmetal.record.vin import check_digit, check_digit_fits

#: Letters as the table of 49 CFR 565.15(c) gives them (from memory), written out and not generated.
LETTERS = {
    "A": 1, "B": 2, "C": 3, "D": 4, "E": 5, "F": 6, "G": 7, "H": 8,
    "J": 1, "K": 2, "L": 3, "M": 4, "N": 5, "P": 7, "R": 9,
    "S": 2, "T": 3, "U": 4, "V": 5, "W": 6, "X": 7, "Y": 8, "Z": 9,
}  # fmt: skip
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)


@pytest.mark.parametrize(
    ("number", "digit"),
    [  # from memory: the worked example of 49 CFR 565, the one most often printed, and the two trivial ones
        pytest.param("1G4AH59H45G118341", "4", id="49-CFR-565-example"),
        pytest.param("1M8GDM9AXKP042788", "X", id="most-printed-example"),
        pytest.param("11111111111111111", "1", id="all-ones"),
        pytest.param("00000000000000000", "0", id="all-noughts"),
    ],
)
def test_worked_examples(number: str, digit: str) -> None:
    assert check_digit(number) == digit
    assert check_digit_fits(number) is True


@pytest.mark.parametrize("letter", sorted(LETTERS))
def test_every_letter_counts_as_the_table_says(letter: str) -> None:
    """A letter alone at each place but the ninth moves the digit by its value times the weight, modulo 11."""
    for place, weight in enumerate(WEIGHTS):
        number = "0" * place + letter + "0" * (16 - place)
        assert check_digit(number) == "0123456789X"[LETTERS[letter] * weight % 11]


def test_two_neighbours_changed_over_are_noticed() -> None:
    assert check_digit_fits("1M8GDM9AXKP047288") is False

"""Identification numbers: what is refused, what is only noted. Worked examples: tests/validation/test_iso_3779.py."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.record.vin import check_digit, check_digit_fits, readable_identification

ALLOWED = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"
NUMBERS = st.text(ALLOWED, min_size=17, max_size=17)


@given(NUMBERS)
def test_the_digit_put_in_its_place_fits(number: str) -> None:
    """Place 9 has no weight: putting the digit there does not change it."""
    right = number[:8] + check_digit(number) + number[9:]
    assert check_digit_fits(right) is True
    assert check_digit_fits(right.lower()) is True


@given(NUMBERS, st.integers(0, 16), st.integers(1, 9))
def test_one_wrong_figure_is_always_noticed(number: str, place: int, more: int) -> None:
    """Eleven is a prime and no weight but the ninth is a multiple of it (figures, by modular arithmetic)."""
    figures = "".join(c if c.isdigit() else "7" for c in number)
    right = figures[:8] + check_digit(figures) + figures[9:]
    if place == 8 or not right[place].isdigit():
        return
    wrong = right[:place] + str((int(right[place]) + more) % 10) + right[place + 1 :]
    assert check_digit_fits(wrong) is False


@pytest.mark.parametrize("text", ["", "D10-2281", "1M8GDM9AXKP04278", "1M8GDM9AXKP0427881"])
def test_free_text_of_another_length_has_no_digit(text: str) -> None:
    assert readable_identification(text) == text
    assert check_digit_fits(text) is None


@pytest.mark.parametrize("letter", ["I", "O", "Q", "i", "-", " ", "Ñ", "ß", "٣"])
def test_letters_that_cannot_be_are_named(letter: str) -> None:
    with pytest.raises(ValueError, match="read it again") as caught:
        readable_identification("1111111111111111" + letter)
    assert f'"{letter}"' in str(caught.value)


def test_a_digit_that_does_not_fit_is_no_error() -> None:
    assert readable_identification("1M8GDM9A1KP042788") == "1M8GDM9A1KP042788"
    assert check_digit_fits("1M8GDM9A1KP042788") is False

"""Lengths, sizes and areas as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from soundmetal.record.quantities import AreaMm2, LengthMm, SizeMm, area_mm2, length_mm, number, size_mm


class Written(BaseModel):
    length: LengthMm
    size: SizeMm
    area: AreaMm2


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.9 mm", 0.9),
        ("0,9mm", 0.9),
        (".5 mm", 0.5),
        ("3 cm", 30),
        ("1.2 m", 1200),
        ("900 um", 0.9),
        ("900 µm", 0.9),
        ("1 in", 25.4),
        ("1 in.", 25.4),
        ('1/4"', 6.35),
        ("4 1/2 in", 114.3),
        ("4 1/2 IN", 114.3),
        ("2 ft", 609.6),
        ("0 mm", 0),
        pytest.param("3 mil", 0.0762, id="V77-3-mil"),  # computed: 1 mil = 25.4 um
        pytest.param("5 mil", 0.1270, id="V77-5-mil"),
    ],
)
def test_lengths(text: str, mm: float) -> None:
    assert length_mm(text) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "2", "mm", "-2 mm", "2 yards", "two mm", "1/0 in", "1..2 mm", "2 mm 3", "9e9 m"]
)
def test_lengths_that_are_none(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - the wording differs, the refusal is what counts
        length_mm(text)


@pytest.mark.parametrize("text", ["1,200 mm", "12,500 mm", "1,200 x 80 mm"])
def test_a_comma_with_two_meanings_is_asked_about(text: str) -> None:
    with pytest.raises(ValueError, match="two ways"):
        (size_mm if "x" in text else length_mm)(text)


def test_a_comma_with_one_meaning_is_read() -> None:
    assert (length_mm("0,914 mm"), length_mm("1,5 mm"), number("2,25")) == (0.914, 1.5, 2.25)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("150 x 80 mm", (150, 80)),
        ("150x80mm", (150, 80)),
        ("150 × 80 mm", (150, 80)),
        ("6 by 3 in", (152.4, 76.2)),
        ("10 cm x 80 mm", (100, 80)),
        ("1/2 x 1 1/4 in", (12.7, 31.75)),
    ],
)
def test_sizes(text: str, size: tuple[float, float]) -> None:
    assert size_mm(text) == pytest.approx(size, rel=1e-12)


@pytest.mark.parametrize("text", ["150 x 80", "150 mm", "0 x 80 mm", "150 x 0 mm", "150 x 80 x 2 mm", "a x b mm"])
def test_sizes_that_are_none(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - the wording differs, the refusal is what counts
        size_mm(text)


@pytest.mark.parametrize(
    ("text", "mm2"),
    [("120 cm2", 12_000), ("120 cm²", 12_000), ("0.5 m2", 500_000), ("2 sq in", 1290.32), ("2 sq. ft", 185806.08)],
)
def test_areas(text: str, mm2: float) -> None:
    assert area_mm2(text) == pytest.approx(mm2, rel=1e-12)


@pytest.mark.parametrize("text", ["120 cm", "12 mm", "120", "cm2", "-1 cm2"])
def test_areas_that_are_none(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - the wording differs, the refusal is what counts
        area_mm2(text)


@pytest.mark.parametrize("value", [2, 0.9, True])
def test_a_bare_number_has_no_unit(value: object) -> None:
    with pytest.raises(ValidationError, match="has no unit"):
        Written.model_validate({"length": value, "size": "1 x 1 mm", "area": "1 mm2"})


@given(st.floats(0, 20_000), st.floats(0.01, 20_000), st.floats(0.01, 20_000), st.floats(0, 1e7))
def test_what_is_written_back_is_read_alike(length: float, one: float, other: float, area: float) -> None:
    text = {"length": f"{length:.6f} mm", "size": f"{one:.6f} x {other:.6f} mm", "area": f"{area:.6f} mm2"}
    first = Written.model_validate(text)
    again = Written.model_validate(first.model_dump(mode="json"))
    assert again.length == pytest.approx(first.length, abs=1e-9)
    assert again.size == pytest.approx(first.size, abs=1e-9)
    assert again.area == pytest.approx(first.area, abs=1e-8)


@given(st.integers(0, 500), st.integers(0, 63))
def test_inches_in_fractions_are_exact(whole: int, sixty_fourths: int) -> None:
    assert length_mm(f"{whole} {sixty_fourths}/64 in") == pytest.approx(
        (whole + sixty_fourths / 64) * 25.4, rel=1e-14
    )

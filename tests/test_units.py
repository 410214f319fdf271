"""Lengths: read with their unit, exactly; shown again in either."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gcodegen.units import LARGEST_LENGTH_MM, MM_PER_INCH, in_unit, length_mm, show_length, unit_factor

NIST = "NIST Special Publication 811, appendix B.6: 1 inch = 25.4 mm exactly (agreement of 1959)"


@pytest.mark.outside(NIST)
def test_an_inch_is_25_4_mm_exactly() -> None:
    assert MM_PER_INCH == 25.4
    assert unit_factor("in") == Fraction(127, 5)
    assert length_mm(1, "in") == 25.4
    assert length_mm("1 in", "mm") == 25.4


@pytest.mark.outside("from memory of Machinery's Handbook, table of fractions of an inch in millimetres")
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1/64 in", 0.396875),
        ("3/16 in", 4.7625),
        ("5/16 in", 7.9375),
        ("1/2 in", 12.7),
        ("1 3/16 in", 30.1625),
    ],
)
def test_a_fraction_of_an_inch_is_its_tabled_millimetres(text: str, mm: float) -> None:
    assert length_mm(text, "mm") == mm


@pytest.mark.outside("fractions.Fraction (standard library): exact rational arithmetic")
@given(whole=st.integers(0, 40), top=st.integers(0, 1000), bottom=st.integers(1, 1000), dash=st.booleans())
def test_a_fraction_is_the_nearest_float_of_its_exact_value(whole: int, top: int, bottom: int, dash: bool) -> None:
    exact = (whole + Fraction(top, bottom)) * Fraction(254, 10)
    text = f"{whole}{'-' if dash else ' '}{top}/{bottom} in"
    if exact <= LARGEST_LENGTH_MM:
        assert length_mm(text, "mm") == float(exact)


@given(mm=st.floats(0, LARGEST_LENGTH_MM))
def test_a_plain_number_of_millimetres_stays_as_it_is(mm: float) -> None:
    assert length_mm(mm, "mm") == mm


@given(inches=st.floats(1e-6, 78.7))
def test_inches_come_back_from_millimetres(inches: float) -> None:
    assert in_unit(length_mm(inches, "in"), "in") == pytest.approx(inches, rel=4e-16)


@pytest.mark.outside("decimal text is exact: Fraction of its digits times 254/10 (closed form)")
@given(thousandths=st.integers(0, 78_000))
def test_a_decimal_text_and_the_same_number_are_one_length(thousandths: int) -> None:
    text = f"{thousandths // 1000}.{thousandths % 1000:03d}"
    exact = float(Fraction(thousandths, 1000) * Fraction(254, 10))
    assert length_mm(text, "in") == length_mm(float(text), "in") == length_mm(f"{text} in", "mm") == exact


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("4.5 mm", 4.5),
        ("4.5mm", 4.5),
        ("  7 MM ", 7.0),
        ("1.2 cm", 12.0),
        (".5 mm", 0.5),
        ("5. mm", 5.0),
        ('2"', 50.8),
        ("2 inch", 50.8),
        ("2 inches", 50.8),
        ("-3 mm", -3.0),
        ("+3", 3.0),
    ],
)
def test_lengths_are_read_as_people_write_them(text: str, mm: float) -> None:
    assert length_mm(text, "mm") == mm


@pytest.mark.parametrize(
    "value",
    [
        *(
            None,
            True,
            False,
            [],
            {},
            b"1",
            "",
            " ",
            "mm",
            "five",
            "1,5 mm",
            "1e3 mm",
            "0x10",
            "5 km",
            "1/0 in",
        ),
        *(
            "1//2",
            "1 2",
            "1 mm 2",
            "--1",
            "1/2/3",
            "nan",
            "inf",
            "1 ft",
            "9" * 41,
            math.nan,
            math.inf,
            -math.inf,
        ),
        *(2001, 79.0e3, 10**400, -(10**400), 1 << 40_000, "2001 mm", "79 in", 1e308),
    ],
    ids=lambda value: repr(value)[:20] if not isinstance(value, int) or value < 10**9 else "a huge number",
)
def test_what_is_no_length_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match=r"."):
        length_mm(value, "mm")


@example(value=7e306)
@given(value=st.one_of(st.text(), st.integers(), st.floats(), st.binary(), st.none()))
def test_anything_at_all_is_a_finite_length_or_a_value_error(value: object) -> None:
    try:
        mm = length_mm(value, "in")
    except ValueError:
        return
    assert math.isfinite(mm)
    assert abs(mm) <= LARGEST_LENGTH_MM


def test_a_larger_bound_may_be_given_for_what_is_no_size() -> None:
    assert length_mm(3000, "mm", largest=60_000) == 3000
    with pytest.raises(ValueError, match="at most 60000 mm"):
        length_mm(60_001, "mm", largest=60_000)


@pytest.mark.parametrize(
    ("mm", "unit", "places", "text"),
    [
        (4.5, "mm", None, "4.50 mm"),
        (4.5, "in", None, "0.177 in"),
        (25.4, "in", 4, "1.0000 in"),
        (-0.001, "mm", None, "0.00 mm"),
        (-0.1, "mm", 1, "-0.1 mm"),
    ],
)
def test_a_length_is_shown_with_its_unit(mm: float, unit: str, places: int | None, text: str) -> None:
    assert show_length(mm, unit, places) == text

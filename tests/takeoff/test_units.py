"""Lengths: exact, read as spoken, written back; carries and refusals."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takeoff.units import (
    LONGEST,
    Length,
    LengthError,
    ceil_div,
    exact_text,
    format_feet,
    format_length,
    parse_length,
    steps_text,
)

IN = Length.inches

SPOKEN = [
    ("28-4 1/2", "340.5"),
    ("28'-4 1/2\"", "340.5"),
    ("28' 4.5\"", "340.5"),
    ("28 ft 4 in", "340"),
    ("28'4", "340"),
    ("28 - 4 1/2", "340.5"),
    ("28'", "336"),
    ('340 1/2"', "340.5"),
    ("340.5 in", "340.5"),
    ("28′-4½″", "340.5"),
    ("½ in", "0.5"),
    ("-0'-8\"", "-8"),
    ("−8", "-8"),
    ("0", "0"),
    ("5'-1/2\"", "60.5"),
    ("12'-11 31/32\"", "155.96875"),
]


@pytest.mark.parametrize(("text", "inches"), SPOKEN)
def test_a_length_is_read_as_spoken(text: str, inches: str) -> None:
    assert parse_length(text) == IN(inches)


@pytest.mark.parametrize(
    ("text", "mm"), [("8.65 m", "8650"), ("865 cm", "8650"), ("8650mm", "8650"), ("-2.4 m", "-2400")]
)
def test_metric_is_read_exactly(text: str, mm: str) -> None:
    assert parse_length(text) == Length.mm(mm)


@pytest.mark.parametrize(
    ("bare", "nm"), [("in", 254_000_000), ("ft", 3_048_000_000), ("mm", 10_000_000), ("m", 10_000_000_000)]
)
def test_a_bare_number_is_read_in_the_unit_the_field_names(bare: str, nm: int) -> None:
    assert parse_length("10", bare).nm == nm  # type: ignore[arg-type]


WRONG = [
    ("", "Nothing is typed"),
    ("abc", "is not a length"),
    ("12-13", "12 in or more"),
    ('5-1/2"', "two ways"),
    ("1/0", "fraction that makes no sense"),
    ("1,200", "comma"),
    ("--5", "is not a length"),
    ("1e5", "is not a length"),
    ("20000 ft", "longer than 10,000 ft"),
    ("9" * 5000, "too long to be a length"),
    ("28'-4 1/2 x", "is not a length"),
]


@pytest.mark.parametrize(("text", "why"), WRONG, ids=[why for _, why in WRONG])
def test_other_text_is_refused_with_a_sentence(text: str, why: str) -> None:
    with pytest.raises(LengthError, match=why) as refused:
        parse_length(text)
    assert str(refused.value).endswith(".")


@given(st.text(max_size=70))
def test_any_text_is_a_length_or_a_sentence(text: str) -> None:
    try:
        parse_length(text)
    except LengthError as refused:
        assert str(refused)


CARRIES = [
    ("11.96875", "ft-in", "1'-0\""),  # 11 31/32 in to sixteenths
    ("143.99", "ft-in", "12'-0\""),
    ("0", "ft-in", "0'-0\""),
    ("-8", "ft-in", "-0'-8\""),
    ("-0.01", "ft-in", "0'-0\""),  # no minus before nothing
    ("0.9375", "in", '15/16"'),
    ("0.96875", "in", '1"'),
    ("340.5", "ft-in", "28'-4 1/2\""),
    ("0.03125", "in", '1/16"'),  # half away from zero
    ("-0.03125", "in", '-1/16"'),
    ("1", "mm", "25 mm"),
    ("100", "m", "2.540 m"),
]


@pytest.mark.parametrize(("inches", "style", "text"), CARRIES)
def test_rounding_carries_into_inches_and_feet(inches: str, style: str, text: str) -> None:
    assert format_length(IN(inches), style) == text  # type: ignore[arg-type]


@given(st.integers(-640_000, 640_000))
def test_sixty_fourths_go_out_and_come_back(sixty_fourths: int) -> None:
    length = IN(Fraction(sixty_fourths, 64))
    assert parse_length(format_length(length, denominator=64)) == length
    assert parse_length(exact_text(length)) == length


@given(st.integers(-LONGEST, LONGEST))
def test_exact_text_reads_back_to_the_nanometre(nm: int) -> None:
    assert parse_length(exact_text(Length(nm))) == Length(nm)


@given(st.integers(-(10**12), 10**12))
def test_printed_length_is_within_half_a_sixteenth(nm: int) -> None:
    printed = parse_length(format_length(Length(nm)))
    assert abs(printed - Length(nm)).nm * 2 <= IN(Fraction(1, 16)).nm


def test_the_inch_and_the_millimetre_are_whole() -> None:
    """1 in = 25.4 mm exactly (international inch, NIST SP 811 appendix B; from memory)."""
    assert IN(1) == Length.mm("25.4")
    assert IN(Fraction(1, 64)).nm == 396_875
    assert sum((Length.mm("0.1") for _ in range(10)), Length(0)) == Length.mm(1)


@given(st.integers(1, 5000))
def test_courses_of_16_in_are_counted_exactly(courses: int) -> None:
    """Counting in floating metres or feet fails on about half of these."""
    height, wall = Length.mm("406.4"), courses * IN(16)
    assert (wall // height, wall % height, ceil_div(wall, height)) == (courses, Length(0), courses)
    assert ceil_div(wall + Length(1), height) == courses + 1


def test_reading_and_writing_a_length_in_other_units() -> None:
    length = Length.feet(8, "2.4")
    assert (length.inch, length.foot, length.metre) == pytest.approx((98.4, 8.2, 2.49936))
    assert (format_feet(Length.feet("98.33")), str(length.half())) == ("98.33 ft", "4'-1 3/16\"")
    assert length / IN(12) == Fraction(41, 5)


@pytest.mark.parametrize(
    ("length", "step", "said"),
    [
        ("62-0", "6-0", "62'-0\" at 6': 10.3, so 11"),
        ("36-0", "6-0", "36'-0\" at 6': 6"),
        ("36-0 1/8", "6-0", "36'-0 1/8\" at 6': 6.002, so 7"),
        ("26-0", '16"', '26\'-0" at 16": 19.5, so 20'),
        ("0", '12"', '0\'-0" at 12": 0'),
        ("5-0", "7-6", "5'-0\" at 7'-6\": 0.7, so 1"),
    ],
)
def test_a_length_in_steps_is_written_as_a_person_writes_the_sum(length, step, said) -> None:
    assert steps_text(parse_length(length), parse_length(step)) == said

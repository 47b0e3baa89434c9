"""Lengths: every spelling that people type, exact, and printed as a tape shows them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces.lengths import (
    LengthError,
    System,
    format_allowance,
    format_in,
    format_length,
    format_purchase,
    meant_unit,
    parse_length,
    round_up_to_step,
    shown_rest,
    unit_system,
)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("12 cm", 120.0),
        ("5mm", 5.0),
        ("2.5 in", 63.5),
        ('2 1/2"', 63.5),
        ("2½ in", 63.5),
        ("1 3/8 yd", 1257.3),
        ("0.7 m", 700.0),
        ("0,7 m", 700.0),
        ("3/4 inch", 19.05),
        ("2 yards", 1828.8),
        # Exact definitions, international yard and pound agreement, 1959.
        ("1 in", 25.4),
        ("1 yd", 914.4),
        ("1 ft", 304.8),
        # Home-pattern seam of 5/8 in = 1.5875 cm (bambersew.com, pattern symbols).
        ("5/8 in", 15.875),
        # Exact fractions of a yard: 1/8 = 11.43 cm, 3/8 = 34.29 cm, 5/8 = 57.15 cm.
        ("1/8 yd", 114.3),
        ("3/8 yd", 342.9),
        ("5/8 yd", 571.5),
    ],
)
def test_every_spelling_is_read_exactly(text: str, mm: float) -> None:
    """A typed length is the exact rational number of mm."""
    assert parse_length(text) == mm


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("12", "no unit"),
        ("12 cn", "unknown unit"),
        ("abc", "not a length"),
        ("", "not a length"),
        ("-3 cm", "negative"),
        ("1/0 in", "divides by zero"),
        ("nan cm", "not a length: nan is no number"),
        ("-inf", "not a length: -inf is endless"),
        ("Infinity cm", "not a length: inf is endless"),
        ("1e308 cm", "not a length: 1e308 has an exponent; write the figure out"),
        ("1,5e3cm", "not a length: 1,5e3 has an exponent"),
        ("9" * 40 + " cm", "is more than any length"),
        (float("nan"), "nan is no number"),
        (float("-inf"), "-inf is endless"),
        (1e308, r"1e\+308 is more than anything here can be"),
        (10**400, "a whole number of 401 digits is more than anything"),
        ("1 2 cm", "unknown unit"),
    ],
)
def test_bad_lengths_say_why(text: str | float, part: str) -> None:
    """A length that cannot be read is refused with the reason."""
    with pytest.raises(LengthError, match=part):
        parse_length(text)


def test_bare_numbers_take_the_declared_unit() -> None:
    """A number without a unit is read in the file's unit, as text or as a number."""
    assert parse_length("12", "cm") == parse_length(12, "cm") == parse_length(12.0, "cm") == 120.0
    assert parse_length("2 in", "cm") == 50.8


@given(st.integers(0, 20000))
def test_printed_metric_lengths_read_back(tenths: int) -> None:
    """What is printed in tenths of a cm reads back as the same length."""
    mm = float(tenths)
    assert parse_length(format_length(mm, System.METRIC)) == pytest.approx(mm, abs=1e-6)


@given(st.integers(0, 3000))
def test_printed_imperial_lengths_read_back(sixteenths: int) -> None:
    """What is printed in sixteenths of an inch reads back as the same length."""
    mm = sixteenths * 25.4 / 16
    assert parse_length(format_length(mm, System.IMPERIAL)) == pytest.approx(mm, abs=1e-6)


def test_steps_ignore_rounding_noise() -> None:
    """An excess below 0.01 mm does not cost a step: 0.30000000000000004 m is 0.3 m."""
    assert round_up_to_step(300.00000000000004, 100.0) == 300.0
    assert round_up_to_step(300.009, 100.0) == 300.0
    assert round_up_to_step(300.02, 100.0) == 400.0


def test_yard_purchases_are_eighths_rounded_up() -> None:
    """A purchase in a yard shop is shown in eighths, never less than the length."""
    assert format_purchase(parse_length("12 2/3 yd"), System.IMPERIAL) == "12 3/4 yd"
    assert format_purchase(1400.0, System.METRIC) == "1.4 m"


def test_unit_system_is_told_from_the_unit() -> None:
    """A width typed in inches means a yard shop."""
    assert unit_system("54 in") is System.IMPERIAL
    assert unit_system('54"') is System.IMPERIAL
    assert unit_system("140cm") is System.METRIC
    assert unit_system("54½ in") is System.IMPERIAL


@pytest.mark.parametrize("system", System)
def test_what_is_left_adds_up_as_it_is_printed(system: System) -> None:
    """30 mm are 1 3/16 in, 547.8 mm are 21 9/16 in: 20 3/8 in are left, though 517.8 mm are."""
    assert format_length(shown_rest(System.IMPERIAL, 547.8, 30.0), System.IMPERIAL) == "20 3/8 in"
    for whole in range(500, 1600, 7):
        parts = (30.3, whole / 3.7)
        left = format_length(shown_rest(system, whole, *parts), system)
        shown = [parse_length(format_length(part, system)) for part in parts]
        total = parse_length(left) + sum(shown)
        assert total == pytest.approx(parse_length(format_length(whole, system)))
    assert shown_rest(system, 30.0, 60.0) < 0.0


def test_a_unit_that_is_written_goes_before_that_of_bare_numbers() -> None:
    """A centimetre in a file of inches is a centimetre."""
    assert unit_system("30 cm", "in") is System.METRIC
    assert unit_system("12 in", "cm") is System.IMPERIAL
    assert unit_system("12", "in") is System.IMPERIAL
    assert unit_system("12 1/2", "in.") is System.IMPERIAL
    assert unit_system("12", None) is System.METRIC


@pytest.mark.parametrize("text", ["9" * 400 + " cm", "9" * 5000 + " cm", 10**400, float("inf")])
def test_numbers_without_end_are_no_lengths(text: str | int | float) -> None:
    """Refused as a length, whatever Python makes of them."""
    with pytest.raises(LengthError, match="is not a length"):
        parse_length(text, "cm")


@pytest.mark.parametrize("text", ["0", 0, 0.0, "0.0", "-0", "0/3"])
def test_nought_needs_no_unit(text: str | float) -> None:
    """It is nought in every unit."""
    assert parse_length(text) == 0.0


@pytest.mark.parametrize(
    ("word", "unit"),
    [("zoll", "in"), ("Pouces", "in"), ("cms", "cm"), ("yarsd", "yd"), ("x", None)],
)
def test_words_for_units_are_understood_for_a_hint(word: str, unit: str | None) -> None:
    """Words of other languages and slips."""
    assert meant_unit(word) == unit


@pytest.mark.parametrize(
    ("unit", "text"), [("cm", "12.3 cm"), ("mm", "123 mm"), ("in", "4 13/16 in"), ("m", "0.123 m")]
)
def test_lengths_are_told_in_the_unit_of_the_file(unit: str, text: str) -> None:
    """As they were typed."""
    assert format_in(123.0, unit) == text


@pytest.mark.parametrize(
    ("width", "metric", "imperial"),
    [
        (3 / 8 * 25.4, "0.95 cm", "3/8 in"),
        (5 / 8 * 25.4, "1.59 cm", "5/8 in"),
        (10.0, "1 cm", "3/8 in (exactly 1 cm)"),
        (15.0, "1.5 cm", "9/16 in (exactly 1.5 cm)"),
        (11.0, "1.1 cm", "7/16 in"),
    ],
)
def test_an_allowance_is_drawn_as_wide_as_it_is(width: float, metric: str, imperial: str) -> None:
    """3/8 in are no centimetre: half a millimetre on every edge is a millimetre of a piece."""
    assert format_allowance(width, System.METRIC) == metric
    assert format_allowance(width, System.IMPERIAL) == imperial

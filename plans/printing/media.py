"""What is printed on: sheets of A4 or Letter, or a roll of some width."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pieces.lengths import INCH_MM, LengthError, System, format_width, parse_length, unit_system

MARGIN_MM = 10.0
"""Kept free at every side of a page: most printers at home reach no farther (common practice)."""

OVERLAP_MM = 15.0
"""By how much two pages that meet show the same."""

LONGEST_PAGE_MM = 5080.0
"""A PDF page is at most 14,400 units of 1/72 in long (PDF reference, implementation limits)."""

LEAST_ROLL_MM = 150.0


@dataclass(frozen=True)
class Medium:
    """Pages of one kind, upright (mm); those of a roll are as long as what is on them.

    `wide` and `high` are the paper, `roll` whether `high` is only the most that a page may be.
    """

    name: str
    wide: float
    high: float
    roll: bool = False

    @property
    def area(self) -> tuple[float, float]:
        """Extent of the printed area across and down, mm."""
        return self.wide - 2 * MARGIN_MM, self.high - 2 * MARGIN_MM

    @property
    def step(self) -> tuple[float, float]:
        """From one page to the next, across and down, mm."""
        wide, high = self.area
        return wide - OVERLAP_MM, high - OVERLAP_MM

    def width_of(self, columns: int) -> float:
        """Width (mm) of so many columns of pages, put together, between its outermost lines."""
        return columns * self.step[0] + OVERLAP_MM - 1.0

    def across(self) -> Medium:
        """The same paper laid on its long side."""
        return Medium(f"{self.name}, long side across", self.high, self.wide)


A4 = Medium("A4", 210.0, 297.0)
LETTER = Medium("Letter", 215.9, 279.4)


def medium_of(text: str) -> Medium:
    """Read `a4`, `letter`, or the width of a roll.

    Raises
    ------
    ValueError
        If it is none of them, or too narrow for a roll.
    """
    known = {"a4": A4, "letter": LETTER}
    if text.strip().lower() in known:
        return known[text.strip().lower()]
    try:
        width = parse_length(text)
    except LengthError as error:
        raise ValueError(
            f"'{text}' is no paper: a4, letter, or the width of a roll such as 90cm or 36in"
        ) from error
    if not LEAST_ROLL_MM <= width <= LONGEST_PAGE_MM:
        system = unit_system(text)
        least, most = (
            format_width(_least_roll(system), system),
            format_width(LONGEST_PAGE_MM, system),
        )
        raise ValueError(f"'{text}': a roll is between {least} and {most} wide")
    return Medium(f"roll {width / 10:g} cm wide", width, LONGEST_PAGE_MM, roll=True)


def _least_roll(system: System) -> float:
    """Width (mm) of the narrowest roll, as it is said: in inches up to the next sixteenth."""
    if system is System.METRIC:
        return LEAST_ROLL_MM
    return math.ceil(16.0 * LEAST_ROLL_MM / INCH_MM) / 16.0 * INCH_MM

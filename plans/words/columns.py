"""Lengths and areas in columns: one unit a column, so that figures compare at a glance."""

from __future__ import annotations

from collections.abc import Sequence

from pieces.lengths import INCH_MM, YARD_MM, System, format_length

SQUARE_YARD_MM2 = YARD_MM * YARD_MM
FROM_METRE_MM = 999.5
"""A column that reaches this is in metres."""


def length_column(lengths: Sequence[float | None], system: System) -> list[str]:
    """Print a column of lengths (mm) in one unit; None is an empty cell ("-").

    Metric columns are in cm, or in metres with three decimals if one reaches a metre; imperial
    ones in inches.
    """
    known = [length for length in lengths if length is not None]
    if system is System.METRIC and max(known, default=0.0) >= FROM_METRE_MM:
        return ["-" if v is None else f"{v / 1000.0:.3f} m" for v in lengths]
    if system is System.METRIC:
        return ["-" if v is None else f"{v / 10.0:.1f} cm" for v in lengths]
    return ["-" if v is None else format_length(v, system) for v in lengths]


def long_column(lengths: Sequence[float], system: System) -> list[str]:
    """The same for lengths of cloth: imperial ones are yards and inches from a yard on."""
    if system is System.METRIC or max(lengths, default=0.0) < YARD_MM - INCH_MM / 32.0:
        return length_column(lengths, system)
    return [yards_and_inches(length) for length in lengths]


def yards_and_inches(length: float) -> str:
    """Print a length (mm) as whole yards and inches to a sixteenth, "3 yd 10 1/8 in", "25 yd"."""
    sixteenths = round(length / INCH_MM * 16.0)
    yards, rest = divmod(sixteenths, 36 * 16)
    if yards and not rest:
        return f"{yards} yd"
    return f"{yards} yd {format_length(rest / 16.0 * INCH_MM, System.IMPERIAL)}"


def per_words(unit: float, system: System) -> str:
    """What length (mm) a price is for: "a metre", "a yard", "for 50 cm"."""
    if abs(unit - 1000.0) < 1e-6:
        return "a metre"
    return "a yard" if abs(unit - YARD_MM) < 1e-6 else f"for {format_length(unit, system)}"


def cloth_length(length: float, system: System) -> str:
    """Print one length of cloth (mm): as a tape shows it, in yards and inches from a yard on."""
    return long_column([length], system)[0] if system is System.IMPERIAL else (
        format_length(length, system)
    )  # fmt: skip


def format_area(area: float, system: System) -> str:
    """Print an area (mm2) in square metres or square yards."""
    if system is System.IMPERIAL:
        return f"{area / SQUARE_YARD_MM2:.3f} sq yd"
    return f"{area / 1e6:.3f} m²"

"""Amounts of cloth as they are typed: `60x20cm`, `2m washed`."""

from __future__ import annotations

import re

from pieces.lengths import LengthError, parse_length


def parse_on_hand(text: str, unit: str | None = None) -> tuple[float, bool | None]:
    """Read `2m`, `2m washed` or `2m unwashed`: a length in mm, and whether it is washed.

    Raises
    ------
    LengthError
        If it is no length, or none to speak of.
    """
    words = text.rsplit(maxsplit=1)
    state = words[-1].lower() if len(words) > 1 else ""
    washed = {"washed": True, "unwashed": False}.get(state)
    length = parse_length(text if washed is None else words[0], unit)
    if length <= 0.0:
        raise LengthError(f"'{text}' is no cloth at all")
    return length, washed


def parse_size(text: str, unit: str | None = None) -> tuple[float, float]:
    """Read `60x20cm`, `60 cm x 20 cm` or `24 x 8 in` into mm.

    Raises
    ------
    LengthError
        If it is no size of two sides of more than nothing.
    """
    parts = re.split(r"[x×]", text.lower(), maxsplit=1)
    if len(parts) != 2:
        raise LengthError(f"'{text}' is not LONGxWIDE, such as 60x20cm")
    unit = unit_at_the_end(parts[1]) or unit
    long, wide = (parse_length(part.strip(), unit) for part in parts)
    if not (long > 0.0 and wide > 0.0):
        raise LengthError(f"'{text}' has a side of no length")
    return long, wide


def unit_at_the_end(text: str) -> str | None:
    """Return the unit that a text ends in, or None."""
    found = re.search(r"([a-z\"”″']+)\s*$", text.lower())
    return found.group(1) if found else None

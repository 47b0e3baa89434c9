"""Cloth as it is typed: amounts, sizes, corners; `2m washed`, `60x20cm`, `0,0 60,0 55,30 cm`."""

from __future__ import annotations

import re

from pieces.geometry_types import Ring
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


def parse_points(text: str, unit: str | None = None) -> Ring:
    """Read `0,0 60,0 55,30 cm`: pairs of coordinates, one unit at the end, into mm.

    Raises
    ------
    LengthError
        If a pair cannot be read, or there is no unit and `unit` names none.
    """
    typed = unit_at_the_end(text)
    unit = typed or unit
    if unit is None:
        raise LengthError(f"'{text}' ends in no unit (cm, in, ...)")
    points = []
    for pair in text.strip()[: -len(typed) if typed else None].split():
        sides = pair.split(",")
        if len(sides) != 2:
            raise LengthError(f"'{pair}' is not X,Y")
        x, y = (parse_length(side, unit, signed=True) for side in sides)
        points.append((x, y))
    return tuple(points)


def unit_at_the_end(text: str) -> str | None:
    """Return the unit that a text ends in, or None."""
    found = re.search(r"([a-z\"”″']+)\s*$", text.lower())
    return found.group(1) if found else None

"""Sizes and measured corners as they are typed: `60x20cm`, `0,0 60,0 55,30 cm`."""

from __future__ import annotations

import re

import click

from pieces.geometry_types import Ring
from pieces.lengths import LengthError, parse_length


def read_size(text: str, option: str) -> tuple[float, float]:
    """Read `60x20cm`, `60 cm x 20 cm` or `24 x 8 in` into mm.

    Raises
    ------
    click.BadParameter
        If it is no size of two sides of more than nothing.
    """
    parts = re.split(r"[x×]", text.lower(), maxsplit=1)
    if len(parts) != 2:
        raise click.BadParameter(f"'{text}' is not LONGxWIDE, such as 60x20cm", param_hint=option)
    unit = _unit(parts[1])
    try:
        long, wide = (parse_length(part.strip(), unit) for part in parts)
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint=option) from error
    if not (long > 0.0 and wide > 0.0):
        raise click.BadParameter(f"'{text}' has a side of no length", param_hint=option)
    return long, wide


def read_points(text: str, option: str) -> Ring:
    """Read `0,0 60,0 55,30 cm`: pairs of coordinates, one unit at the end.

    Raises
    ------
    click.BadParameter
        If a pair cannot be read or there is no unit.
    """
    unit = _unit(text)
    if unit is None:
        raise click.BadParameter(f"'{text}' ends in no unit (cm, in, ...)", param_hint=option)
    body = text.strip()[: -len(unit)]
    points = []
    for pair in body.split():
        sides = pair.split(",")
        if len(sides) != 2:
            raise click.BadParameter(f"'{pair}' is not X,Y", param_hint=option)
        try:
            x, y = (parse_length(side, unit, signed=True) for side in sides)
        except LengthError as error:
            raise click.BadParameter(str(error), param_hint=option) from error
        points.append((x, y))
    return tuple(points)


def _unit(text: str) -> str | None:
    found = re.search(r"([a-z\"”″']+)\s*$", text.lower())
    return found.group(1) if found else None

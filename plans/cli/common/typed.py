"""Values as they are typed: lengths, sizes, measured corners, NAME=VALUE, files by their ending.

`60x20cm`, `0,0 60,0 55,30 cm`, `2m washed`.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from pieces.geometry_types import Ring
from pieces.lengths import LengthError, format_length, parse_length, unit_system
from plans.orders.amounts import parse_on_hand, parse_points, parse_size


class Length(click.ParamType[float]):
    """A length with its unit, read into mm; more than `above`, no more than `most` if given."""

    name = "length"

    def __init__(self, above: float | None = None, most: float | None = None) -> None:
        self.above = above
        self.most = most

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read a typed length; a default is in mm already."""
        if isinstance(value, float):
            return value
        try:
            length = parse_length(value)
        except LengthError as error:
            self.fail(str(error), param, ctx)
        if self.above is not None and not length > self.above:
            self.fail(f"'{value}' is too little; more than {self.above:g}", param, ctx)
        if self.most is not None and length > self.most:
            limit = format_length(self.most, unit_system(str(value)))
            self.fail(f"'{value}' is too much; at most {limit}", param, ctx)
        return length


def read_length(text: str, option: str) -> float:
    """Read a length with its unit into mm.

    Raises
    ------
    click.BadParameter
        If it is none.
    """
    try:
        return parse_length(text)
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint=option) from error


def read_on_hand(text: str, option: str) -> tuple[float, bool | None]:
    """Read `2m`, `2m washed` or `2m unwashed`: a length in mm, and whether it is washed.

    Raises
    ------
    click.BadParameter
        If it is no length, or none to speak of.
    """
    try:
        return parse_on_hand(text)
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint=option) from error


def require_writable(path: Path | None, endings: tuple[str, ...], option: str) -> None:
    """Refuse a file that cannot be written, before anything is worked out for it.

    Raises
    ------
    click.BadParameter
        If its ending does not say one of the kinds that can be written.
    FolderError
        If its folder is missing, or cannot be written.
    """
    from plans.outputs.folder import check_file

    if path is None:
        return
    if path.suffix.lower() not in endings:
        raise click.BadParameter(
            f"'{path}' ends in none of {', '.join(endings)}", param_hint=option
        )
    check_file(path, option)


def assignments(
    values: tuple[str, ...], option: str, form: str = "ROLE=VALUE"
) -> list[tuple[str, str]]:
    """Split repeated NAME=VALUE options; `form` is how such a value is called.

    Raises
    ------
    click.BadParameter
        If one has no name, no value, or a name comes twice.
    """
    pairs: list[tuple[str, str]] = []
    what = form.partition("=")[0].lower()
    for value in values:
        name, sign, text = value.partition("=")
        if not sign or not name.strip() or not text.strip():
            raise click.BadParameter(f"'{value}' is not {form}", param_hint=option)
        if name.strip() in dict(pairs):
            raise click.BadParameter(f"{what} '{name.strip()}' is given twice", param_hint=option)
        pairs.append((name.strip(), text.strip()))
    return pairs


def read_size(text: str, option: str) -> tuple[float, float]:
    """Read `60x20cm`, `60 cm x 20 cm` or `24 x 8 in` into mm.

    Raises
    ------
    click.BadParameter
        If it is no size of two sides of more than nothing.
    """
    try:
        return parse_size(text)
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint=option) from error


def read_points(text: str, option: str) -> Ring:
    """Read `0,0 60,0 55,30 cm`: pairs of coordinates, one unit at the end.

    Raises
    ------
    click.BadParameter
        If a pair cannot be read or there is no unit.
    """
    try:
        return parse_points(text)
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint=option) from error

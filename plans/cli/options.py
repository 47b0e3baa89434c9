"""Options and arguments that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from pieces.lengths import LengthError, System, parse_length


class Length(click.ParamType[float]):
    """A length with its unit, read into mm."""

    name = "length"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read a typed length; a default is in mm already."""
        if isinstance(value, float):
            return value
        try:
            return parse_length(value)
        except LengthError as error:
            self.fail(str(error), param, ctx)


def system_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add --units."""
    return click.option(
        "--units",
        type=click.Choice([system.value for system in System]),
        default=System.METRIC.value,
        show_default=True,
        help="Units that figures are shown in.",
    )(function)


def paper_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add --paper."""
    return click.option(
        "--paper",
        type=click.Choice(["a4", "letter"]),
        default="a4",
        show_default=True,
        help="Paper of the PDF.",
    )(function)


def assignments(values: tuple[str, ...], option: str) -> list[tuple[str, str]]:
    """Split repeated NAME=VALUE options.

    Raises
    ------
    click.BadParameter
        If one has no name, no value, or a name comes twice.
    """
    pairs: list[tuple[str, str]] = []
    for value in values:
        name, sign, text = value.partition("=")
        if not sign or not name.strip() or not text.strip():
            raise click.BadParameter(f"'{value}' is not ROLE=VALUE", param_hint=option)
        if name.strip() in dict(pairs):
            raise click.BadParameter(f"role '{name.strip()}' is given twice", param_hint=option)
        pairs.append((name.strip(), text.strip()))
    return pairs

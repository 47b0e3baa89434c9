"""Options and arguments that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pieces.lengths import LengthError, System, parse_length
from plans.order import USUAL_ENDS_MM

if TYPE_CHECKING:
    from fabrics.fabric import Fabric
    from fabrics.stash.store import Stash
    from pieces.drafting.garment import Garment


class Length(click.ParamType[float]):
    """A length with its unit, read into mm; more than `above`, if that is given."""

    name = "length"

    def __init__(self, above: float | None = None) -> None:
        self.above = above

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
        return length


def ends_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add --ends."""
    return click.option(
        "--ends",
        type=Length(),
        default=USUAL_ENDS_MM,
        help="Length lost to squaring off both raw ends, together; 0 for none.  [default: 3 cm]",
    )(function)


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


def size_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add --size."""
    return click.option(
        "--size", help="Size, where the garment file gives several.  [default: the drawn one]"
    )(function)


def stash_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add --stash."""
    return click.option(
        "--stash",
        type=click.Path(path_type=Path, dir_okay=False),
        help="File of the stash.  [default: $LAYWRIGHT_STASH, else among your data]",
    )(function)


def read_garment(name: str, size: str | None = None) -> Garment:
    """Load a garment of the shelf or a file, and print what is doubtful about it to stderr.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    from pieces.readers.garment_toml import load_garment
    from pieces.readers.shelf import find_garment

    garment = load_garment(find_garment(name), size)
    for question in garment.questions:
        click.echo(f"{question.kind}: {question}", err=True)
    return garment


def open_stash(path: Path | None, units: str = System.METRIC.value) -> Stash:
    """Open the stash that an option names, or the user's own; its messages speak these units."""
    from fabrics.stash.place import default_stash_path
    from fabrics.stash.store import Stash

    return Stash(path or default_stash_path(), system=System(units))


def find_cloth(text: str, stash: Path | None) -> Fabric:
    """Return the fabric of `stash:TAG` (a bolt), a shelf name, a file, or a plain width."""
    from fabrics.shelf import find_fabric

    place, sign, tag = text.partition(":")
    if sign and place.strip().lower() == "stash":
        with open_stash(stash) as base:
            return base.bolt(tag).as_fabric()
    return find_fabric(text)


def cloth_by_role(values: tuple[str, ...], stash: Path | None) -> dict[str, Fabric]:
    """Read repeated --cloth ROLE=FABRIC options; `base+overlay=140cm` lays two roles on one cloth.

    Two plain widths are two cloths, even if they are alike; a fabric that has a name, a file or a
    tag of its own is one cloth however often it is named.
    """
    cloth: dict[str, Fabric] = {}
    for names, text in assignments(values, "--cloth"):
        fabric = find_cloth(text, stash)
        roles = [name.strip() for name in names.split("+")]
        for role in roles:
            if not role:
                raise click.BadParameter(f"'{names}' names no role", param_hint="--cloth")
            if role in cloth:
                raise click.BadParameter(f"role '{role}' is given twice", param_hint="--cloth")
            # Cloth that nobody named is told apart by what it is for.
            cloth[role] = fabric if fabric.source or fabric.bolt else in_lot(fabric, roles)
    return cloth


def in_lot(fabric: Fabric, roles: list[str]) -> Fabric:
    """Plain cloth for these roles alone."""
    lot = " and ".join(roles)
    return replace(fabric, lot=lot, title=f"{fabric.title}, for {lot}")


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

"""Garments, cloth and the stash as commands name them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pieces.lengths import System
from plans.cli.common.drawing_options import read_any
from plans.cli.common.typed import assignments, read_length, read_on_hand

if TYPE_CHECKING:
    from fabrics.stash.store import Stash
    from pieces.drafting.garment import Garment
    from plans.orders.request import GarmentAsked


def read_garment(name: str, size: str | None = None) -> Garment:
    """Load a garment by name, file or drawing, and print what is doubtful about it to stderr.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    return reading()(name, size)


def read_all(name: str, size: str | None = None) -> Garment:
    """Load a garment as `read_garment`; of an order file all its garments, as one.

    Raises
    ------
    InputError, OutfitError
        With every fault of the file.
    """
    from plans.orders.making import order_without_cloth
    from plans.orders.order_file import read_order_file, says_order

    path = Path(name)
    if not says_order(path):
        return read_garment(name, size)
    if size is not None:
        raise click.UsageError(f"{name} is an order file, which says the sizes itself")
    return order_without_cloth(read_order_file(path), reading()).garment


def reading() -> Callable[[str, str | None], Garment]:
    """Return what loads garments as `read_garment`, and prints what is doubtful in several once."""
    told: set[str] = set()

    def read(name: str, size: str | None) -> Garment:
        garment = load_one(name, size)
        for question in garment.questions:
            text = f"{question.kind}: {question}"
            if text not in told:
                told.add(text)
                click.echo(text, err=True)
        return garment

    return read


def load_one(name: str, size: str | None = None) -> Garment:
    """Load a garment by name, file or drawing.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    from pieces.findings import Finding, InputError
    from pieces.readers.shelf import find_garment
    from plans.orders.order_file import says_order

    path = find_garment(name)
    if says_order(path):
        fix = "name one of its garments; plan, compare, chart, print and draw take all of it"
        raise InputError([Finding(name, "is an order file, and no garment", fix=fix)])
    return read_any(path, size)


def open_stash(path: Path | None, units: str = System.METRIC.value) -> Stash:
    """Open the stash that an option names, or the user's own; its messages speak these units."""
    from fabrics.stash.place import default_stash_path
    from fabrics.stash.store import Stash

    return Stash(path or default_stash_path(), system=System(units))


def read_garments(values: tuple[str, ...], size: str | None) -> tuple[GarmentAsked, ...]:
    """Read NAME[:SIZE][*COUNT] of one garment or several; --size is that of one alone.

    Raises
    ------
    GarmentTextError
        If one is typed otherwise.
    """
    from dataclasses import replace

    from plans.orders.garment_text import parse_garment

    asked = tuple(parse_garment(text) for text in values)
    if size is None:
        return asked
    if len(asked) > 1:
        raise click.UsageError(f"--size is for one garment; of several write {values[0]}:{size}")
    if asked[0].size is not None:
        raise click.UsageError(f"{values[0]} names a size already; leave out --size")
    return (replace(asked[0], size=size),)


@dataclass(frozen=True)
class ClothChoice:
    """The cloth of each role, and what is known of it beyond its file."""

    cloth: tuple[str, ...]
    measured_width: tuple[str, ...]
    on_hand: tuple[str, ...]
    stash: Path | None

    def asked(self) -> dict[str, Any]:
        """What a request says of the cloth, still by name."""
        return {
            "cloth": dict(assignments(self.cloth, "--cloth")),
            "measured_width": {
                role: read_length(text, "--measured-width")
                for role, text in assignments(self.measured_width, "--measured-width")
            },
            "on_hand": {
                role: read_on_hand(text, "--on-hand")
                for role, text in assignments(self.on_hand, "--on-hand")
            },
        }

"""Garments, cloth and the stash as commands name them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pieces.lengths import System
from plans.cli.common.drawing_options import read_any
from plans.cli.common.typed import assignments, read_length, read_on_hand

if TYPE_CHECKING:
    from fabrics.fabric import Fabric
    from fabrics.stash.store import Stash
    from pieces.drafting.garment import Garment


def read_garment(name: str, size: str | None = None) -> Garment:
    """Load a garment by name, file or drawing, and print what is doubtful about it to stderr.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    from pieces.readers.shelf import find_garment

    garment = read_any(find_garment(name), size)
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
    from fabrics.plain import in_lot

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


@dataclass(frozen=True)
class ClothChoice:
    """The cloth of each role, and what is known of it beyond its file."""

    cloth: tuple[str, ...]
    measured_width: tuple[str, ...]
    on_hand: tuple[str, ...]
    stash: Path | None

    def by_role(self) -> dict[str, Fabric]:
        """Read all of them, in the order: what it is, how wide, how much there is."""
        from plans.folds.measured import with_amount, with_measured_width

        fabrics = cloth_by_role(self.cloth, self.stash)
        for role, text in assignments(self.measured_width, "--measured-width"):

            def measured(fabric: Fabric, text: str = text) -> Fabric:
                return with_measured_width(fabric, read_length(text, "--measured-width"))

            fabrics = _changed(fabrics, role, "--measured-width", measured)
        for role, text in assignments(self.on_hand, "--on-hand"):

            def on_hand(fabric: Fabric, text: str = text) -> Fabric:
                return with_amount(fabric, *read_on_hand(text, "--on-hand"))

            fabrics = _changed(fabrics, role, "--on-hand", on_hand)
        return fabrics


def _changed(
    fabrics: dict[str, Fabric], role: str, option: str, change: Callable[[Fabric], Fabric]
) -> dict[str, Fabric]:
    from plans.folds.measured import on_the_same_cloth

    if role not in fabrics:
        raise click.BadParameter(f"role '{role}' has no cloth", param_hint=option)
    return on_the_same_cloth(fabrics, role, change(fabrics[role]))

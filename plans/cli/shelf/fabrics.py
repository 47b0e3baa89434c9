"""`laywright fabrics`: what is on the shelf, and what is known of a fabric."""

from __future__ import annotations

import contextlib
from typing import TYPE_CHECKING

import click

from plans.cli.common.options import system_option

if TYPE_CHECKING:
    from fabrics.fabric import Fabric
    from pieces.lengths import System


@click.command()
@click.argument("fabric", required=False)
@system_option
def command(fabric: str | None, units: str) -> None:
    """List the fabrics on the shelves, or show one.

    FABRIC is a name on the shelf, a file, or a plain width such as 140cm.

    \b
    Example:
      laywright fabrics demo-velveteen
    """
    from fabrics.shelf import find_fabric
    from pieces.lengths import System
    from plans.words.tables import fabric_table, shelf_table

    system = System(units)
    if fabric is None:
        click.echo(shelf_table(("fabric", "shelf", "width", "what it is"), _rows(system)))
        return
    click.echo(fabric_table(find_fabric(fabric), system))


def _rows(system: System) -> list[tuple[str, str, str, str]]:
    """Fabrics on both shelves; one of the user's own that is at fault is listed as that."""
    from fabrics.shelf import all_names, find_fabric
    from pieces.files.own_shelf import FABRICS, own_files
    from pieces.findings import InputError
    from plans.words.columns import length_column

    own = own_files(FABRICS)
    sound: dict[str, Fabric] = {}
    for name in all_names():
        with contextlib.suppress(InputError):
            sound[name] = find_fabric(name)
    widths = length_column([found.width for found in sound.values()], system)
    shown = dict(zip(sound, widths, strict=True))
    return [
        (
            name,
            "yours" if name in own else "demo",
            shown.get(name, ""),
            sound[name].title if name in sound else f"at fault; see laywright check {name}",
        )
        for name in all_names()
    ]

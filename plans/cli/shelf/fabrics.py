"""`laywright fabrics`: what is on the shelf, and what is known of a fabric."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from plans.cli.common.options import system_option

if TYPE_CHECKING:
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
    from plans.words.lists.tables import fabric_table, shelf_table

    system = System(units)
    if fabric is None:
        click.echo(shelf_table(("fabric", "shelf", "width", "what it is"), _rows(system)))
        return
    click.echo(fabric_table(find_fabric(fabric), system))


def _rows(system: System) -> list[tuple[str, str, str, str]]:
    """Fabrics on both shelves; one of the user's own that is at fault is listed as that."""
    from fabrics.shelf import on_shelves
    from plans.words.columns import length_column

    found = on_shelves()
    sound = [one.fabric for one in found if one.fabric is not None]
    widths = iter(length_column([fabric.width for fabric in sound], system))
    return [
        (
            one.name,
            "yours" if one.own else "demo",
            "" if one.fabric is None else next(widths),
            f"at fault; see laywright check {one.name}" if one.fabric is None else one.fabric.title,
        )
        for one in found
    ]

"""`laywright fabrics`: what is on the shelf, and what is known of a fabric."""

from __future__ import annotations

import click

from plans.cli.common.options import system_option


@click.command()
@click.argument("fabric", required=False)
@system_option
def command(fabric: str | None, units: str) -> None:
    """List the fabrics on the shelf, or show one.

    FABRIC is a name on the shelf, a file, or a plain width such as 140cm.

    \b
    Example:
      laywright fabrics demo-velveteen
    """
    from fabrics.shelf import find_fabric, shelf_names
    from pieces.lengths import System
    from plans.words.columns import length_column
    from plans.words.tables import fabric_table, shelf_table

    system = System(units)
    if fabric is None:
        shelf = {name: find_fabric(name) for name in shelf_names()}
        widths = length_column([found.width for found in shelf.values()], system)
        rows = [
            (name, width, found.title)
            for (name, found), width in zip(shelf.items(), widths, strict=True)
        ]
        click.echo(shelf_table(("fabric", "width", "what it is"), rows))
        return
    click.echo(fabric_table(find_fabric(fabric), system))

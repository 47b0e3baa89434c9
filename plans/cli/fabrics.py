"""`laywright fabrics`: what is on the shelf, and what is known of a fabric."""

from __future__ import annotations

import click

from plans.cli.options import system_option


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
    from pieces.lengths import System, format_length
    from plans.tables import fabric_table, shelf_table

    system = System(units)
    if fabric is None:
        rows = [
            (name, format_length(found.width, system), found.title)
            for name in shelf_names()
            for found in [find_fabric(name)]
        ]
        click.echo(shelf_table(("fabric", "width", "what it is"), rows))
        return
    click.echo(fabric_table(find_fabric(fabric), system))

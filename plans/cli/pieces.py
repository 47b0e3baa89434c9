"""`laywright pieces`: what is on the shelf, and what a garment consists of."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.asked import read_garment
from plans.cli.common.options import size_option, system_option


@click.command()
@click.argument("garment", required=False)
@click.option(
    "--picture",
    type=click.Path(path_type=Path),
    help="Draw the pieces to scale into a PNG, SVG or PDF file.",
)
@size_option
@system_option
def command(garment: str | None, picture: Path | None, size: str | None, units: str) -> None:
    """List the garments on the shelf, or the pieces of one.

    GARMENT is a name on the shelf or a file.

    \b
    Example:
      laywright pieces layered-top --picture pieces.png
    """
    from pieces.lengths import System
    from pieces.readers.garment_toml import load_garment
    from pieces.readers.shelf import find_garment, shelf_names
    from plans.words.tables import garment_table, shelf_table

    system = System(units)
    if garment is None:
        if picture is not None:
            raise click.UsageError("--picture needs a garment")
        rows = [
            (name, ", ".join(loaded.roles), loaded.title)
            for name in shelf_names()
            for loaded in [load_garment(find_garment(name))]
        ]
        click.echo(shelf_table(("garment", "roles", "what it is"), rows))
        return
    loaded = read_garment(garment, size)
    click.echo(garment_table(loaded, system))
    if picture is not None:
        from plans.drawing.piece_picture import write_piece_picture

        write_piece_picture(loaded, picture, system)
        click.echo(f"\nDrawn in {picture}")

"""`laywright pieces`: what is on the shelf, and what a garment consists of."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.common.asked import read_garment
from plans.cli.common.drawing_options import drawing_options
from plans.cli.common.options import size_option, system_option

if TYPE_CHECKING:
    from pieces.drafting.draft import Draft
    from pieces.drafting.garment import Garment
    from pieces.lengths import System


@click.command()
@click.argument("garment", required=False)
@click.option(
    "--picture",
    type=click.Path(path_type=Path),
    help="Draw the pieces to scale into a PNG, SVG or PDF file.",
)
@click.option("--steps", metavar="PIECE", help="Tell, or draw, the edits of one piece in order.")
@size_option
@drawing_options
@system_option
def command(
    garment: str | None, picture: Path | None, steps: str | None, size: str | None, units: str
) -> None:
    """List the garments on the shelves, or the pieces of one.

    GARMENT is a name on the shelf, a garment file or a drawing (SVG, DXF).

    \b
    Example:
      laywright pieces layered-top --picture pieces.png
    """
    from pieces.lengths import System
    from plans.words.lists.tables import garment_table, shelf_table

    system = System(units)
    if garment is None:
        if picture is not None or steps is not None:
            raise click.UsageError("--picture and --steps need a garment")
        click.echo(shelf_table(("garment", "shelf", "roles", "what it is"), _rows()))
        return
    loaded = read_garment(garment, size)
    if steps is not None:
        _show_steps(_draft(loaded, steps), picture, system)
        return
    click.echo(garment_table(loaded, system))
    if picture is not None:
        from plans.drawing.garment.piece_picture import write_piece_picture

        write_piece_picture(loaded, picture, system)
        click.echo(f"\nDrawn in {picture}")


def _rows() -> list[tuple[str, str, str, str]]:
    """Garments on both shelves; one of the user's own that is at fault is listed as that."""
    from pieces.files.own_shelf import GARMENTS, own_files
    from pieces.findings import InputError
    from pieces.readers.garment_toml import load_garment
    from pieces.readers.shelf import all_names, find_garment

    own = own_files(GARMENTS)
    rows = []
    for name in all_names():
        shelf = "yours" if name in own else "demo"
        try:
            loaded = load_garment(find_garment(name))
            rows.append((name, shelf, ", ".join(loaded.roles), loaded.title))
        except InputError:
            rows.append((name, shelf, "", f"at fault; see laywright check {name}"))
    return rows


def _draft(garment: Garment, name: str) -> Draft:
    drafts = {draft.name: draft for draft in garment.drafts}
    if name not in drafts:
        raise click.UsageError(f"--steps {name}: the garment has {', '.join(drafts)}")
    return drafts[name]


def _show_steps(draft: Draft, picture: Path | None, system: System) -> None:
    for number, step in enumerate(draft.steps, start=1):
        click.echo(f"{number}. {step.change.words(system)}")
    if not draft.steps:
        click.echo(f"'{draft.name}' has no edits")
    elif picture is not None:
        from plans.drawing.garment.steps_picture import write_steps_picture

        write_steps_picture(draft, picture, system)
        click.echo(f"\nDrawn in {picture}")

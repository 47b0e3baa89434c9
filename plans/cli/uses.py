"""`laywright uses`: what a leftover is good for."""

from __future__ import annotations

import click

from pieces.lengths import JOIN_MM
from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, TableChoice, taken_into
from plans.cli.common.options import (
    csv_option,
    gap_option,
    json_option,
    stash_option,
    system_option,
)
from plans.cli.common.printing import print_table
from plans.cli.common.typed import Length, read_size


@click.command()
@click.argument("tag")
@click.option(
    "--garment",
    "garments",
    multiple=True,
    help="Garment whose pieces to try.  [default: all on the shelf]",
)
@click.option(
    "--bias", "widths", multiple=True, type=Length(above=0.0), help="Cut width of a bias strip."
)
@click.option(
    "--rectangle", "rectangles", multiple=True, metavar="LONGxWIDE", help="As 10x10cm: how many?"
)
@click.option("--either-way", is_flag=True, help="Rectangles may be cut either way of the grain.")
@gap_option
@click.option(
    "--join",
    type=Length(),
    default=JOIN_MM,
    help=f"Seam allowance of a join.  [default: {JOIN_MM:g} mm]",
)
@json_option()
@csv_option
@stash_option
@system_option
@taken_into(table=TableChoice, about=StashChoice)
def command(
    tag: str,
    garments: tuple[str, ...],
    widths: tuple[float, ...],
    rectangles: tuple[str, ...],
    either_way: bool,
    gap: float,
    join: float,
    table: TableChoice,
    about: StashChoice,
) -> None:
    """Tell what a leftover is good for: pieces of known garments, bias strips, rectangles.

    \b
    Example:
      laywright uses L3 --bias 4cm --rectangle 12x12cm
    """
    from plans.leftover_use.answer import find_uses, uses_csv, uses_data, uses_text

    sizes = [read_size(text, "--rectangle") for text in rectangles]
    with open_stash(about.stash, about.units) as base:
        one = base.leftover(tag)
    found = find_uses(one, one.region.polygon, garments, widths, sizes, either_way, gap, join)
    print_table(
        table,
        lambda: uses_data(found),
        lambda: uses_csv(found),
        lambda: uses_text(found, about.system),
    )

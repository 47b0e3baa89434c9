"""`laywright uses`: what a leftover is good for."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from plans.cli.options import Length, open_stash, stash_option, system_option

if TYPE_CHECKING:
    from fabrics.stash.records import LeftoverRecord

BIAS_WIDTHS = (30.0, 40.0, 50.0)
"""Cut widths (mm) shown where none is asked for."""


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
@click.option("--gap", type=Length(), default=3.0, help="Distance between pieces.  [default: 3 mm]")
@click.option(
    "--join", type=Length(), default=6.0, help="Seam allowance of a join.  [default: 6 mm]"
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV and nothing else.")
@stash_option
@system_option
def command(
    tag: str,
    garments: tuple[str, ...],
    widths: tuple[float, ...],
    rectangles: tuple[str, ...],
    either_way: bool,
    gap: float,
    join: float,
    as_json: bool,
    as_csv: bool,
    stash: Path | None,
    units: str,
) -> None:
    """Tell what a leftover is good for: pieces of known garments, bias strips, rectangles.

    \b
    Example:
      laywright uses L3 --bias 4cm --rectangle 12x12cm
    """
    from fabrics.stash.region import region_of
    from pieces.lengths import System
    from pieces.readers.shelf import shelf_names
    from plans.cli.measured_points import read_size
    from plans.leftover_use.answer import find_uses, uses_csv, uses_data, uses_text

    sizes = [read_size(text, "--rectangle") for text in rectangles]
    with open_stash(stash, units) as base:
        one: LeftoverRecord = base.leftover(tag)
    found = find_uses(
        one,
        region_of(one.outline, one.holes),
        garments or tuple(shelf_names()),
        widths or BIAS_WIDTHS,
        sizes,
        either_way,
        gap,
        join,
    )
    if as_json:
        data: dict[str, Any] = uses_data(found)
        click.echo(json.dumps(data, indent=1))
    elif as_csv:
        click.echo(uses_csv(found), nl=False)
    else:
        click.echo(uses_text(found, System(units)), nl=False)

"""`laywright stash leftover`: a piece of cloth that was left, measured by hand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, taken_into
from plans.cli.common.options import stash_option, system_option
from plans.cli.common.typed import read_points, read_size

if TYPE_CHECKING:
    from pieces.geometry_types import Ring


@click.command("leftover")
@click.argument("fabric")
@click.option("--rectangle", metavar="LONGxWIDE", help="Along the grain x across it, as 60x20cm.")
@click.option("--points", metavar="POINTS", help="Measured corners, as '0,0 60,0 55,30 0,28 cm'.")
@click.option("--hole", "holes", multiple=True, metavar="POINTS", help="Corners of a hole.")
@click.option(
    "--warp",
    type=float,
    default=0.0,
    help="Direction of the warp in degrees, counter-clockwise from x, of the measured corners.",
)
@click.option("--note", default="", help="Anything worth knowing.")
@stash_option
@system_option
@taken_into(about=StashChoice)
def command(
    fabric: str,
    rectangle: str | None,
    points: str | None,
    holes: tuple[str, ...],
    warp: float,
    note: str,
    about: StashChoice,
) -> None:
    """Put a leftover in, washed cloth seen from its right side.

    FABRIC is a name on the shelf, a file, or a plain width.

    \b
    Example:
      laywright stash leftover demo-cotton-lawn --rectangle 60x20cm
    """
    from fabrics.shelf import find_fabric
    from plans.leftover_use.measured import NoLeftoverError, measured_leftover
    from plans.words.lists.stash_tables import stash_text

    if (rectangle is None) == (points is None):
        raise click.UsageError("give either --rectangle or --points")
    if not math.isfinite(warp):
        raise click.BadParameter(
            f"{warp} is no direction; degrees, such as 90", param_hint="--warp"
        )
    inner = tuple(read_points(text, "--hole") for text in holes)
    outer = _outline(rectangle, points)
    cloth = find_fabric(fabric)
    try:
        new = measured_leftover(cloth, outer, inner, warp, note)
    except NoLeftoverError as error:
        raise click.BadParameter(str(error), param_hint="--points") from error
    with open_stash(about.stash, about.units) as base:
        put = base.add_leftover(new)
    click.echo(f"write {put.tag} on it")
    click.echo(stash_text([], [put], about.system), nl=False)


def _outline(rectangle: str | None, points: str | None) -> Ring:
    from plans.leftover_use.measured import rectangle_ring

    if rectangle is None:
        return read_points(points or "", "--points")
    return rectangle_ring(*read_size(rectangle, "--rectangle"))

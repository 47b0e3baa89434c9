"""`laywright stash`: cloth on hand and leftovers."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.options import Length, stash_option, system_option
from plans.cli.stash_changes import CHANGES
from plans.cli.stash_files import FILES

if TYPE_CHECKING:
    from fabrics.stash.search import Wish
    from fabrics.stash.store import Stash
    from pieces.geometry_types import Ring


@click.group()
def command() -> None:
    """Keep cloth on hand and leftovers: put in, list, find, correct, take out, undo, back up.

    Everything is in one file: --stash FILE, else $LAYWRIGHT_STASH, else one among your data.

    \b
    Example:
      laywright stash bolt demo-cotton-lawn --length 3m
    """


@command.command("bolt")
@click.argument("fabric")
@click.option("--length", type=Length(above=0.0), required=True, help="Length that there is.")
@click.option("--washed/--unwashed", default=None, help="Its state.  [default: as the fabric says]")
@click.option("--note", default="", help="Anything worth knowing.")
@stash_option
@system_option
def bolt(
    fabric: str, length: float, washed: bool | None, note: str, stash: Path | None, units: str
) -> None:
    """Put a bolt in.

    FABRIC is a name on the shelf, a file, or a plain width.

    \b
    Example:
      laywright stash bolt demo-cotton-lawn --length 3m --washed
    """
    from fabrics.shelf import find_fabric
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.words.columns import cloth_length

    found = find_fabric(fabric)
    with open_stash(stash, units) as base:
        put = base.add_bolt(found, length, found.washed if washed is None else washed, note)
    state = "washed" if put.washed else "unwashed"
    click.echo(
        f"{put.tag}: {cloth_length(put.length, System(units))} of {found.title or found.name}, "
        f"{state}"
    )


@command.command("leftover")
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
def leftover(
    fabric: str,
    rectangle: str | None,
    points: str | None,
    holes: tuple[str, ...],
    warp: float,
    note: str,
    stash: Path | None,
    units: str,
) -> None:
    """Put a leftover in, washed cloth seen from its right side.

    FABRIC is a name on the shelf, a file, or a plain width.

    \b
    Example:
      laywright stash leftover demo-cotton-lawn --rectangle 60x20cm
    """
    from fabrics.shelf import find_fabric
    from fabrics.stash.records import NewLeftover
    from fabrics.stash.region import region_of, turned_to_warp
    from pieces.lengths import System
    from plans.cli.measured_points import read_points, read_size
    from plans.cli.options import open_stash
    from plans.folds.leftovers import largest_rectangle, ring_of
    from plans.words.stash_tables import stash_text

    if (rectangle is None) == (points is None):
        raise click.UsageError("give either --rectangle or --points")
    if not math.isfinite(warp):
        raise click.BadParameter(
            f"{warp} is no direction; degrees, such as 90", param_hint="--warp"
        )
    inner: tuple[Ring, ...] = tuple(read_points(text, "--hole") for text in holes)
    if rectangle is not None:
        long, wide = read_size(rectangle, "--rectangle")
        outer: Ring = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    else:
        outer = read_points(points or "", "--points")
    try:
        region = region_of(
            turned_to_warp(outer, warp), tuple(turned_to_warp(hole, warp) for hole in inner)
        )
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--points") from error
    largest = largest_rectangle(region)
    if not (largest[2] > largest[0] and largest[3] > largest[1]):
        raise click.BadParameter("is too narrow to hold any rectangle", param_hint="--points")
    new = NewLeftover(
        fabric=find_fabric(fabric),
        outline=ring_of(region.exterior.coords),
        holes=tuple(ring_of(hole.coords) for hole in region.interiors),
        rectangle=largest,
        area=region.area,
        note=note,
    )
    with open_stash(stash, units) as base:
        put = base.add_leftover(new)
    click.echo(f"write {put.tag} on it")
    click.echo(stash_text([], [put], System(units)), nl=False)


@command.command("list")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV and nothing else.")
@click.option("--cuts", is_flag=True, help="List the cuts that were recorded instead.")
@click.option("--changes", is_flag=True, help="List what was taken out or corrected instead.")
@stash_option
@system_option
def list_(
    as_json: bool, as_csv: bool, cuts: bool, changes: bool, stash: Path | None, units: str
) -> None:
    """List everything that is there.

    \b
    Example:
      laywright stash list
    """
    from fabrics.stash.exchange import stash_to_csv, stash_to_data
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.words.stash_tables import changes_text, cuts_text, damaged_text, stash_text

    with open_stash(stash, units) as base:
        damaged = damaged_text(base.damaged())
        if as_json:
            click.echo(json.dumps(stash_to_data(base), indent=1))
        elif as_csv:
            click.echo(stash_to_csv(base), nl=False)
        elif cuts:
            click.echo(cuts_text(base.cuts(), System(units)), nl=False)
        elif changes:
            click.echo(changes_text(base.changes()), nl=False)
        else:
            bolts, leftovers = base.bolts(), base.leftovers()
            if bolts or leftovers:
                click.echo(stash_text(bolts, leftovers, System(units)), nl=False)
            elif not damaged:
                click.echo(_empty(base), nl=False)
    if damaged:
        click.echo(damaged, err=True)


def _empty(base: Stash) -> str:
    from plans.words.stash_tables import empty_text

    return empty_text(base.path.name)


@command.command("show")
@click.argument("tag")
@click.option(
    "--picture", type=click.Path(path_type=Path), help="Draw a leftover to scale: PNG, SVG or PDF."
)
@stash_option
@system_option
def show(tag: str, picture: Path | None, stash: Path | None, units: str) -> None:
    """Show one bolt or leftover.

    \b
    Example:
      laywright stash show L3 --picture L3.png
    """
    from fabrics.stash.records import Bolt
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.drawing.leftover_sheet import write_leftover_sheet
    from plans.words.stash_tables import one_text

    with open_stash(stash, units) as base:
        one = base.find(tag)
    click.echo(one_text(one, System(units)), nl=False)
    if picture is not None:
        if isinstance(one, Bolt):
            raise click.UsageError(f"{one.tag} is a bolt; only leftovers have an outline to draw")
        write_leftover_sheet([one], picture, f"Leftover {one.tag}", System(units))
        click.echo(f"\nDrawn in {picture}")


@command.command("find")
@click.option("--fabric", default="", help="Part of its name.")
@click.option("--colour", default="", help="Part of its colour.")
@click.option("--fibre", default="", help="Part of its fibre.")
@click.option("--size", metavar="LONGxWIDE", help="Along the grain x across it, as 60x20cm.")
@click.option("--either-way", is_flag=True, help="The grain may lie along either side.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV and nothing else.")
@stash_option
@system_option
def find(
    fabric: str,
    colour: str,
    fibre: str,
    size: str | None,
    either_way: bool,
    as_json: bool,
    as_csv: bool,
    stash: Path | None,
    units: str,
) -> None:
    """Find cloth by fabric, colour, fibre or size.

    \b
    Example, anything at least 20 x 60 cm with the grain along the long side:
      laywright stash find --size 60x20cm
    """
    from fabrics.stash.search import Wish
    from plans.cli.measured_points import read_size

    wish = Wish(
        fabric, colour, fibre, None if size is None else read_size(size, "--size"), either_way
    )
    _print_found(wish, as_json, as_csv, stash, units)


def _print_found(wish: Wish, as_json: bool, as_csv: bool, stash: Path | None, units: str) -> None:
    from fabrics.stash.csv_table import cloth_to_csv
    from fabrics.stash.plain_data import bolt_data, leftover_data
    from fabrics.stash.search import matching
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.words.stash_tables import NOTHING_MATCHES, stash_text

    with open_stash(stash, units) as base:
        there = base.bolts(), base.leftovers()
        empty = "" if any(there) or base.damaged() else _empty(base)
        bolts, leftovers = matching(*there, wish)
    if as_json:
        data = {
            "bolts": [bolt_data(one) for one in bolts],
            "leftovers": [leftover_data(one) for one in leftovers],
        }
        click.echo(json.dumps(data, indent=1))
        return
    if as_csv:
        click.echo(cloth_to_csv(bolts, leftovers), nl=False)
        return
    if not bolts and not leftovers:
        click.echo(empty or NOTHING_MATCHES, nl=False)
        return
    click.echo(stash_text(bolts, leftovers, System(units)), nl=False)


for _more in (*CHANGES, *FILES):
    command.add_command(_more)

"""`laywright stash`: cloth on hand and leftovers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.options import Length, stash_option, system_option

if TYPE_CHECKING:
    from fabrics.stash.records import Bolt, LeftoverRecord
    from fabrics.stash.search import Wish
    from pieces.geometry_types import Ring


@click.group()
def command() -> None:
    """Keep cloth on hand and leftovers: put in, list, find, correct, take out, back up.

    Everything is in one file: --stash FILE, else $LAYWRIGHT_STASH, else one among your data.

    \b
    Example:
      laywright stash bolt demo-cotton-lawn --length 3m
    """


@command.command("bolt")
@click.argument("fabric")
@click.option("--length", type=Length(), required=True, help="Length that there is.")
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
    from pieces.lengths import System, format_length
    from plans.cli.options import open_stash

    found = find_fabric(fabric)
    with open_stash(stash) as base:
        put = base.add_bolt(found, length, found.washed if washed is None else washed, note)
    state = "washed" if put.washed else "unwashed"
    click.echo(
        f"{put.tag}: {format_length(put.length, System(units))} of {found.title or found.name}, "
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
    from plans.leftovers import largest_rectangle, ring_of
    from plans.stash_tables import stash_text

    if (rectangle is None) == (points is None):
        raise click.UsageError("give either --rectangle or --points")
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
    new = NewLeftover(
        fabric=find_fabric(fabric),
        outline=ring_of(region.exterior.coords),
        holes=tuple(ring_of(hole.coords) for hole in region.interiors),
        rectangle=largest_rectangle(region),
        area=region.area,
        note=note,
    )
    with open_stash(stash) as base:
        put = base.add_leftover(new)
    click.echo(f"write {put.tag} on it")
    click.echo(stash_text([], [put], System(units)), nl=False)


@command.command("list")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV and nothing else.")
@click.option("--cuts", is_flag=True, help="List the cuts that were recorded instead.")
@stash_option
@system_option
def list_(as_json: bool, as_csv: bool, cuts: bool, stash: Path | None, units: str) -> None:
    """List everything that is there.

    \b
    Example:
      laywright stash list
    """
    from fabrics.stash.exchange import stash_to_csv, stash_to_data
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.stash_tables import cuts_text, stash_text

    with open_stash(stash) as base:
        if as_json:
            click.echo(json.dumps(stash_to_data(base), indent=1))
        elif as_csv:
            click.echo(stash_to_csv(base), nl=False)
        elif cuts:
            click.echo(cuts_text(base.cuts(), System(units)), nl=False)
        else:
            click.echo(stash_text(base.bolts(), base.leftovers(), System(units)), nl=False)


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
    from plans.leftover_sheet import write_leftover_sheet
    from plans.stash_tables import one_text

    with open_stash(stash) as base:
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
    from fabrics.stash.exchange import bolt_data, cloth_to_csv, leftover_data
    from fabrics.stash.search import matching
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.stash_tables import stash_text

    with open_stash(stash) as base:
        bolts, leftovers = matching(base.bolts(), base.leftovers(), wish)
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
    click.echo(stash_text(bolts, leftovers, System(units)), nl=False)


@command.command("correct")
@click.argument("tag")
@click.option("--length", type=Length(), default=None, help="Length that there really is.")
@click.option("--washed/--unwashed", default=None, help="Its state.")
@click.option("--note", default=None, help="Another note.")
@stash_option
@system_option
def correct(
    tag: str,
    length: float | None,
    washed: bool | None,
    note: str | None,
    stash: Path | None,
    units: str,
) -> None:
    """Correct what is known of a bolt, or the note of a leftover.

    \b
    Example, after washing and measuring:
      laywright stash correct B1 --length 2.88m --washed
    """
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.stash_tables import one_text

    if length is None and washed is None and note is None:
        raise click.UsageError("say what to correct: --length, --washed, --unwashed or --note")
    with open_stash(stash) as base:
        base.correct(tag, length, washed, note)
        one: Bolt | LeftoverRecord = base.find(tag)
    click.echo(one_text(one, System(units)), nl=False)


@command.command("out")
@click.argument("tags", nargs=-1, required=True, metavar="TAG...")
@stash_option
def out(tags: tuple[str, ...], stash: Path | None) -> None:
    """Take bolts or leftovers out: sold, given away, used for something else.

    \b
    Example:
      laywright stash out L3 L4
    """
    from plans.cli.options import open_stash

    with open_stash(stash) as base:
        for tag in tags:
            base.find(tag)
        for tag in tags:
            base.remove(tag)
            click.echo(f"{tag.upper()} is out")


@command.command("plan")
@click.argument("number", type=int)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="File to write, for show."
)
@stash_option
def plan(number: int, out: Path | None, stash: Path | None) -> None:
    """Give back the plan that was kept with a cut, as JSON.

    \b
    Example:
      laywright stash plan 1 --out plan.json && laywright show plan.json
    """
    from fabrics.stash.errors import StashError
    from plans.cli.options import open_stash
    from plans.folder import write_text

    with open_stash(stash) as base:
        found = next((cut for cut in base.cuts() if cut.number == number), None)
    if found is None:
        raise StashError(f"cut {number}: there is none of that number")
    text = json.dumps(json.loads(found.plan), indent=1)
    if out is None:
        click.echo(text)
        return
    write_text(out, text + "\n")
    click.echo(f"Written to {out}")


@command.command("export")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@stash_option
def export(file: Path, stash: Path | None) -> None:
    """Write the stash to a .json or .csv file; the CSV leaves out the cuts.

    \b
    Example:
      laywright stash export stash.csv
    """
    from fabrics.stash.exchange import stash_to_csv, stash_to_data
    from plans.cli.options import open_stash
    from plans.folder import write_text

    if file.suffix.lower() not in (".json", ".csv"):
        raise click.BadParameter(f"'{file}' ends in neither .json nor .csv", param_hint="FILE")
    with open_stash(stash) as base:
        is_csv = file.suffix.lower() == ".csv"
        text = stash_to_csv(base) if is_csv else json.dumps(stash_to_data(base), indent=1)
    write_text(file, text)
    click.echo(f"Written to {file}")


@command.command("import")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@stash_option
def import_(file: Path, stash: Path | None) -> None:
    """Put in the bolts and leftovers of an exported file, under their tags.

    What is there already is left alone; a tag that something else carries stops it all.

    \b
    Example:
      laywright stash import stash.json
    """
    from fabrics.stash.errors import StashError
    from fabrics.stash.exchange import take_in_csv, take_in_json
    from plans.cli.options import open_stash

    try:
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise click.BadParameter(f"{file}: cannot be read ({error})", param_hint="FILE") from error
    with open_stash(stash) as base:
        try:
            take = take_in_csv if file.suffix.lower() == ".csv" else take_in_json
            came, there = take(base, text)
        except StashError as error:
            raise StashError(f"{file}: {error}") from error
    click.echo(f"{len(came)} put in, {len(there)} were there already")


@command.command("backup")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@stash_option
def backup(file: Path, stash: Path | None) -> None:
    """Copy the stash to a file, even while it is in use.

    \b
    Example:
      laywright stash backup stash-copy.sqlite
    """
    from plans.cli.options import open_stash

    with open_stash(stash) as base:
        base.backup(file)
    click.echo(f"Copied to {file}")

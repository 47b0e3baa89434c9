"""`laywright stash bolt`: cloth that was bought."""

from __future__ import annotations

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, taken_into
from plans.cli.common.options import stash_option, system_option
from plans.cli.common.typed import Length


@click.command("bolt")
@click.argument("fabric")
@click.option("--length", type=Length(above=0.0), required=True, help="Length that there is.")
@click.option("--washed/--unwashed", default=None, help="Its state.  [default: as the fabric says]")
@click.option("--note", default="", help="Anything worth knowing.")
@stash_option
@system_option
@taken_into(about=StashChoice)
def command(fabric: str, length: float, washed: bool | None, note: str, about: StashChoice) -> None:
    """Put a bolt in.

    FABRIC is a name on the shelf, a file, or a plain width.

    \b
    Example:
      laywright stash bolt demo-cotton-lawn --length 3m --washed
    """
    from fabrics.shelf import find_fabric
    from plans.words.columns import cloth_length

    found = find_fabric(fabric)
    with open_stash(about.stash, about.units) as base:
        put = base.add_bolt(found, length, found.washed if washed is None else washed, note)
    state = "washed" if put.washed else "unwashed"
    long = cloth_length(put.length, about.system)
    click.echo(f"{put.tag}: {long} of {found.title or found.name}, {state}")

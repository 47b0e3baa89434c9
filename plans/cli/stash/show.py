"""`laywright stash show`: one bolt or leftover, in full."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, taken_into
from plans.cli.common.options import stash_option, system_option


@click.command("show")
@click.argument("tag")
@click.option(
    "--picture", type=click.Path(path_type=Path), help="Draw a leftover to scale: PNG, SVG or PDF."
)
@stash_option
@system_option
@taken_into(about=StashChoice)
def command(tag: str, picture: Path | None, about: StashChoice) -> None:
    """Show one bolt or leftover.

    \b
    Example:
      laywright stash show L3 --picture L3.png
    """
    from fabrics.stash.records import Bolt
    from plans.words.lists.stash_tables import one_text

    with open_stash(about.stash, about.units) as base:
        one = base.find(tag)
    click.echo(one_text(one, about.system), nl=False)
    if picture is None:
        return
    if isinstance(one, Bolt):
        raise click.UsageError(f"{one.tag} is a bolt; only leftovers have an outline to draw")
    from plans.drawing.leftovers.leftover_sheet import write_leftover_sheet

    write_leftover_sheet([one], picture, f"Leftover {one.tag}", about.system)
    click.echo(f"\nDrawn in {picture}")

"""`laywright stash out`: what is there no more."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.options import stash_option


@click.command("out")
@click.argument("tags", nargs=-1, required=True, metavar="TAG...")
@stash_option
def command(tags: tuple[str, ...], stash: Path | None) -> None:
    """Take bolts or leftovers out: sold, given away, used for something else.

    All of them or, if one tag is wrong, none.

    \b
    Example:
      laywright stash out L3 L4
    """
    from plans.words.lists.stash_tables import out_text

    with open_stash(stash) as base:
        number = base.remove(*tags)
    click.echo(out_text(tags, number), nl=False)

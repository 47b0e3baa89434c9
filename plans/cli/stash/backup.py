"""`laywright stash backup`: a copy to put away."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.options import stash_option


@click.command("backup")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@stash_option
def command(file: Path, stash: Path | None) -> None:
    """Copy the stash to a file, even while it is in use.

    \b
    Example:
      laywright stash backup stash-copy.sqlite
    """
    with open_stash(stash) as base:
        base.backup(file)
    click.echo(f"Copied to {file}")

"""`laywright stash export`: the stash as a file for people and other programs."""

from __future__ import annotations

import json
from pathlib import Path

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.options import stash_option


@click.command("export")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@stash_option
def command(file: Path, stash: Path | None) -> None:
    """Write the stash to a .json or .csv file; the CSV leaves out the cuts.

    \b
    Example:
      laywright stash export stash.csv
    """
    from fabrics.stash.exchange.files import stash_to_csv, stash_to_data
    from plans.outputs.folder import write_text
    from plans.words.lists.stash_tables import damaged_text

    kind = file.suffix.lower()
    if kind not in (".json", ".csv"):
        raise click.BadParameter(f"'{file}' ends in neither .json nor .csv", param_hint="FILE")
    with open_stash(stash) as base:
        text = stash_to_csv(base) if kind == ".csv" else json.dumps(stash_to_data(base), indent=1)
        damaged = damaged_text(base.damaged())
    write_text(file, text)
    click.echo(f"Written to {file}")
    if damaged:
        click.echo(damaged, err=True)

"""`laywright stash export`, `import` and `backup`: the stash as a file."""

from __future__ import annotations

import json
from pathlib import Path

import click

from plans.cli.options import stash_option, system_option


@click.command("export")
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
    from plans.outputs.folder import write_text
    from plans.words.stash_tables import damaged_text

    if file.suffix.lower() not in (".json", ".csv"):
        raise click.BadParameter(f"'{file}' ends in neither .json nor .csv", param_hint="FILE")
    with open_stash(stash) as base:
        is_csv = file.suffix.lower() == ".csv"
        text = stash_to_csv(base) if is_csv else json.dumps(stash_to_data(base), indent=1)
        damaged = damaged_text(base.damaged())
    write_text(file, text)
    click.echo(f"Written to {file}")
    if damaged:
        click.echo(damaged, err=True)


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@stash_option
@system_option
def import_(file: Path, stash: Path | None, units: str) -> None:
    """Put in the bolts and leftovers of an exported file.

    What is known here already is left alone. What comes keeps its tag, or gets the next one if
    the tag was given here before; its note then says what it was. All of the file or nothing.

    \b
    Example:
      laywright stash import home.json
    """
    from fabrics.stash.exchange import take_in_csv, take_in_json
    from pieces.files.json_text import read_text_file
    from plans.cli.options import open_stash
    from plans.words.stash_tables import taken_in_text

    text = read_text_file(file, "an export of a stash")
    with open_stash(stash, units) as base:
        take = take_in_csv if file.suffix.lower() == ".csv" else take_in_json
        taken = take(base, text, str(file))
    click.echo(taken_in_text(taken), nl=False)


@click.command("backup")
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


FILES = (export, import_, backup)

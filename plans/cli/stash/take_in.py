"""`laywright stash import`: what somebody exported."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.options import stash_option, system_option


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@stash_option
@system_option
def command(file: Path, stash: Path | None, units: str) -> None:
    """Put in the bolts and leftovers of an exported file.

    What is known here already is left alone. What comes keeps its tag, or gets the next one if
    the tag was given here before; its note then says what it was. All of the file or nothing.

    \b
    Example:
      laywright stash import home.json
    """
    from fabrics.stash.exchange.files import take_in_csv, take_in_json
    from pieces.files.json_text import read_text_file
    from plans.words.lists.stash_tables import taken_in_text

    text = read_text_file(file, "an export of a stash")
    take = take_in_csv if file.suffix.lower() == ".csv" else take_in_json
    with open_stash(stash, units) as base:
        taken = take(base, text, str(file))
    click.echo(taken_in_text(taken), nl=False)

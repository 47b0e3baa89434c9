"""`laywright stash undo`: back to what was there before a change."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.options import stash_option


@click.command("undo")
@click.argument("number", type=int, required=False)
@stash_option
def command(number: int | None, stash: Path | None) -> None:
    """Undo what was taken out or corrected: the latest, or the change of a NUMBER.

    For a cut that was recorded there is laywright cut --undo.

    \b
    Example:
      laywright stash undo
    """
    from plans.words.lists.stash_tables import undone_words

    with open_stash(stash) as base:
        change = base.undo(number)
    click.echo(undone_words(change))

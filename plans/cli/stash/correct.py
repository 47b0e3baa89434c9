"""`laywright stash correct`: what is known of a bolt or leftover, made right."""

from __future__ import annotations

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, taken_into
from plans.cli.common.options import stash_option, system_option
from plans.cli.common.typed import Length


@click.command("correct")
@click.argument("tag")
@click.option("--length", type=Length(above=0.0), default=None, help="Length that there really is.")
@click.option("--washed/--unwashed", default=None, help="Its state.")
@click.option("--note", default=None, help="Another note.")
@stash_option
@system_option
@taken_into(about=StashChoice)
def command(
    tag: str, length: float | None, washed: bool | None, note: str | None, about: StashChoice
) -> None:
    """Correct what is known of a bolt, or the note of a leftover.

    \b
    Example, after washing and measuring:
      laywright stash correct B1 --length 2.88m --washed
    """
    from plans.words.lists.stash_tables import one_text

    if length is None and washed is None and note is None:
        raise click.UsageError("say what to correct: --length, --washed, --unwashed or --note")
    with open_stash(about.stash, about.units) as base:
        number = base.correct(tag, length, washed, note)
        one = base.find(tag)
    click.echo(one_text(one, about.system), nl=False)
    click.echo(f"\n(laywright stash undo {number} takes this correction back)")

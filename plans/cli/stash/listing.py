"""`laywright stash list`: everything that is there, the cuts, or what was changed."""

from __future__ import annotations

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, TableChoice, taken_into
from plans.cli.common.options import csv_option, json_option, stash_option, system_option
from plans.cli.common.printing import print_table


@click.command("list")
@json_option()
@csv_option
@click.option("--cuts", is_flag=True, help="List the cuts that were recorded instead.")
@click.option("--changes", is_flag=True, help="List what was taken out or corrected instead.")
@stash_option
@system_option
@taken_into(table=TableChoice, about=StashChoice)
def command(cuts: bool, changes: bool, table: TableChoice, about: StashChoice) -> None:
    """List everything that is there.

    \b
    Example:
      laywright stash list
    """
    from fabrics.stash.exchange.files import stash_to_csv, stash_to_data
    from plans.words.lists.stash_tables import changes_text, cuts_text, damaged_text, whole_text

    with open_stash(about.stash, about.units) as base:
        damaged = damaged_text(base.damaged())

        def text() -> str:
            if cuts:
                return cuts_text(base.cuts(), about.system)
            if changes:
                return changes_text(base.changes())
            return whole_text(base, about.system)

        print_table(table, lambda: stash_to_data(base), lambda: stash_to_csv(base), text)
    if damaged:
        click.echo(damaged, err=True)

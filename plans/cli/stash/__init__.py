"""`laywright stash`: cloth on hand and leftovers, one module a command."""

from __future__ import annotations

import click

from plans.cli.common.on_demand import OnDemand

COMMANDS = {
    "backup": ("plans.cli.stash.backup", "Copy the stash to a file, even while it is in use."),
    "bolt": ("plans.cli.stash.bolt", "Put a bolt in."),
    "correct": (
        "plans.cli.stash.correct",
        "Correct what is known of a bolt, or the note of a leftover.",
    ),
    "export": (
        "plans.cli.stash.export",
        "Write the stash to a .json or .csv file; the CSV leaves out the cuts.",
    ),
    "find": ("plans.cli.stash.find", "Find cloth by fabric, colour, fibre or size."),
    "import": (
        "plans.cli.stash.take_in",
        "Put in the bolts and leftovers of an exported file.",
    ),
    "leftover": (
        "plans.cli.stash.leftover",
        "Put a leftover in, washed cloth seen from its right side.",
    ),
    "list": ("plans.cli.stash.listing", "List everything that is there."),
    "out": (
        "plans.cli.stash.out",
        "Take bolts or leftovers out: sold, given away, used for something else.",
    ),
    "plan": ("plans.cli.stash.plan", "Give back the plan that was kept with a cut, as JSON."),
    "show": ("plans.cli.stash.show", "Show one bolt or leftover."),
    "undo": (
        "plans.cli.stash.undo",
        "Undo what was taken out or corrected: the latest, or the change of a NUMBER.",
    ),
}


@click.group(cls=OnDemand, table=COMMANDS)
def command() -> None:
    """Keep cloth on hand and leftovers: put in, list, find, correct, take out, undo, back up.

    Everything is in one file: --stash FILE, else $LAYWRIGHT_STASH, else one among your data.

    \b
    Example:
      laywright stash bolt demo-cotton-lawn --length 3m
    """

"""`laywright batch`: every order file of a folder planned, and one table of what came of them."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.common.choices import ClusterChoice, TableChoice, taken_into
from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.options import (
    cluster_option,
    csv_option,
    json_option,
    members_option,
    paper_option,
    stash_option,
)
from plans.folds.levels import EFFORTS

if TYPE_CHECKING:
    from plans.batch.running import Outcome, Wanted


@dataclass(frozen=True)
class BatchChoice(ClusterChoice):
    """How all orders are answered, and where their plans go."""

    effort: str | None
    members: int | None
    paper: str
    drawings: bool
    out: Path | None

    def wanted(self) -> Wanted:
        """What holds for every order."""
        from plans.batch.running import Wanted

        return Wanted(self.effort, self.members, self.paper, self.drawings)

    def folder(self, orders: Path) -> Path:
        """Folder for the plans, here unless one is named."""
        return self.out or Path(f"{orders.absolute().name or 'orders'}-plans")


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), help="Folder to write.  [default: FOLDER-plans]"
)
@click.option(
    "--effort",
    type=click.Choice(EFFORTS),
    help="How long to search, whatever orders say.",
)
@members_option("as orders say, else 2: other cores have other orders")
@click.option(
    "--drawings/--no-drawings",
    default=True,
    show_default=True,
    help="Draw every plan; else only its JSON is written, which laywright show draws.",
)
@cluster_option
@stash_option
@paper_option
@json_option()
@csv_option
@taken_into(how=BatchChoice, table=TableChoice)
def command(folder: Path, stash: Path | None, how: BatchChoice, table: TableChoice) -> int:
    """Plan every order file of a folder.

    FOLDER holds order files (TOML), as laywright plan --save-order writes them. Each gets a folder
    of its plan; summary.txt and summary.csv tell what came of all of them. Called again, it goes on
    where it was ended, and plans anew only what has changed.

    \b
    Example:
      laywright batch spring-class --out spring-class-plans
    """
    from plans.batch.found import look_into
    from plans.batch.running import run_batch
    from plans.cli.common.progress import step_line

    if table.as_json and table.as_csv:
        raise click.UsageError("--json and --csv are two ways to print; choose one")
    there = look_into(folder)
    out = how.folder(folder)
    with how.workers() as workers, step_line(sys.stderr) as on_step:
        outcome = run_batch(there.orders, out, how.wanted(), stash, workers, on_step)
    _tell(outcome, tuple(path.name for path in there.others), out, table)
    return ExitCode.INTERRUPTED if outcome.interrupted else _code_of(outcome)


def _tell(outcome: Outcome, passed_over: tuple[str, ...], out: Path, table: TableChoice) -> None:
    """Write the table beside the plans, and print it."""
    from plans.batch.found import SUMMARIES
    from plans.batch.summary import summary_csv, summary_data, summary_text
    from plans.cli.common.printing import print_table
    from plans.cli.common.signals import finishing
    from plans.outputs.folder import write_text

    with finishing():
        texts = (summary_text(outcome, passed_over), summary_csv(outcome.entries))
        for name, text in zip(SUMMARIES, texts, strict=True):
            write_text(out / name, text)
    if os.environ.get("LAYWRIGHT_DEBUG"):
        for entry in outcome.entries:
            click.echo(entry.answer.trace, nl=False, err=True)
    print_table(
        table,
        lambda: summary_data(outcome.entries),
        lambda: summary_csv(outcome.entries),
        lambda: summary_text(outcome, passed_over),
    )
    click.echo(f"{'' if table.for_programs else chr(10)}Written to {out}/", err=table.for_programs)


def _code_of(outcome: Outcome) -> int:
    """The gravest of what came of the orders."""
    from plans.batch.answer import State

    states = {entry.answer.state for entry in outcome.entries}
    codes = {
        ExitCode.FAULT: {State.FAULT, State.LOST},
        ExitCode.INPUT: {State.FAULTY, State.NOT_WRITTEN},
        ExitCode.NO_LAYOUT: {State.NO_LAYOUT, State.SHORT},
    }
    return next((code for code, bad in codes.items() if states & bad), ExitCode.DONE)

"""`laywright cut`: record that a plan was cut, or undo that."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, taken_into
from plans.cli.common.options import json_option, stash_option, system_option
from plans.cli.common.printing import print_json
from plans.cli.common.typed import assignments, require_writable

if TYPE_CHECKING:
    from fabrics.stash.records import LeftoverRecord


@click.command()
@click.argument("plan", type=click.Path(path_type=Path), required=False)
@click.option(
    "--from",
    "sources",
    multiple=True,
    metavar="ROLE=TAG",
    help="Bolt that a role was cut from.  [default: the bolt that was planned on]",
)
@click.option("--no-leftovers", is_flag=True, help="Keep nothing of what is left.")
@click.option("--again", is_flag=True, help="The same plan was cut once more.")
@click.option("--undo", type=int, metavar="NUMBER", help="Undo the cut of this number.")
@click.option(
    "--sheet",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Where to draw the leftovers to scale.  "
    "[default: leftovers-cut-NUMBER.pdf beside the plan]",
)
@json_option()
@stash_option
@system_option
@taken_into(about=StashChoice)
def command(
    plan: Path | None,
    sources: tuple[str, ...],
    no_leftovers: bool,
    again: bool,
    undo: int | None,
    sheet: Path | None,
    as_json: bool,
    about: StashChoice,
) -> None:
    """Record that a plan was cut: length off its bolts, leftovers into the stash, the plan kept.

    PLAN is a plan.json or the folder that holds one; what is left is drawn to scale in that folder.
    Write each new tag on its leftover.

    \b
    Example:
      laywright cut layered-top-plan
      laywright cut --undo 1
    """
    from fabrics.stash.exchange.files import CUT
    from plans.drawing.leftovers.leftover_sheet import KINDS
    from plans.leftover_use.recording import new_cut
    from plans.outputs.folder import cut_sheet, read_plan
    from plans.words.lists.cut_words import recorded_text

    if (plan is None) == (undo is None):
        raise click.UsageError("name a plan to record, or --undo NUMBER")
    require_writable(sheet, KINDS, "--sheet")
    if plan is None:
        _undo(undo or 0, as_json, about)
        return
    with open_stash(about.stash, about.units) as base:
        whole = read_plan(plan)
        named = dict(assignments(sources, "--from"))
        record = base.record_cut(new_cut(base, whole, named, not no_leftovers, again))
        left = [base.leftover(tag) for tag in record.left]
        rest = {bolt.tag: bolt.length for bolt in base.bolts()}
    if as_json:
        print_json(CUT.write(record))
    else:
        click.echo(recorded_text(record, rest, left, about.system), nl=False)
    if left:
        target = sheet or cut_sheet(plan, record.number)
        _draw(left, target, f"Leftovers of cut {record.number}", about, as_json)


def _undo(number: int, as_json: bool, about: StashChoice) -> None:
    from fabrics.stash.exchange.files import CUT
    from plans.words.lists.cut_words import undone_text

    with open_stash(about.stash, about.units) as base:
        record = base.undo_cut(number)
    if as_json:
        print_json(CUT.write(record))
    else:
        click.echo(undone_text(record, about.system))


def _draw(
    left: list[LeftoverRecord], target: Path, title: str, about: StashChoice, as_json: bool
) -> None:
    from plans.drawing.leftovers.leftover_sheet import write_leftover_sheet
    from plans.errors import PlanError

    try:
        write_leftover_sheet(left, target, title, about.system)
    except PlanError as error:
        # The cut is recorded; only its picture is missing.
        click.echo(f"the cut is recorded, but its sheet is not drawn: {error}", err=True)
        return
    click.echo(f"\nDrawn in {target}", err=as_json)

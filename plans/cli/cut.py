"""`laywright cut`: record that a plan was cut, or undo that."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.options import assignments, open_stash, stash_option, system_option

if TYPE_CHECKING:
    from fabrics.stash.records import CutRecord, LeftoverRecord
    from fabrics.stash.store import Stash
    from pieces.lengths import System
    from plans.plan import Plan


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
    help="Where to draw the leftovers to scale.  [default: leftovers-cut-NUMBER.pdf]",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@stash_option
@system_option
def command(
    plan: Path | None,
    sources: tuple[str, ...],
    no_leftovers: bool,
    again: bool,
    undo: int | None,
    sheet: Path | None,
    as_json: bool,
    stash: Path | None,
    units: str,
) -> None:
    """Record that a plan was cut: length off its bolts, leftovers into the stash, the plan kept.

    PLAN is a plan.json or the folder that holds one. Write each new tag on its leftover.

    \b
    Example:
      laywright cut layered-top-plan
      laywright cut --undo 1
    """
    from pieces.lengths import System
    from plans.drawing.leftover_sheet import KINDS, write_leftover_sheet
    from plans.errors import PlanError

    if (plan is None) == (undo is None):
        raise click.UsageError("name a plan to record, or --undo NUMBER")
    if sheet is not None and sheet.suffix.lower() not in KINDS:
        raise click.BadParameter(
            f"'{sheet}' ends in none of {', '.join(KINDS)}", param_hint="--sheet"
        )
    system = System(units)
    with open_stash(stash, units) as base:
        if undo is not None:
            record = base.undo_cut(undo)
            click.echo(json.dumps(_data(record), indent=1) if as_json else _undone(record, system))
            return
        if plan is None:
            return
        record, left = _record(base, plan, sources, not no_leftovers, again)
        if as_json:
            click.echo(json.dumps(_data(record), indent=1))
        else:
            click.echo(_recorded(base, record, left, system), nl=False)
    if left:
        target = sheet or Path(f"leftovers-cut-{record.number}.pdf")
        try:
            write_leftover_sheet(left, target, f"Leftovers of cut {record.number}", system)
        except PlanError as error:
            # The cut is recorded; only its picture is missing.
            click.echo(f"the cut is recorded, but its sheet is not drawn: {error}", err=True)
            return
        click.echo(f"\nDrawn in {target}", err=as_json)


def _record(
    base: Stash, path: Path, sources: tuple[str, ...], keep: bool, again: bool
) -> tuple[CutRecord, list[LeftoverRecord]]:
    from plans.data.plan_json import plan_to_json
    from plans.leftover_use.cutting import cutting_of
    from plans.outputs.folder import read_plan

    plan = read_plan(path)
    if not plan.complete:
        raise click.UsageError(
            f"{path}: the plan is not complete ({', '.join(plan.missing_roles)} missing)"
        )
    named = _planned_bolts(plan) | dict(assignments(sources, "--from"))
    cutting = cutting_of(plan, {role: base.bolt(tag) for role, tag in named.items()}, keep)
    record = base.record_cut(
        plan.garment,
        json.dumps(plan_to_json(plan), sort_keys=True),
        list(cutting.taken),
        list(cutting.left),
        list(cutting.used),
        again,
    )
    return record, [base.leftover(tag) for tag in record.left]


def _planned_bolts(plan: Plan) -> dict[str, str]:
    return {
        role: entry.fabric.bolt
        for entry in plan.fabrics
        for role in entry.roles
        if entry.fabric.bolt
    }


def _data(record: CutRecord) -> dict[str, object]:
    return {
        "number": record.number,
        "garment": record.garment,
        "made": record.made,
        "undone": record.undone,
        "taken_mm": dict(record.taken),
        "left": list(record.left),
        "used": list(record.used),
    }


def _recorded(base: Stash, record: CutRecord, left: list[LeftoverRecord], system: System) -> str:
    from plans.words.columns import cloth_length
    from plans.words.stash_tables import stash_text

    rest = {bolt.tag: bolt.length for bolt in base.bolts()}
    lines = [f"cut {record.number}: {record.garment} is recorded, and the plan is kept"]
    for tag, length in record.taken:
        lines.append(
            f"  {cloth_length(length, system)} off {tag}, "
            f"{cloth_length(rest.get(tag, 0.0), system)} left on it"
        )
    if record.used:
        lines.append(f"  leftovers cut up: {', '.join(record.used)}")
    if not left:
        return "\n".join([*lines, "  nothing left that is worth keeping"]) + "\n"
    lines += ["  write these tags on what is left:", "", stash_text([], left, system)]
    return "\n".join(lines)


def _undone(record: CutRecord, system: System) -> str:
    from plans.words.columns import cloth_length

    facts = [f"{cloth_length(length, system)} back on {tag}" for tag, length in record.taken]
    facts += [f"{tag} out" for tag in record.left] + [f"{tag} back" for tag in record.used]
    return f"cut {record.number} is undone: {', '.join(facts) or 'nothing had changed'}"

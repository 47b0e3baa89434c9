"""`laywright plan PLAN --keep PIECE`: the rest of a given plan laid again around what is kept."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.core import ParameterSource

from plans.cli.common.asked import reading
from plans.cli.common.progress import progress_line

if TYPE_CHECKING:
    from pieces.lengths import System
    from plans.plan import Plan

OWN = ("garments", "keep", "effort", "seed", "members", "units", "paper", "out", "as_json", "stash")
"""Options that go with --keep; all else is said by the plan."""


def typed(name: str) -> bool:
    """Whether an option stands on the command line."""
    source = click.get_current_context().get_parameter_source(name)
    return source is ParameterSource.COMMANDLINE


def plan_kept(given: tuple[str, ...], keep: tuple[str, ...]) -> tuple[Plan, Path | None, System]:
    """Lay a given plan again around what is kept.

    Parameters
    ----------
    given : tuple of str
        The folder or the file of one plan.
    keep : tuple of str
        Names or numbers of pieces.

    Returns
    -------
    Plan, Path or None, System
        With the folder that it goes to, if to any, and the units to tell of it in.

    Raises
    ------
    click.UsageError
        If that is no plan, or something is asked for that the plan says itself.
    """
    from pieces.lengths import System
    from plans.by_hand.asked import asked_behind, order_behind, plan_again
    from plans.orders.asked import with_request
    from plans.outputs.folder import check_target, read_plan

    file = _plan_file(given)
    plan = read_plan(file)
    options = click.get_current_context().params
    chosen = {name: options[name] for name in ("effort", "seed", "members") if typed(name)}
    system = System(options["units"]) if typed("units") else None
    request = asked_behind(plan, file, system=system, **chosen)
    order = order_behind(plan, request, reading())
    folder = options["out"] or (None if options["as_json"] else _beside(file))
    if folder is not None:
        check_target(folder)
    with progress_line(sys.stderr, order.effort != "quick", order.system) as on_progress:
        again = plan_again(plan, order, keep, on_progress)
    return with_request(again, request, folder or Path.cwd()), folder, order.system


def _beside(file: Path) -> Path:
    """A folder beside a plan, named after it."""
    from plans.outputs.folder import PLAN_FILE

    place = file.parent if file.name == PLAN_FILE else file.with_suffix("")
    place = place if place.name else place.resolve()
    return place.with_name(f"{place.name}-again")


def _plan_file(given: tuple[str, ...]) -> Path:
    from plans.outputs.folder import PLAN_FILE

    context = click.get_current_context()
    beside = [
        option.opts[0]
        for option in context.command.params
        if option.name not in OWN and option.name is not None and typed(option.name)
    ]
    if beside:
        raise click.UsageError(
            f"{', '.join(beside)}: with --keep the plan says what is cut from which cloth and how; "
            "leave it out, or plan the garment anew"
        )
    if len(given) != 1:
        raise click.UsageError("--keep goes with one plan: its folder, or its plan.json")
    path = Path(given[0])
    file = path / PLAN_FILE if path.is_dir() else path
    if not file.is_file():
        raise click.UsageError(
            f"--keep goes with a plan: '{given[0]}' is no folder with a {PLAN_FILE}, and no file; "
            "name one that 'laywright plan' wrote"
        )
    return file

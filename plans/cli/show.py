"""`laywright show`: read a plan back."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.options import json_option, paper_option, system_option
from plans.cli.common.printing import print_plan


@click.command()
@click.argument("plan", type=click.Path(path_type=Path))
@system_option
@paper_option
@click.option("--out", type=click.Path(path_type=Path), help="Write all outputs again, here.")
@json_option("the plan as JSON")
def command(plan: Path, units: str, paper: str, out: Path | None, as_json: bool) -> None:
    """Read a plan back, and print it or write its outputs again.

    PLAN is a plan.json or the folder that holds one.

    \b
    Example:
      laywright show layered-top-plan --units imperial
    """
    from pieces.findings import Finding, InputError
    from pieces.lengths import System
    from plans.orders.order_file import says_order
    from plans.outputs.folder import read_plan, write_folder

    if says_order(plan):
        fix = f"laywright plan {plan} makes its plan; print and draw take its pieces"
        raise InputError([Finding(str(plan), "is an order file, and no plan", fix=fix)])
    system = System(units)
    loaded = read_plan(plan)
    if out is not None:
        write_folder(loaded, out, system, paper)
    print_plan(loaded, system, as_json)

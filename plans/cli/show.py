"""`laywright show`: read a plan back."""

from __future__ import annotations

import json
from pathlib import Path

import click

from plans.cli.options import paper_option, system_option


@click.command()
@click.argument("plan", type=click.Path(path_type=Path))
@system_option
@paper_option
@click.option("--out", type=click.Path(path_type=Path), help="Write all outputs again, here.")
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON and nothing else.")
def command(plan: Path, units: str, paper: str, out: Path | None, as_json: bool) -> None:
    """Read a plan back, and print it or write its outputs again.

    PLAN is a plan.json or the folder that holds one.

    \b
    Example:
      laywright show layered-top-plan --units imperial
    """
    from pieces.lengths import System
    from plans.data.plan_json import plan_to_json
    from plans.outputs.folder import read_plan, write_folder

    system = System(units)
    loaded = read_plan(plan)
    if out is not None:
        write_folder(loaded, out, system, paper)
    if as_json:
        click.echo(json.dumps(plan_to_json(loaded), indent=1))
        return
    from plans.words.facts import plan_text

    click.echo(plan_text(loaded, system, lambda text: click.style(text, bold=True)), nl=False)

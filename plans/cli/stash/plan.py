"""`laywright stash plan`: the plan of a cut that was recorded."""

from __future__ import annotations

import json
from pathlib import Path

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.options import stash_option
from plans.cli.common.printing import print_json


@click.command("plan")
@click.argument("number", type=int)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="File to write, for show."
)
@stash_option
def command(number: int, out: Path | None, stash: Path | None) -> None:
    """Give back the plan that was kept with a cut, as JSON.

    \b
    Example:
      laywright stash plan 1 --out plan.json && laywright show plan.json
    """
    from plans.data.kept_plan import kept_plan
    from plans.outputs.folder import write_text

    with open_stash(stash) as base:
        data = kept_plan(base, number)
    if out is None:
        print_json(data)
        return
    write_text(out, json.dumps(data, indent=1) + "\n")
    click.echo(f"Written to {out}")

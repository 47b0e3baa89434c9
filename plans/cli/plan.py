"""`laywright plan`: from a garment and cloth to a folder with everything to cut from."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fabrics.spread import Fold
from plans.cli.exit_codes import ExitCode
from plans.cli.options import (
    Length,
    assignments,
    cloth_by_role,
    ends_option,
    open_stash,
    paper_option,
    read_garment,
    size_option,
    stash_option,
    system_option,
)
from plans.cli.signals import finishing

if TYPE_CHECKING:
    from fabrics.fabric import Fabric

FOLDS = ["auto", *(fold.value for fold in Fold)]


@click.command()
@click.argument("garment")
@size_option
@click.option(
    "--cloth",
    multiple=True,
    metavar="ROLE=FABRIC",
    help="Fabric of a role: a name on the shelf, a file, stash:TAG, or a width such as 140cm or "
    "60in,selvage=0,shrinkage=4%x2%,nap. ROLE+ROLE=FABRIC lays two roles on one cloth.",
)
@click.option(
    "--fold", type=click.Choice(FOLDS), default="auto", show_default=True, help="How it is folded."
)
@click.option(
    "--makes",
    type=click.IntRange(1, 100),
    default=1,
    show_default=True,
    help="How many of the garment from one purchase.",
)
@click.option("--gap", type=Length(), default=3.0, help="Distance between pieces.  [default: 3 mm]")
@ends_option
@click.option("--margin", type=Length(), default=0.0, help="Safety margin to buy.  [default: 0]")
@click.option(
    "--measured-width",
    multiple=True,
    metavar="ROLE=LENGTH",
    help="Width that the washed cloth of a role really has.",
)
@click.option(
    "--on-hand",
    multiple=True,
    metavar="ROLE=LENGTH",
    help="Cloth that there is: does it fit?  2m, '2m washed' or '2m unwashed'.",
)
@click.option(
    "--nap-optional", is_flag=True, help="One-way cloth on hand may be laid both ways if it helps."
)
@click.option(
    "--leftovers",
    is_flag=True,
    help="Use leftovers of the stash first, then its bolts, and buy only for the rest.",
)
@click.option(
    "--leftover-size",
    default="15x15cm",
    show_default=True,
    metavar="LONGxWIDE",
    help="Rectangle that a leftover worth keeping holds.",
)
@click.option(
    "--leftover-neck",
    type=Length(),
    default=50.0,
    help="Width below which what is left is parted.  [default: 5 cm]",
)
@click.option(
    "--effort",
    type=click.Choice(["quick", "normal", "thorough"]),
    default="normal",
    show_default=True,
    help="How long to search.",
)
@click.option("--seed", type=int, default=1, show_default=True, help="Same seed, same plan.")
@stash_option
@system_option
@paper_option
@click.option(
    "--out", type=click.Path(path_type=Path), help="Folder to write.  [default: GARMENT-plan]"
)
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON and nothing else.")
def command(
    garment: str,
    size: str | None,
    cloth: tuple[str, ...],
    fold: str,
    makes: int,
    gap: float,
    ends: float,
    margin: float,
    measured_width: tuple[str, ...],
    on_hand: tuple[str, ...],
    nap_optional: bool,
    leftovers: bool,
    leftover_size: str,
    leftover_neck: float,
    effort: str,
    seed: int,
    stash: Path | None,
    units: str,
    paper: str,
    out: Path | None,
    as_json: bool,
) -> int:
    """Plan how a garment's pieces lie, and how much cloth to buy.

    GARMENT is a name on the shelf or a file. Writes a PDF, an SVG and a PNG for each fabric, one
    HTML report and the plan as JSON into a folder. With --json the folder is written only if --out
    names it.

    \b
    Example:
      laywright plan layered-top --cloth base=demo-cotton-lawn --cloth overlay=115cm --makes 2
    """
    from pieces.lengths import System, parse_length
    from plans.answer.planner import plan_garment
    from plans.cli.measured_points import read_size
    from plans.cli.progress import progress_line
    from plans.data.plan_json import plan_to_json
    from plans.folds.measured import with_measured_width
    from plans.folds.on_hand import ShortageError
    from plans.order import Order
    from plans.outputs.folder import check_target, write_folder

    loaded = read_garment(garment, size)
    fabrics = cloth_by_role(cloth, stash)
    for role, text in assignments(measured_width, "--measured-width"):
        if role not in fabrics:
            raise click.BadParameter(f"role '{role}' has no cloth", param_hint="--measured-width")
        try:
            width = parse_length(text)
        except ValueError as error:
            raise click.BadParameter(str(error), param_hint="--measured-width") from error
        _replace(fabrics, role, with_measured_width(fabrics[role], width))
    for role, text in assignments(on_hand, "--on-hand"):
        if role not in fabrics:
            raise click.BadParameter(f"role '{role}' has no cloth", param_hint="--on-hand")
        _replace(fabrics, role, _with_on_hand(fabrics[role], text))
    target = out or Path(f"{loaded.name}-plan")
    writes = out is not None or not as_json
    if writes:
        check_target(target)
    system = System(units)
    order = Order(
        garment=loaded,
        cloth=fabrics,
        fold=fold,
        makes=makes,
        gap=gap,
        ends=ends,
        margin=margin,
        effort=effort,
        seed=seed,
        leftover_size=read_size(leftover_size, "--leftover-size"),
        leftover_neck=leftover_neck,
        nap_optional=nap_optional,
        system=system,
    )
    try:
        with progress_line(sys.stderr, effort != "quick") as on_progress:
            if leftovers:
                from plans.leftover_use.planning import plan_with_leftovers

                with open_stash(stash, units) as base:
                    there, bolts = base.leftovers(), base.bolts()
                if not there and not bolts:
                    click.echo("nothing is in the stash yet, so that all cloth is bought", err=True)
                plan = plan_with_leftovers(order, there, on_progress, bolts=bolts)
            else:
                plan = plan_garment(order, on_progress)
    except ShortageError as error:
        from plans.cli.shortage import answer_shortage

        return answer_shortage(error, loaded.name, target if writes else None, as_json)
    except KeyboardInterrupt:
        click.echo("interrupted before any layout was complete; nothing is written", err=True)
        return ExitCode.INTERRUPTED
    if writes:
        with finishing():
            write_folder(plan, target, system, paper)
    if as_json:
        click.echo(json.dumps(plan_to_json(plan), indent=1))
    else:
        from plans.words.facts import plan_text

        click.echo(plan_text(plan, system, lambda text: click.style(text, bold=True)), nl=False)
        click.echo(f"\nWritten to {target}{'/' if not str(target).endswith('/') else ''}")
    if not plan.complete:
        click.echo(f"not planned: {', '.join(plan.missing_roles)}", err=True)
    return ExitCode.INTERRUPTED if plan.interrupted else ExitCode.DONE


def _replace(fabrics: dict[str, Fabric], role: str, changed: Fabric) -> None:
    """Change the cloth of a role and of those that are cut from the same cloth."""
    former = fabrics[role]
    fabrics.update({name: changed for name, fabric in fabrics.items() if fabric == former})


def _with_on_hand(fabric: Fabric, text: str) -> Fabric:
    """Read `2m`, `2m washed` or `2m unwashed`: what there is of a fabric, in which state."""
    from fabrics.stash.records import TAPE_STEP_MM
    from pieces.lengths import LengthError, parse_length

    words = text.rsplit(maxsplit=1)
    state = words[-1].lower() if len(words) > 1 else ""
    if state not in ("washed", "unwashed"):
        words, state = [text], ""
    try:
        length = parse_length(words[0])
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint="--on-hand") from error
    if length <= 0.0:
        raise click.BadParameter(f"'{text}' is no cloth at all", param_hint="--on-hand")
    if state == "washed":
        fabric = fabric.as_washed()
    elif state == "unwashed":
        fabric = replace(fabric, washed=False)
    return replace(fabric, on_hand=length, step=TAPE_STEP_MM, minimum=0.0)

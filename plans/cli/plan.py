"""`laywright plan`: from a garment and cloth to a folder with everything to cut from."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.common.asked import ClothChoice, open_stash, reading
from plans.cli.common.choices import CuttingChoice, SearchChoice, taken_into
from plans.cli.common.drawing_options import drawing_options
from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.options import (
    ends_option,
    fold_names,
    gap_option,
    garments_argument,
    json_option,
    makes_option,
    margin_option,
    members_option,
    paper_option,
    search_options,
    size_option,
    stash_option,
    system_option,
)
from plans.cli.common.typed import Length, read_size
from plans.order import MOST_PROVE_S, Order

if TYPE_CHECKING:
    from pieces.lengths import System
    from plans.plan import Plan


NOTHING_YET = "interrupted before any layout was complete; nothing is written"


@dataclass(frozen=True)
class LeftoverChoice:
    """Whether what is in the stash is used first, and what is worth keeping of what is left."""

    leftovers: bool
    leftover_size: str
    leftover_neck: float


@dataclass(frozen=True)
class MembersChoice(SearchChoice):
    """The same, and how many search side by side."""

    members: int | None


@dataclass(frozen=True)
class OutputChoice:
    """Where a plan goes to: a folder, standard output, or both."""

    units: str
    paper: str
    out: Path | None
    save_order: Path | None
    as_json: bool

    def folder(self, garment: str) -> Path | None:
        """Folder to write, None for none; with --json only one that is named."""
        if self.out is None and self.as_json:
            return None
        return self.out or Path(f"{garment}-plan")


@click.command()
@garments_argument
@size_option
@drawing_options
@click.option(
    "--cloth",
    multiple=True,
    metavar="ROLE=FABRIC",
    help="Fabric of a role: a name on the shelf, a file, stash:TAG, or a width such as 140cm or "
    "60in,selvage=0,shrinkage=4%x2%,nap. ROLE+ROLE=FABRIC lays two roles on one cloth, "
    "ROLE@GARMENT=FABRIC is cloth for one garment of several.",
)
@click.option(
    "--fold",
    type=click.Choice(["auto", *fold_names()]),
    default="auto",
    show_default=True,
    help="How it is folded.",
)
@makes_option("How many of the garment from one purchase.")
@gap_option
@ends_option
@margin_option("Safety margin to buy.  [default: 0]")
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
    default=Order.leftover_neck,
    help="Width below which what is left is parted.  [default: 5 cm]",
)
@search_options("How long to search.", seed="Same seed, same plan.")
@click.option(
    "--prove",
    type=click.FloatRange(min=0.0, min_open=True, max=MOST_PROVE_S),
    default=None,
    metavar="SECONDS",
    help="Search so long for a proof that no layout is shorter.",
)
@members_option()
@stash_option
@system_option
@paper_option
@click.option(
    "--out", type=click.Path(path_type=Path), help="Folder to write.  [default: GARMENT-plan]"
)
@click.option(
    "--save-order",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write what is asked for into an order file, too (FILE.toml).",
)
@click.option(
    "--keep",
    multiple=True,
    metavar="PIECE",
    help="Lay a given plan again around this piece of it, which stays where it is: its name or its "
    "number, or ROLE:PIECE. GARMENT is then the plan's folder or file. Several, if given again.",
)
@json_option("the plan as JSON")
@taken_into(
    wanted=ClothChoice,
    cutting=CuttingChoice,
    keeping=LeftoverChoice,
    search=MembersChoice,
    output=OutputChoice,
)
def command(
    garments: tuple[str, ...],
    size: str | None,
    fold: str,
    nap_optional: bool,
    prove: float | None,
    keep: tuple[str, ...],
    wanted: ClothChoice,
    cutting: CuttingChoice,
    keeping: LeftoverChoice,
    search: MembersChoice,
    output: OutputChoice,
) -> int:
    """Plan how garments' pieces lie, and how much cloth to buy.

    GARMENT is a name on the shelf, a garment file or a drawing (SVG, DXF). Several that are cut
    together are NAME:SIZE*COUNT each, where size and count may be left out; or GARMENT is one order
    file, which --save-order writes. Writes a PDF, an SVG and a PNG for each fabric, one HTML report
    and the plan as JSON into a folder. With --json the folder is written only if --out names it.

    \b
    Examples:
      laywright plan layered-top --cloth base=demo-cotton-lawn --cloth overlay=115cm --makes 2
      laywright plan pinafore "wrap-skirt:M*2" --cloth main=demo-linen --cloth interfacing=90cm
      laywright plan pinafore-plan --keep "front" --keep 3
    """
    from pieces.lengths import System
    from plans.cli.common.progress import progress_line
    from plans.cli.common.requests import cutting_asked, request_of, save_order
    from plans.folds.on_hand import ShortageError
    from plans.orders.making import order_of
    from plans.orders.planning import plan_order
    from plans.outputs.folder import check_target

    if keep:
        return _kept(garments, keep, output)
    request = request_of(
        garments,
        size,
        {
            **wanted.asked(),
            **cutting_asked(cutting, search),
            "fold": fold,
            "leftovers": keeping.leftovers,
            "leftover_size": read_size(keeping.leftover_size, "--leftover-size"),
            "leftover_neck": keeping.leftover_neck,
            "nap_optional": nap_optional,
            "prove": prove or Order.prove,
            "system": System(output.units),
        },
    )
    order = order_of(request, wanted.stash, reading())
    name = Path(request.source).stem if request.source else order.garment.name
    folder = output.folder(name)
    if folder is not None:
        check_target(folder)
    if output.save_order is not None:
        save_order(request, output.save_order)
    if request.leftovers:
        _tell_if_empty(wanted.stash)
    try:
        with progress_line(sys.stderr, order.effort != "quick", order.system) as on_progress:
            plan = plan_order(request, order, wanted.stash, on_progress, folder=folder)
    except ShortageError as error:
        from plans.cli.common.shortage import answer_shortage

        return answer_shortage(error, order.garment.name, folder, output.as_json)
    except KeyboardInterrupt:
        click.echo(NOTHING_YET, err=True)
        return ExitCode.INTERRUPTED
    return _told(plan, folder, output, order.system)


def _kept(given: tuple[str, ...], keep: tuple[str, ...], output: OutputChoice) -> int:
    from plans.cli.again import plan_kept

    try:
        plan, folder, system = plan_kept(given, keep)
    except KeyboardInterrupt:
        click.echo(NOTHING_YET, err=True)
        return ExitCode.INTERRUPTED
    return _told(plan, folder, output, system)


def _tell_if_empty(stash: Path | None) -> None:
    with open_stash(stash) as base:
        if not base.leftovers() and not base.bolts():
            click.echo("nothing is in the stash yet, so that all cloth is bought", err=True)


def _told(plan: Plan, folder: Path | None, output: OutputChoice, system: System) -> int:
    """Write and print a plan, and answer whether it is all that was asked for."""
    from plans.cli.common.printing import print_plan
    from plans.cli.common.signals import finishing
    from plans.outputs.folder import write_folder

    if folder is not None:
        with finishing():
            write_folder(plan, folder, system, output.paper)
    print_plan(plan, system, output.as_json)
    if not output.as_json:
        click.echo(f"\nWritten to {folder}{'' if str(folder).endswith('/') else '/'}")
    if not plan.complete:
        click.echo(f"not planned: {', '.join(plan.missing_roles)}", err=True)
    return ExitCode.INTERRUPTED if plan.interrupted else ExitCode.DONE

"""`laywright chart`: what each size needs, for the back of a pattern."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from fabrics.spread import Fold
from plans.cli.drawing_options import drawing_options, read_any
from plans.cli.exit_codes import ExitCode
from plans.cli.options import ends_option, paper_option, read_garment

DEFAULT_FOLDS = ("lengthwise", "partial", "double", "open")


@click.command()
@click.argument("garment")
@click.option("--size", "sizes", multiple=True, help="Size to show.  [default: every one]")
@click.option(
    "--width",
    "widths",
    multiple=True,
    metavar="LENGTH",
    help="Width of cloth.  [default: 90, 115, 140 and 150 cm]",
)
@click.option(
    "--fold",
    "folds",
    multiple=True,
    type=click.Choice([fold.value for fold in Fold]),
    help="Fold to allow; the shortest counts.  [default: lengthwise, partial, double, open]",
)
@drawing_options
@ends_option
@click.option(
    "--effort",
    type=click.Choice(["quick", "normal", "thorough"]),
    default="normal",
    show_default=True,
    help="How long to search; quick is rough.",
)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="PDF, PNG or SVG to write."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV and nothing else.")
@paper_option
def command(
    garment: str,
    sizes: tuple[str, ...],
    widths: tuple[str, ...],
    folds: tuple[str, ...],
    ends: float,
    effort: str,
    seed: int,
    out: Path | None,
    as_json: bool,
    as_csv: bool,
    paper: str,
) -> int:
    """Chart what each size needs, by width and nap, in metres and in yards.

    GARMENT is a name on the shelf, or a file that may give several sizes.

    \b
    Example:
      laywright chart wrap-skirt --out wrap-skirt-chart.pdf
    """
    from pieces.lengths import LengthError
    from pieces.readers.shelf import find_garment
    from plans.cli.compare import USUAL
    from plans.cli.progress import step_line
    from plans.compare.cells import Question
    from plans.compare.results import ResultCache
    from plans.compare.search import compare
    from plans.compare.size_chart import (
        chart_csv,
        chart_data,
        chart_text,
        needs_of,
        note,
        plain_widths,
        write_size_chart,
    )
    from plans.folds.jobs import job_for
    from plans.order import Order

    path = find_garment(garment)
    drawn = read_garment(garment)
    try:
        cloths = plain_widths(tuple(dict.fromkeys(widths)) or USUAL["metric"])
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint="--width") from error
    wanted = tuple(dict.fromkeys(sizes)) or drawn.sizes or ("",)
    questions: list[Question] = []
    counts: list[int] = []
    for size in wanted:
        order = Order(read_any(path, size or None), {}, ends=ends, effort=effort, seed=seed)
        mine = [
            Question(job_for(order, (role,), cloth), Fold(fold))
            for role in order.garment.roles
            for cloth in cloths
            for fold in dict.fromkeys(folds or DEFAULT_FOLDS)
        ]
        questions += mine
        counts.append(len(mine))
    with step_line(sys.stderr) as on_step:
        cells, interrupted = compare(
            questions, effort, ResultCache(), on_step=on_step, every_cloth=True
        )
    needs = []
    at = 0
    for size, count in zip(wanted, counts, strict=True):
        needs += needs_of(size, cells[at : at + count], cloths)
        at += count
    title = f"{drawn.title}: cloth needed"
    basis = note(ends, effort)
    if as_json:
        click.echo(json.dumps(chart_data(needs), indent=1))
    elif as_csv:
        click.echo(chart_csv(needs), nl=False)
    else:
        click.echo(chart_text(needs, title, basis), nl=False)
    if out is not None:
        write_size_chart(needs, title, basis, out, paper)
        click.echo(f"\nWritten to {out}", err=as_json or as_csv)
    return ExitCode.INTERRUPTED if interrupted else ExitCode.DONE

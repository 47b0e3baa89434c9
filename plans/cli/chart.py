"""`laywright chart`: what each size needs, for the back of a pattern."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from fabrics.spread import Fold
from plans.cli.common.asked import read_garment
from plans.cli.common.choices import SharedSearchChoice, TableChoice, taken_into
from plans.cli.common.drawing_options import drawing_options, read_any
from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.options import (
    cluster_option,
    csv_option,
    ends_option,
    fold_names,
    json_option,
    paper_option,
    search_options,
)


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
    type=click.Choice(fold_names()),
    help="Fold to allow; the shortest counts.  [default: lengthwise, partial, double, open]",
)
@drawing_options
@ends_option
@search_options("How long to search; quick is rough.")
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="PDF, PNG or SVG to write."
)
@json_option()
@csv_option
@cluster_option
@paper_option
@taken_into(search=SharedSearchChoice, table=TableChoice)
def command(
    garment: str,
    sizes: tuple[str, ...],
    widths: tuple[str, ...],
    folds: tuple[str, ...],
    ends: float,
    out: Path | None,
    paper: str,
    search: SharedSearchChoice,
    table: TableChoice,
) -> int:
    """Chart what each size needs, by width and nap, in metres and in yards.

    GARMENT is a name on the shelf, or a file that may give several sizes.

    \b
    Example:
      laywright chart wrap-skirt --out wrap-skirt-chart.pdf
    """
    from pieces.lengths import LengthError, System
    from pieces.readers.shelf import find_garment
    from plans.cli.common.printing import print_table
    from plans.cli.common.progress import step_line
    from plans.compare.chart_search import search_needs
    from plans.compare.cloths import USUAL, plain_cloths
    from plans.compare.results import ResultCache
    from plans.compare.size_chart import chart_csv, chart_data, chart_text, note, write_size_chart

    path = find_garment(garment)
    drawn = read_garment(garment)
    try:
        cloths = plain_cloths(widths or USUAL[System.METRIC])
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint="--width") from error
    wanted = dict.fromkeys(sizes or drawn.sizes or ("",))
    garments = {size: read_any(path, size or None) for size in wanted}
    allowed = tuple(Fold(name) for name in folds)
    with search.workers() as workers, step_line(sys.stderr) as on_step:
        needs, interrupted = search_needs(
            garments, cloths, allowed, ends, search.effort, search.seed, ResultCache(), on_step,
            workers,
        )  # fmt: skip
    title = f"{drawn.title}: cloth needed"
    basis = note(ends, search.effort)
    print_table(
        table,
        lambda: chart_data(needs),
        lambda: chart_csv(needs),
        lambda: chart_text(needs, title, basis),
    )
    if out is not None:
        write_size_chart(needs, title, basis, out, paper)
        click.echo(f"\nWritten to {out}", err=table.for_programs)
    return ExitCode.INTERRUPTED if interrupted else ExitCode.DONE

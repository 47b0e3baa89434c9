"""`laywright chart`: what each size needs, for the back of a pattern."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.common.asked import load_one, read_garment, reading
from plans.cli.common.choices import SharedSearchChoice, TableChoice, taken_into
from plans.cli.common.drawing_options import drawing_options
from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.options import (
    cluster_option,
    csv_option,
    ends_option,
    fold_names,
    garments_argument,
    json_option,
    paper_option,
    search_options,
)
from plans.cli.common.typed import require_writable

if TYPE_CHECKING:
    from plans.order import Order

TOGETHER = "together"
"""Line of the chart of several garments that are cut together."""


@click.command()
@garments_argument
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
    garments: tuple[str, ...],
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

    GARMENT is a name on the shelf, or a file that may give several sizes. Of several that are cut
    together, NAME:SIZE*COUNT each, or of an order file the chart tells what all of them need.

    \b
    Example:
      laywright chart wrap-skirt --out wrap-skirt-chart.pdf
    """
    from pieces.lengths import LengthError, System
    from plans.cli.common.printing import print_table
    from plans.cli.common.progress import step_line
    from plans.compare.chart_search import needs_before, search_needs
    from plans.compare.cloths import USUAL, plain_cloths
    from plans.compare.results import ResultCache
    from plans.compare.size_chart import (
        KINDS,
        chart_csv,
        chart_data,
        chart_text,
        check_pages,
        note,
        write_size_chart,
    )
    from plans.orders.comparison import folds_asked

    require_writable(out, KINDS, "--out")
    orders, title = _orders(garments, sizes, ends, search)
    first = next(iter(orders.values()))
    try:
        cloths = plain_cloths(widths or USUAL[System.METRIC])
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint="--width") from error
    allowed = folds_asked(folds, first)
    title = f"{title}: cloth needed"
    basis = note(first.ends, first.effort)
    if out is not None:
        check_pages(needs_before(orders, cloths, allowed), title, basis, out, paper)
    with search.workers() as workers, step_line(sys.stderr) as on_step:
        needs, interrupted = search_needs(
            orders, cloths, allowed, first.effort, ResultCache(), on_step, workers
        )
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


def _orders(
    garments: tuple[str, ...], sizes: tuple[str, ...], ends: float, search: SharedSearchChoice
) -> tuple[dict[str, Order], str]:
    """What is made, by what its line of the chart is called, and the title of all of it."""
    from plans.cli.common.requests import request_of
    from plans.orders.making import order_to_compare

    request = request_of(garments, None, {"ends": ends, **search.asked()})
    first = request.garments[0]
    if request.source or request.makes * sum(asked.count for asked in request.garments) > 1:
        if sizes:
            raise click.UsageError("--size is for one garment; write NAME:SIZE of several")
        order, _ = order_to_compare(request, (), reading())
        return {TOGETHER: order}, order.garment.title
    drawn = read_garment(first.name, first.size)
    wanted = sizes or ((first.size,) if first.size else drawn.sizes) or (None,)

    def of_size(size: str | None) -> Order:
        one = replace(request, garments=(replace(first, size=size),))
        return order_to_compare(one, (), load_one)[0]

    return {size or "": of_size(size) for size in wanted}, drawn.title

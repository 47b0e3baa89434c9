"""`laywright compare`: cloths, folds and nap side by side, before anything is bought."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.common.asked import reading
from plans.cli.common.choices import (
    CuttingChoice,
    SharedSearchChoice,
    StashChoice,
    TableChoice,
    taken_into,
)
from plans.cli.common.drawing_options import drawing_options
from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.options import (
    cluster_option,
    csv_option,
    ends_option,
    fold_names,
    gap_option,
    garments_argument,
    json_option,
    makes_option,
    margin_option,
    search_options,
    size_option,
    stash_option,
    system_option,
)
from plans.cli.common.typed import require_writable

if TYPE_CHECKING:
    from fabrics.fabric import Fabric
    from fabrics.price import Price
    from pieces.lengths import System
    from plans.compare.cells import Cell, Question
    from plans.order import Order

CHART_KINDS = (".png", ".svg", ".pdf")


@dataclass(frozen=True)
class PlainChoice:
    """Plain cloth to compare: its widths, with or without nap, and its price."""

    widths: tuple[str, ...]
    nap: str
    price: str | None
    currency: str

    def asked_price(self, system: System) -> Price | None:
        """Price of plain cloth that names none of its own."""
        from fabrics.price import PriceError
        from plans.compare.cloths import asked_price

        try:
            return None if self.price is None else asked_price(self.price, self.currency, system)
        except PriceError as error:
            raise click.BadParameter(str(error), param_hint="--price") from error

    def price_words(self, system: System, plain: list[Fabric]) -> str:
        """What plain cloth costs, in words."""
        from plans.compare.table import price_words

        return price_words(self.asked_price(system), plain, system)

    def cloths(self, system: System, others: bool) -> list[Fabric]:
        """Cloth of each width; the usual ones if none is named and there are no others."""
        from pieces.lengths import LengthError
        from plans.compare.cloths import plain_cloths, usual_or
        from plans.errors import ContradictionError

        widths = usual_or(self.widths, system, others)
        price = self.asked_price(system)
        try:
            return plain_cloths(widths, self.nap, price)
        except (LengthError, ContradictionError) as error:
            raise click.BadParameter(str(error), param_hint="--width") from error


@click.command()
@garments_argument
@size_option
@click.option(
    "--role",
    "roles",
    multiple=True,
    metavar="ROLE",
    help="Role to compare; base+lining lays two on one cloth.  [default: each]",
)
@click.option(
    "--width", "widths", multiple=True, metavar="LENGTH", help="Width of plain cloth, as 140cm."
)
@click.option(
    "--cloth",
    multiple=True,
    metavar="[ROLE=]FABRIC",
    help="A fabric, or stash:TAG, to stand beside the widths.",
)
@click.option(
    "--fold",
    "folds",
    multiple=True,
    type=click.Choice(fold_names()),
    help="Fold to compare.  [default: each that the cloth permits]",
)
@click.option(
    "--nap",
    type=click.Choice(["without", "with", "both"]),
    default="both",
    show_default=True,
    help="Plain widths without nap, with nap (one way), or both.",
)
@click.option(
    "--price",
    metavar="PRICE",
    help="Price of plain cloth: 12/m, '12.50 EUR/m', 11/yd; a bare number is for a metre, or for a "
    "yard with --units imperial.",
)
@click.option("--currency", default="", help="Currency of --price, if it names none.")
@makes_option()
@gap_option
@ends_option
@margin_option()
@search_options("How long to search on where it decides; quick takes a first look only.")
@click.option(
    "--chart",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Draw length and cost against width into this PNG, SVG or PDF file.",
)
@json_option()
@csv_option
@cluster_option
@stash_option
@drawing_options
@system_option
@taken_into(
    wanted=PlainChoice, cutting=CuttingChoice, search=SharedSearchChoice, table=TableChoice,
    about=StashChoice,
)  # fmt: skip
def command(
    garments: tuple[str, ...],
    size: str | None,
    roles: tuple[str, ...],
    cloth: tuple[str, ...],
    folds: tuple[str, ...],
    chart: Path | None,
    wanted: PlainChoice,
    cutting: CuttingChoice,
    search: SharedSearchChoice,
    table: TableChoice,
    about: StashChoice,
) -> int:
    """Compare cloths, folds and nap before buying.

    GARMENT is a name on the shelf, a garment file or a drawing (SVG, DXF); several that are cut
    together are NAME:SIZE*COUNT each, or one order file, whose cloth does not count here. Each role
    is compared by itself.

    \b
    Example:
      laywright compare layered-top --role base --width 115cm --width 140cm --chart base.png
    """
    from plans.cli.common.printing import ended_with_nothing, print_table
    from plans.cli.common.signals import finishing

    if table.as_json and table.as_csv:
        raise click.UsageError("--json and --csv are two ways to print; choose one")
    require_writable(chart, CHART_KINDS, "--chart")
    with ended_with_nothing(table):
        from plans.cli.common.requests import cutting_asked, request_of
        from plans.compare.table import comparison_csv, comparison_json, comparison_text
        from plans.orders.comparison import comparison_asked, named_cloth

        named = [named_cloth(text, about.stash) for text in cloth]
        asked = cutting_asked(cutting, search) | {"system": about.system}
        request = request_of(garments, size, asked)
        plain = wanted.cloths(request.system, bool(cloth))
        order, questions = comparison_asked(request, roles, plain, named, folds, reading())
        cells, interrupted = _filled(questions, order, search)
    with finishing():
        print_table(
            table,
            lambda: comparison_json(cells),
            lambda: comparison_csv(cells),
            lambda: comparison_text(cells, order.system, wanted.price_words(order.system, plain)),
        )
        found = any(cell.buy is not None for cell in cells)
        if chart is not None and found:
            _draw(cells, order, chart, table.for_programs)
    if interrupted:
        return ExitCode.INTERRUPTED
    return ExitCode.DONE if found else ExitCode.NO_LAYOUT


def _filled(
    questions: list[Question], order: Order, search: SharedSearchChoice
) -> tuple[tuple[Cell, ...], bool]:
    """All cells, and whether the user ended it: a wish that comes late takes none of them away."""
    from plans.cli.common.progress import step_line
    from plans.compare.results import ResultCache
    from plans.compare.search import compare

    cells: tuple[Cell, ...] | None = None
    interrupted = False
    try:
        with search.workers() as workers, step_line(sys.stderr) as on_step:
            cells, interrupted = compare(
                questions, order.effort, ResultCache(), workers, on_step=on_step
            )
    except KeyboardInterrupt:
        if cells is None:
            raise
        interrupted = True
    return cells, interrupted


def _draw(cells: tuple[Cell, ...], order: Order, chart: Path, quietly: bool) -> None:
    from plans.compare.chart import write_chart

    write_chart(cells, order.garment.title, chart, order.system)
    click.echo(f"\nDrawn in {chart}", err=quietly)

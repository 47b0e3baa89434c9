"""`laywright compare`: cloths, folds and nap side by side, before anything is bought."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fabrics.spread import Fold
from plans.cli.drawing_options import drawing_options
from plans.cli.exit_codes import ExitCode
from plans.cli.options import (
    Length,
    ends_option,
    find_cloth,
    read_garment,
    size_option,
    stash_option,
    system_option,
)

if TYPE_CHECKING:
    from fabrics.fabric import Fabric
    from fabrics.price import Price
    from pieces.lengths import System
    from plans.compare.cells import Question
    from plans.order import Order

USUAL = {
    "metric": ("90cm", "115cm", "140cm", "150cm"),
    "imperial": ("36in", "45in", "54in", "60in"),
}
"""Widths compared where none is named: those that shops have most (the commonest columns of
published width conversion charts)."""

CHART_KINDS = (".png", ".svg", ".pdf")


@click.command()
@click.argument("garment")
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
    type=click.Choice([fold.value for fold in Fold]),
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
@click.option("--makes", type=click.IntRange(1, 100), default=1, show_default=True)
@click.option("--gap", type=Length(), default=3.0, help="Distance between pieces.  [default: 3 mm]")
@ends_option
@click.option("--margin", type=Length(), default=0.0, help="Safety margin to buy.")
@click.option(
    "--effort",
    type=click.Choice(["quick", "normal", "thorough"]),
    default="normal",
    show_default=True,
    help="How long to search on where it decides; quick takes a first look only.",
)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option(
    "--chart",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Draw length and cost against width into this PNG, SVG or PDF file.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV and nothing else.")
@stash_option
@drawing_options
@system_option
def command(
    garment: str,
    size: str | None,
    roles: tuple[str, ...],
    widths: tuple[str, ...],
    cloth: tuple[str, ...],
    folds: tuple[str, ...],
    nap: str,
    price: str | None,
    currency: str,
    makes: int,
    gap: float,
    ends: float,
    margin: float,
    effort: str,
    seed: int,
    chart: Path | None,
    as_json: bool,
    as_csv: bool,
    stash: Path | None,
    units: str,
) -> int:
    """Compare cloths, folds and nap before buying.

    GARMENT is a name on the shelf, a garment file or a drawing (SVG, DXF). Each role is compared by
    itself.

    \b
    Example:
      laywright compare layered-top --role base --width 115cm --width 140cm --chart base.png
    """
    from pieces.lengths import System
    from plans.cli.progress import step_line
    from plans.compare.results import ResultCache
    from plans.compare.search import compare
    from plans.compare.table import comparison_csv, comparison_json, comparison_text
    from plans.order import Order

    if as_json and as_csv:
        raise click.UsageError("--json and --csv are two ways to print; choose one")
    if chart is not None:
        _check_chart(chart)
    system = System(units)
    order = Order(
        garment=read_garment(garment, size), cloth={}, makes=makes, gap=gap,
        ends=ends, margin=margin, effort=effort, seed=seed, system=system,
    )  # fmt: skip
    asked = _price(price, currency, system)
    plain = _plain_cloths(widths, nap, asked, units, bool(cloth))
    questions = _questions(order, roles, plain, cloth, folds, stash)
    with step_line(sys.stderr) as on_step:
        cells, interrupted = compare(questions, effort, ResultCache(), on_step=on_step)
    if as_json:
        click.echo(json.dumps(comparison_json(cells), indent=1))
    elif as_csv:
        click.echo(comparison_csv(cells), nl=False)
    else:
        click.echo(comparison_text(cells, system, _price_words(asked, plain, system)), nl=False)
    if chart is not None and any(cell.buy is not None for cell in cells):
        from plans.compare.chart import write_chart

        write_chart(cells, order.garment.title, chart, system)
        click.echo(f"\nDrawn in {chart}", err=as_json or as_csv)
    if interrupted:
        return ExitCode.INTERRUPTED
    return ExitCode.DONE if any(cell.buy is not None for cell in cells) else ExitCode.NO_LAYOUT


def _check_chart(chart: Path) -> None:
    if chart.suffix.lower() not in CHART_KINDS:
        raise click.BadParameter(
            f"'{chart}' ends in none of {', '.join(CHART_KINDS)}", param_hint="--chart"
        )
    if not chart.parent.is_dir():
        raise click.BadParameter(f"there is no folder '{chart.parent}'", param_hint="--chart")


def _plain_cloths(
    widths: tuple[str, ...],
    nap: str,
    price: Price | None,
    units: str,
    named: bool,
) -> list[Fabric]:
    """Plain cloth of each width, in the directions of nap that are asked for."""
    from fabrics.plain import plain_fabric
    from pieces.lengths import LengthError

    if not widths and not named:
        widths = USUAL[units]
    cloths = []
    for text in dict.fromkeys(widths):
        try:
            fabric = plain_fabric(text)
        except LengthError as error:
            raise click.BadParameter(str(error), param_hint="--width") from error
        if price is not None and fabric.price is None:
            fabric = replace(
                fabric, price=price.amount, currency=price.currency, price_unit=price.unit
            )
        cloths.append(fabric)
    for fabric in cloths:
        if fabric.one_way and nap == "without":
            raise click.BadParameter(
                f"'{fabric.name}' is one-way cloth; leave out --nap without", param_hint="--width"
            )
    directions = {"without": (False,), "with": (True,), "both": (False, True)}[nap]
    return [
        replace(fabric, one_way=way)
        for way in directions
        for fabric in cloths
        if way or not fabric.one_way
    ]


def _price(text: str | None, currency: str, system: System) -> Price | None:
    """Read --price; what carries no length of its own is for a metre, or for a yard."""
    from fabrics.price import PriceError, parse_price
    from pieces.lengths import YARD_MM, System

    if text is None:
        return None
    try:
        price = parse_price(text, YARD_MM if system is System.IMPERIAL else 1000.0)
    except PriceError as error:
        raise click.BadParameter(str(error), param_hint="--price") from error
    return price if price.currency else replace(price, currency=currency)


def _price_words(price: Price | None, cloths: list[Fabric], system: System) -> str:
    """Say what plain cloth costs, so that a table has one price; and what names its own."""
    from plans.words.columns import per_words

    if price is None:
        return ""
    unit = per_words(price.unit, system)
    asked = (price.amount, price.unit)
    own = any((cloth.price, cloth.price_unit) != asked for cloth in cloths)
    which = "Plain cloth that names no price of its own" if own else "Plain cloth"
    return f"{which} at {price.amount:.2f} {price.currency}".rstrip() + f" {unit}."


def _questions(
    order: Order,
    roles: tuple[str, ...],
    plain: list[Fabric],
    cloth: tuple[str, ...],
    folds: tuple[str, ...],
    stash: Path | None,
) -> list[Question]:
    from plans.compare.cells import FOLDS, Question
    from plans.folds.jobs import job_for, require_roles

    groups = [tuple(role.split("+")) for role in roles] or [(role,) for role in order.garment.roles]
    named: list[tuple[str | None, Fabric]] = []
    for text in cloth:
        role, sign, name = text.rpartition("=")
        named.append((role.strip() if sign else None, find_cloth(name.strip(), stash)))
    require_roles(order, [role for group in groups for role in group])
    require_roles(order, [role for role, _ in named if role is not None])
    questions = []
    for group in dict.fromkeys(groups):
        cloths = plain + [fabric for role, fabric in named if role is None or role in group]
        for fabric in dict.fromkeys(cloths):
            job = job_for(order, group, fabric)
            for fold in [Fold(name) for name in dict.fromkeys(folds)] or FOLDS:
                questions.append(Question(job, fold))
    return questions

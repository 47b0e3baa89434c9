"""Options and arguments that several commands share, each declared once.

What they default to stands here; only a help text may be another where a command has more to say.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from layout.effort import MOST_MEMBERS
from pieces.lengths import GAP_MM, System
from plans.cli.common.typed import Length
from plans.folds.levels import EFFORTS
from plans.order import MOST_BESIDE_MM, MOST_SEED, USUAL_ENDS_MM

Command = Callable[..., Any]
Decorator = Callable[[Command], Command]

garments_argument = click.argument("garments", metavar="GARMENT...", nargs=-1, required=True)

size_option = click.option(
    "--size", help="Size, where the garment file gives several.  [default: the drawn one]"
)

gap_option = click.option(
    "--gap",
    type=Length(most=MOST_BESIDE_MM),
    default=GAP_MM,
    help="Distance between pieces.  [default: 3 mm]",
)

ends_option = click.option(
    "--ends",
    type=Length(most=MOST_BESIDE_MM),
    default=USUAL_ENDS_MM,
    help="Length lost to squaring off both raw ends, together; 0 for none.  [default: 3 cm]",
)

system_option = click.option(
    "--units",
    type=click.Choice([system.value for system in System]),
    default=System.METRIC.value,
    show_default=True,
    help="Units that figures are shown in.",
)

paper_option = click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="Paper of the PDF.",
)

stash_option = click.option(
    "--stash",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File of the stash.  [default: $LAYWRIGHT_STASH, else among your data]",
)

cluster_option = click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Dask scheduler whose workers do the work, as tcp://host:8786; only one that you trust.  "
    "[default: this machine]",
)

csv_option = click.option("--csv", "as_csv", is_flag=True, help="Print CSV and nothing else.")


def json_option(what: str = "JSON") -> Decorator:
    """Add --json."""
    return click.option("--json", "as_json", is_flag=True, help=f"Print {what} and nothing else.")


def makes_option(text: str | None = None) -> Decorator:
    """Add --makes."""
    return click.option(
        "--makes", type=click.IntRange(1, 100), default=1, show_default=True, help=text
    )


def margin_option(text: str = "Safety margin to buy.") -> Decorator:
    """Add --margin."""
    return click.option("--margin", type=Length(most=MOST_BESIDE_MM), default=0.0, help=text)


def search_options(effort: str, seed: str | None = None) -> Decorator:
    """Add --effort and --seed, with what they mean to a command."""

    def decorate(function: Command) -> Command:
        seeded = click.option(
            "--seed", type=click.IntRange(0, MOST_SEED), default=1, show_default=True, help=seed
        )(function)
        return click.option(
            "--effort",
            type=click.Choice(EFFORTS),
            default="normal",
            show_default=True,
            help=effort,
        )(seeded)

    return decorate


def members_option(default: str = "as many as cores, at least 2") -> Decorator:
    """Add --members."""
    return click.option(
        "--members",
        type=click.IntRange(1, MOST_MEMBERS),
        metavar="N",
        help="Searches that run side by side; the best counts. Same seed and number, same plan on "
        f"any machine.  [default: {default}]",
    )


def fold_names() -> list[str]:
    """Machine names of all folds."""
    from fabrics.spread import Fold

    return [fold.value for fold in Fold]

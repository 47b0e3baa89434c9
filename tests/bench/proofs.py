"""Bounds beside the best known lengths of demo garments: python -m tests.bench.proofs.

No search is run for layouts: for each cell of `best_known.json` the least bound of all spreads of
that fold, how far the best known length is above it, and what each would buy. Where the depth of a
fold is itself searched there are more spreads than can be listed: such a cell is held against the
bound of a single layer, which no fold undercuts, and counted by itself. With `--prove SECONDS` also
what so long a search for a proof adds (in a second way, too, with the extra `proof`).
"""

from __future__ import annotations

import json
import statistics
import time
from dataclasses import dataclass

import click

from fabrics.buying import purchase, sold_in, within_one_step
from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.bounds.best import Care
from layout.bounds.terms.bound import Bound
from layout.layout import Layout
from pieces.lengths import EXCESS_MM
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.folds.bound import least_bound, proved_bound
from plans.folds.depth_search import STEPS_MM
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import variants
from plans.order import Order
from plans.problem.spread_options import further_options, options_beside, spread_options
from tests.bench.garments import BEST_KNOWN

NO_LAYOUT = Layout((), ())
"""The layouts of best known lengths are not kept; a proof asks for the length alone."""


CARES = {"close": Care.CLOSE, "searched": Care.SEARCHED, "proved": Care.PROVED}
"""Without a search through places, with that beside a search, with that of what a plan tells."""


@dataclass(frozen=True)
class Cell:
    """One garment on one fabric in one fold, lengths in mm."""

    name: str
    length: float
    bound: Bound
    seconds: float
    same: bool
    """Whether the bound buys no less than the length."""
    near: bool
    """Whether it buys one cutting step less at most."""
    any_depth: bool = False
    """Whether the bound is that of a single layer, true for every depth of a fold."""

    @property
    def above(self) -> float:
        """How far the length is above the bound, a share of that."""
        return self.length / self.bound.length - 1.0


def measured(name: str, length: float, seconds: float, care: str) -> Cell:
    """The cell of a best known length, with so many seconds for a proof of each spread."""
    garment, fabric, fold = name.split(" | ")
    loaded = load_garment(find_garment(garment))
    job = job_for(Order(loaded, {}), loaded.roles, find_fabric(fabric))
    named = Fold.named(fold)
    any_depth = searches_depth(job, named)
    spreads = {
        variant.sections: variant
        for variant in variants(job, Fold.OPEN if any_depth else named)
        if isinstance(variant, Variant)
    }
    begun = time.process_time()
    bounds = [least_bound(job, variant, CARES[care]) for variant in spreads.values()]
    taken = (time.process_time() - begun) / len(bounds)
    if seconds:
        bounds = [_proved(job, variant, length, seconds) for variant in spreads.values()]
    bound = min(bounds, key=lambda one: one.length)
    cloth = sold_in(job.fabric, job.system)
    bought, least = (
        purchase(one + job.beyond, cloth, job.margin).bought for one in (length, bound.length)
    )
    return Cell(
        name, length, bound, taken, bought <= least + EXCESS_MM,
        within_one_step(bought, least, cloth), any_depth,
    )  # fmt: skip


def searches_depth(job: FabricJob, fold: Fold) -> bool:
    """Whether the planner goes on from the depths that `variants` lists to others."""
    if fold.sectioned:
        return False
    asked = fold, job.fabric, job.demands, job.rule, job.gap
    listed = spread_options(*asked)
    return bool(further_options(*asked)) or any(
        options_beside(option.sections[0].spread, job.fabric, job.rule, step)
        for option in listed
        for step in STEPS_MM
    )


def _proved(job: FabricJob, variant: Variant, length: float, seconds: float) -> Bound:
    result = FoldResult(variant, NO_LAYOUT, length, job.bought(length))
    return proved_bound(job, result, seconds)


@click.command()
@click.option("--prove", type=float, default=0.0, help="Seconds for a proof of each spread.")
@click.option("--care", type=click.Choice(list(CARES)), default="proved", show_default=True)
@click.option("--only", default="", help="Only cells whose name holds this.")
def main(prove: float, care: str, only: str) -> None:
    """Print a row for each cell, and what they come to."""
    best = json.loads(BEST_KNOWN.read_text(encoding="utf-8"))
    cells = []
    for name, length in best.items():
        if only in name:
            cells.append(measured(name, length, prove, care))
            click.echo(_line(cells[-1]))
    for which, mine in (
        ("cells", [cell for cell in cells if not cell.any_depth]),
        ("cells of any depth, held against a single layer", [c for c in cells if c.any_depth]),
    ):
        if mine:
            click.echo(_counted(mine, which))


def _counted(cells: list[Cell], which: str) -> str:
    return (
        f"{len(cells)} {which}: median {100 * statistics.median(c.above for c in cells):.1f} % "
        f"above the bound; {sum(c.same for c in cells)} buy no more than it, "
        f"{sum(c.near for c in cells)} one step more at most"
    )


def _line(cell: Cell) -> str:
    mark = "=" if cell.same else "+1" if cell.near else ""
    return (
        f"{cell.name:<46} {cell.length:8.1f} bound {cell.bound.length:8.1f} "
        f"(+{100 * cell.above:5.1f} %) {mark:<2} {1000 * cell.seconds:4.0f} ms "
        f"{cell.bound.kind.value}{', single layer' if cell.any_depth else ''}"
    )


if __name__ == "__main__":
    main()

"""What finer fold depths would gain: python -m tests.bench.depths.

Every demo garment on partial and double folds, as the planner lays it and with all depths a step
apart: a glance at every variant, and the effort asked for in the best few. Prints the lengths, how
much finer depths gain of them, and the depths of the best. `--seed` repeats it with other draws.
"""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import click

from fabrics.shelf import find_fabric
from fabrics.spread import Fold, SpreadError, make_spread
from layout.effort import Effort
from layout.errors import LayoutError
from layout.solver import solve
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment, shelf_names
from plans.folds.fold_search import deepen, screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldFailure, FoldResult, Variant
from plans.folds.variants import variants, variants_of
from plans.order import Order
from plans.problem.spread_options import SpreadOption, section_of

EFFORTS = {"quick": Effort.QUICK, "brisk": Effort.BRISK, "normal": Effort.NORMAL}
PARTIAL_STEP_MM, DOUBLE_STEP_MM = 10.0, 30.0
LEAST_DEPTH_MM = 60.0


def all_depths(job: FabricJob, fold: Fold) -> Iterator[SpreadOption]:
    """Spreads of all depths a step apart; of a double fold the deeper flap first."""
    width, selvage = job.fabric.width_cut, job.fabric.selvage_cut
    step = PARTIAL_STEP_MM if fold is Fold.PARTIAL else DOUBLE_STEP_MM
    count = int((width / 2.0 - LEAST_DEPTH_MM) / step)
    for k in range(count + 1):
        first = LEAST_DEPTH_MM + k * step
        seconds = [None] if fold is Fold.PARTIAL else [
            LEAST_DEPTH_MM + j * step for j in range(k + 1)
        ]  # fmt: skip
        for second in seconds:
            if first + (second or 0.0) >= width / 2.0:
                continue
            try:
                spread = make_spread(fold, width, selvage, first, second, job.fabric.faces)
            except SpreadError:
                continue
            yield SpreadOption(fold, (section_of(spread, job.rule),))


def best_of(
    job: FabricJob, offered: list[Variant], effort: Effort, deepened: int
) -> FoldResult | None:
    """The shortest: every variant at a glance, the best few with more effort."""
    glanced = []
    for variant in offered:
        try:
            layout = solve(variant.built.problem, Effort.GLANCE, job.seed)
        except LayoutError:
            continue
        glanced.append(variant.laid(job, layout))
    glanced.sort(key=lambda one: one.length)
    found = []
    for one in glanced[:deepened]:
        layout = solve(one.built.problem, effort, job.seed, start=one.layout)
        found.append(one.variant.laid(job, layout))
    return min(found, key=lambda one: one.length, default=None)


def depths_of(result: FoldResult) -> str:
    """Fold depths of a result, cm."""
    spread = result.sections[0].spread
    return " + ".join(f"{depth / 10.0:.1f}" for depth in (spread.d1, spread.d2) if depth)


def measured(
    garment: str, fabric: str, fold: Fold, effort: Effort, seed: int, deepened: int
) -> dict[str, Any] | None:
    """One row, or None where the planner has no depth for these pieces."""
    loaded = load_garment(find_garment(garment))
    # Sold by the millimetre, so that the planner looks at exact length alone.
    cloth = replace(find_fabric(fabric), on_hand=None, flaws=(), step=1.0, own_step=True)
    job = job_for(Order(loaded, {}, seed=seed), loaded.roles, cloth)
    begun = time.perf_counter()
    tried = screen(job, fold, Effort.QUICK, Effort.GLANCE)
    if isinstance(tried, FoldFailure):
        return None
    if effort.evaluations:
        tried = deepen(job, tried, effort)
    usual_seconds = time.perf_counter() - begun
    usual = [v for v in variants(job, fold) if isinstance(v, Variant)]
    fine = [v for v in variants_of(job, all_depths(job, fold)) if isinstance(v, Variant)]
    finer = best_of(job, [*usual, *fine], effort, deepened)
    if finer is None:
        return None
    return {
        "garment": garment, "fabric": fabric, "fold": fold.value, "effort": effort.name,
        "seed": seed, "all_variants": len(usual) + len(fine),
        "length_mm": tried.length, "finer_mm": min(tried.length, finer.length),
        "depths": depths_of(tried), "finer_depths": depths_of(finer),
        "seconds": usual_seconds, "finer_seconds": time.perf_counter() - begun - usual_seconds,
    }  # fmt: skip


@click.command()
@click.option("--effort", type=click.Choice(list(EFFORTS)), default="quick", show_default=True)
@click.option("--fabric", "fabrics", multiple=True, default=("demo-linen", "demo-cotton-lawn"))
@click.option("--garment", "garments", multiple=True, default=())
@click.option(
    "--fold", "folds", multiple=True, type=click.Choice(["partial", "double"]),
    default=("partial", "double"),
)  # fmt: skip
@click.option("--seed", "seeds", type=int, multiple=True, default=(1,))
@click.option("--deepened", type=int, default=2, show_default=True, help="Variants searched on.")
@click.option("--json", "as_json", is_flag=True)
def main(
    effort: str,
    fabrics: tuple[str, ...],
    garments: tuple[str, ...],
    folds: tuple[str, ...],
    seeds: tuple[int, ...],
    deepened: int,
    as_json: bool,
) -> None:
    """Measure what finer fold depths gain."""
    rows = []
    for garment in garments or shelf_names():
        for fabric in fabrics:
            for fold in folds:
                for seed in seeds:
                    row = measured(
                        garment, fabric, Fold.named(fold), EFFORTS[effort], seed, deepened
                    )
                    if row is None:
                        continue
                    rows.append(row)
                    if not as_json:
                        click.echo(_line(row))
    if as_json:
        click.echo(json.dumps({"rows": rows}))
        return
    gains = [1.0 - row["finer_mm"] / row["length_mm"] for row in rows]
    if gains:
        click.echo(
            f"{effort}, {len(gains)} cells: finer depths gain {100 * statistics.mean(gains):.2f} % "
            f"in the mean, {100 * statistics.median(gains):.2f} % in the median, "
            f"{100 * max(gains):.2f} % at most"
        )


def _line(row: dict[str, Any]) -> str:
    gain = 100.0 * (1.0 - row["finer_mm"] / row["length_mm"])
    return (
        f"{row['garment']:<15} {row['fabric']:<17} {row['fold']:<8} seed {row['seed']} "
        f"{row['length_mm']:7.1f} ({row['depths']})  {row['all_variants']:4} variants "
        f"{row['finer_mm']:7.1f} ({row['finer_depths']})  gain {gain:5.2f} %  "
        f"{row['seconds']:5.1f} and {row['finer_seconds']:5.1f} s"
    )


if __name__ == "__main__":
    main()

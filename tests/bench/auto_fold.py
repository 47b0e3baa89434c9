"""What `auto` chooses beside the best fold named by itself: python -m tests.bench.auto_fold.

Every demo garment, all roles on one cloth: each fold is screened once; then the planner searches on
in the folds that seem to matter, and for comparison every fold is searched on in by itself, with
the same work. The planner's own rule chooses among either. Prints what both buy (steps of the cloth
between them), their lengths, the folds that `auto` searched on in, and processor seconds.
"""

from __future__ import annotations

import json
import statistics
import time
from typing import Any

import click

from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from pieces.lengths import EXCESS_MM
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment, shelf_names
from plans.answer.deepening import deepen_folds
from plans.choice.fold_choice import choose, shortest
from plans.choice.tracing import traced_for
from plans.folds.fold_search import deepen, screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.levels import EFFORTS, Level, level_for
from plans.folds.outcome import FoldResult, Outcome
from plans.order import Order

FABRICS = ("demo-linen", "demo-velveteen")
"""A plain cloth, and a narrow one that is laid one way."""

SAME = 0.005
"""A layout that is longer by no more than this share counts as no longer."""


def laid(results: dict[Fold, Outcome]) -> dict[Fold, FoldResult]:
    """The folds in which there is a layout."""
    return {fold: one for fold, one in results.items() if isinstance(one, FoldResult)}


def told(result: FoldResult) -> dict[str, float]:
    """Figures of one result, mm."""
    return {
        "length_mm": result.length, "bought_mm": result.bought, "traced_mm": traced_for(result)
    }  # fmt: skip


def measured(garment: str, fabric: str, level: Level, seed: int) -> dict[str, Any]:
    """One row: all roles of a garment on one fabric."""
    loaded = load_garment(find_garment(garment))
    cloth = find_fabric(fabric)
    job = job_for(Order(loaded, {}, seed=seed), loaded.roles, cloth)
    begun = time.process_time()
    screened: dict[Fold, Outcome] = {
        fold: screen(job, fold, level.screen, level.glance) for fold in Fold
    }
    screening = time.process_time() - begun
    auto = dict(screened)
    searched: list[Fold] = []
    begun = time.process_time()
    deepen_folds(job, auto, level, on_fold=searched.append)
    refining = time.process_time() - begun
    seconds: dict[str, float] = {}
    named = {
        fold: _by_itself(job, one, auto[fold] if fold in searched else None, level, seconds)
        for fold, one in laid(screened).items()
    }
    chosen, best = laid(auto)[choose(laid(auto), job)], named[choose(named, job)]
    return {
        "garment": garment, "fabric": fabric, "seed": seed, "step_mm": cloth.step,
        "auto": chosen.fold.value, "named": best.fold.value,
        "searched": [fold.value for fold in searched],
        "auto_mm": chosen.length, "auto_bought_mm": chosen.bought,
        "named_mm": best.length, "named_bought_mm": best.bought,
        "least_bought_mm": named[shortest(named)].bought,
        "screened": {fold.value: told(one) for fold, one in laid(screened).items()},
        "each": {fold.value: told(one) for fold, one in named.items()},
        "screening_s": screening, "refining_s": refining, "each_s": seconds,
    }  # fmt: skip


def _by_itself(
    job: FabricJob,
    screened: FoldResult,
    searched: Outcome | None,
    level: Level,
    seconds: dict[str, float],
) -> FoldResult:
    """What is found if this fold is named; `searched` is what `auto` found in it.

    Cloth laid open begins with layouts of other folds there, so that this is searched again.
    """
    if level.refine is None:
        return screened
    if isinstance(searched, FoldResult) and screened.fold is not Fold.OPEN:
        return searched
    begun = time.process_time()
    found = deepen(job, screened, level.refine)
    seconds[screened.fold.value] = time.process_time() - begun
    return found


def steps_more(row: dict[str, Any]) -> float:
    """Cutting steps that `auto` buys more than the best named fold, less than nothing if fewer."""
    return float((row["auto_bought_mm"] - row["named_bought_mm"]) / row["step_mm"])


def share_longer(row: dict[str, Any]) -> float:
    """How much longer `auto` is than the best named fold, as a share."""
    return float(row["auto_mm"] / row["named_mm"] - 1.0)


@click.command()
@click.option("--effort", type=click.Choice(EFFORTS), default="normal", show_default=True)
@click.option("--fabric", "fabrics", multiple=True, default=FABRICS, show_default=True)
@click.option("--garment", "garments", multiple=True, default=())
@click.option("--seed", "seeds", type=int, multiple=True, default=(1,))
@click.option("--json", "as_json", is_flag=True, help="One row a line.")
def main(
    effort: str,
    fabrics: tuple[str, ...],
    garments: tuple[str, ...],
    seeds: tuple[int, ...],
    as_json: bool,
) -> None:
    """Measure what auto chooses beside the best named fold."""
    rows = []
    for garment in garments or shelf_names():
        for fabric in fabrics:
            for seed in seeds:
                rows.append(measured(garment, fabric, level_for(effort), seed))
                click.echo(json.dumps(rows[-1]) if as_json else _line(rows[-1]))
    if not as_json:
        longer = [share_longer(row) for row in rows]
        click.echo(
            f"{effort}, {len(rows)} cells: auto buys more in "
            f"{sum(steps_more(row) * row['step_mm'] > EXCESS_MM for row in rows)}, at most "
            f"{max(steps_more(row) for row in rows):.1f} steps; is longer by more than "
            f"{100 * SAME:g} % in {sum(share > SAME for share in longer)}, mean "
            f"{100 * statistics.mean(longer):.2f} %, most {100 * max(longer):.2f} %; "
            f"{sum(row['screening_s'] + row['refining_s'] for row in rows):.0f} s of processor time"
        )


def _line(row: dict[str, Any]) -> str:
    return (
        f"{row['garment']:<15} {row['fabric']:<15} auto {row['auto']:<10} "
        f"{row['auto_mm']:7.1f} (buys {row['auto_bought_mm']:6.0f}) named {row['named']:<10} "
        f"{row['named_mm']:7.1f} (buys {row['named_bought_mm']:6.0f}) "
        f"{steps_more(row):+5.1f} steps {100 * share_longer(row):+6.2f} % "
        f"{row['screening_s']:5.1f} + {row['refining_s']:5.1f} s  {', '.join(row['searched'])}"
    )


if __name__ == "__main__":
    main()

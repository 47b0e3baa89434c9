"""Every demo garment on demo cloth in every permitted fold: python -m tests.bench.garments.

Exact length alone (the benchmark mode), bound, per cent above it, boxes baseline, best known and
seconds, for each effort asked for. `best_known.json` beside this file keeps the shortest length
that any run found; `--update` writes it.
"""

from __future__ import annotations

import json
import math
import statistics
import time
from pathlib import Path
from typing import Any

import click

from fabrics.fabric import Fabric
from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.boxes import boxes_length
from layout.effort import Effort
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment, shelf_names
from plans.folds.bound import bound_of
from plans.folds.fold_search import deepen, screen
from plans.folds.jobs import job_for
from plans.folds.levels import EFFORTS, REFINED
from plans.folds.outcome import FoldFailure
from plans.order import Order

FABRICS = ("demo-cotton-lawn", "demo-linen", "demo-quilting-cotton", "demo-velveteen")
BEST_KNOWN = Path(__file__).parent / "best_known.json"


def measured(garment: str, cloth: Fabric, fold: Fold, effort: str, seed: int) -> dict[str, Any]:
    """One row: all roles of a garment on one fabric."""
    loaded = load_garment(find_garment(garment))
    job = job_for(Order(loaded, {}, seed=seed), loaded.roles, cloth)
    begun = time.perf_counter()
    found = screen(job, fold, Effort.QUICK, Effort.GLANCE)
    row: dict[str, Any] = {
        "garment": garment, "fabric": cloth.name, "fold": fold.value, "effort": effort, "seed": seed
    }  # fmt: skip
    if isinstance(found, FoldFailure):
        return row | {"reason": found.reason}
    refine = REFINED[effort]
    if refine is not None:
        found = deepen(job, found, refine)
    bound = bound_of(job, found.variant)
    return row | {
        "length_mm": found.length,
        "bound_mm": bound.length,
        "bound_kind": bound.kind.value,
        "above_bound": found.length / bound.length - 1.0,
        "boxes_mm": boxes_length(found.built.problem),
        "seconds": time.perf_counter() - begun,
    }


@click.command()
@click.option("--effort", "efforts", multiple=True, type=click.Choice(EFFORTS), default=("quick",))
@click.option("--fabric", "fabrics", multiple=True, default=FABRICS)
@click.option("--garment", "garments", multiple=True, default=())
@click.option("--fold", "folds", multiple=True, type=click.Choice([f.value for f in Fold]))
@click.option("--seed", "seeds", type=int, multiple=True, default=(1,))
@click.option("--update", is_flag=True, help="Keep shorter lengths as the best known.")
@click.option("--json", "as_json", is_flag=True)
def main(
    efforts: tuple[str, ...],
    fabrics: tuple[str, ...],
    garments: tuple[str, ...],
    folds: tuple[str, ...],
    seeds: tuple[int, ...],
    update: bool,
    as_json: bool,
) -> None:
    """Measure demo garments on demo fabrics."""
    best: dict[str, float] = {}
    if BEST_KNOWN.exists():
        best = json.loads(BEST_KNOWN.read_text(encoding="utf-8"))
    rows = []
    for garment in garments or shelf_names():
        for fabric in fabrics:
            for fold in [Fold.named(name) for name in folds] or Fold:
                for effort in efforts:
                    for seed in seeds:
                        row = measured(garment, find_fabric(fabric), fold, effort, seed)
                        rows.append(row)
                        _keep(row, best)
                        if update:
                            # At once: a long run that is broken off has not been for nothing.
                            _write(best)
                        if not as_json:
                            click.echo(_line(row))
    for row in rows:
        # Against the best of all runs, those of this one included.
        _compare(row, best)
    if as_json:
        click.echo(json.dumps({"rows": rows}))
        return
    for effort in efforts:
        above = [row["above_best"] for row in rows if row["effort"] == effort and "bound_mm" in row]
        if above:
            click.echo(
                f"{effort}: {len(above)} cells, above the best known: median "
                f"{100 * statistics.median(above):.2f} %, worst {100 * max(above):.2f} %"
            )


def _write(best: dict[str, float]) -> None:
    """Write the best known lengths, whole or not at all."""
    kept_whole = BEST_KNOWN.with_suffix(".new")
    kept_whole.write_text(json.dumps(best, indent=1, sort_keys=True) + "\n", encoding="utf-8")
    kept_whole.replace(BEST_KNOWN)


def _key(row: dict[str, Any]) -> str:
    return f"{row['garment']} | {row['fabric']} | {row['fold']}"


def _keep(row: dict[str, Any], best: dict[str, float]) -> None:
    """Keep a shorter length as the best known."""
    if "reason" not in row:
        best[_key(row)] = round(min(best.get(_key(row), math.inf), row["length_mm"]), 3)
        _compare(row, best)


def _compare(row: dict[str, Any], best: dict[str, float]) -> None:
    """Note how far above the best known a row is."""
    if "reason" not in row:
        row["best_known_mm"] = best[_key(row)]
        row["above_best"] = max(0.0, row["length_mm"] / best[_key(row)] - 1.0)


def _line(row: dict[str, Any]) -> str:
    name = f"{row['garment']:<12} {row['fabric']:<21} {row['fold']:<11}"
    if "reason" in row:
        return f"{name} -"
    boxes = "       -" if row["boxes_mm"] is None else f"{row['boxes_mm']:8.1f}"
    return (
        f"{name} {row['effort']:<8} {row['length_mm']:8.1f} bound {row['bound_mm']:8.1f} "
        f"(+{100 * row['above_bound']:5.1f} %) boxes {boxes} best {row['best_known_mm']:8.1f} "
        f"(+{100 * row['above_best']:5.2f} %) {row['seconds']:6.1f} s"
    )


if __name__ == "__main__":
    main()

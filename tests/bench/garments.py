"""Every demo garment on demo cloth in every permitted fold: python -m tests.bench.garments.

Length, bound, per cent above it, boxes baseline and seconds, for each effort asked for.
"""

from __future__ import annotations

import json
import time
from typing import Any

import click

from fabrics.fabric import Fabric
from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from pieces.readers.garment_toml import load_garment
from pieces.shelf import find_garment, shelf_names
from plans.errors import PlanError
from plans.order import Order
from plans.planner import plan_garment

FABRICS = ("demo-cotton-lawn", "demo-linen", "demo-quilting-cotton", "demo-velveteen")


def measured(
    garment: str, cloth: Fabric, fold: str, effort: str, seed: int
) -> list[dict[str, Any]]:
    """Rows of one plan: all roles on one fabric."""
    loaded = load_garment(find_garment(garment))
    order = Order(loaded, dict.fromkeys(loaded.roles, cloth), fold, effort=effort, seed=seed)
    begun = time.perf_counter()
    try:
        plan = plan_garment(order)
    except PlanError as error:
        return [{"garment": garment, "fabric": cloth.name, "fold": fold, "reason": str(error)}]
    seconds = time.perf_counter() - begun
    return [
        {
            "garment": garment,
            "fabric": cloth.name,
            "fold": fold,
            "effort": effort,
            "length_mm": entry.length,
            "bound_mm": entry.bound,
            "above_bound": entry.length / entry.bound - 1.0,
            "boxes_mm": entry.boxes,
            "seconds": seconds,
        }
        for entry in plan.fabrics
    ]


@click.command()
@click.option("--effort", "efforts", multiple=True, default=("quick",), show_default=True)
@click.option("--fabric", "fabrics", multiple=True, default=FABRICS)
@click.option("--garment", "garments", multiple=True, default=())
@click.option("--seed", type=int, default=1)
@click.option("--json", "as_json", is_flag=True)
def main(
    efforts: tuple[str, ...],
    fabrics: tuple[str, ...],
    garments: tuple[str, ...],
    seed: int,
    as_json: bool,
) -> None:
    """Measure demo garments on demo fabrics."""
    rows = []
    for garment in garments or shelf_names():
        for fabric in fabrics:
            for fold in Fold:
                for effort in efforts:
                    for row in measured(garment, find_fabric(fabric), fold.value, effort, seed):
                        rows.append(row)
                        if as_json:
                            continue
                        if "reason" in row:
                            click.echo(f"{garment:<12} {fabric:<21} {fold.value:<11} -")
                            continue
                        click.echo(
                            f"{garment:<12} {fabric:<21} {fold.value:<11} {effort:<8} "
                            f"{row['length_mm']:8.1f} bound {row['bound_mm']:8.1f} "
                            f"(+{100 * row['above_bound']:5.1f} %) boxes {row['boxes_mm']:8.1f} "
                            f"{row['seconds']:6.1f} s"
                        )
    if as_json:
        click.echo(json.dumps({"rows": rows}))


if __name__ == "__main__":
    main()

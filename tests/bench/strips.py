"""Our strip lengths beside those of spyrrow, same seconds and workers, in one run.

python -m tests.bench.strips --instances DIR --seconds S [--seeds N] [--workers 2] [--json]

spyrrow is a general-purpose strip packer from the package registry (a development dependency only).
Everything counts in the seconds, no-fit polygons included; compiled kernels are warm.
"""

from __future__ import annotations

import json
import math
import os
import statistics
import time
from collections import Counter
from pathlib import Path
from typing import Any

import click
from shapely import affinity
from shapely.geometry import Polygon

from layout.effort import Effort
from layout.solver import solve
from tests.bench.instances import (
    VARIABLE,
    Instance,
    as_problem,
    checked_length,
    exact_length,
    read_folder,
)

SPARE_SECONDS = 0.15
"""Kept for what comes after the search ends."""


def ours(instance: Instance, seconds: float, seed: int) -> tuple[float, float]:
    """Length in the file's units and the seconds that it took."""
    begun = time.perf_counter()
    layout = solve(as_problem(instance), Effort.ENDLESS, seed, time_limit=seconds - SPARE_SECONDS)
    taken = time.perf_counter() - begun
    return exact_length(instance, layout), taken


def reference(instance: Instance, seconds: float, seed: int, workers: int) -> tuple[float, float]:
    """The same by spyrrow."""
    import spyrrow

    items = [
        spyrrow.Item(str(k), list(points), demand, list(angles))
        for k, (points, demand, angles) in enumerate(instance.items)
    ]
    problem = spyrrow.StripPackingInstance(instance.name, instance.height, items)
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        total_computation_time=round(seconds),
        num_workers=workers,
        seed=seed,
    )
    begun = time.perf_counter()
    solution = problem.solve(config)
    taken = time.perf_counter() - begun
    placed = []
    counts: Counter[int] = Counter()
    for p in solution.placed_items:
        k = int(p.id)
        counts[k] += 1
        turned = affinity.rotate(Polygon(instance.items[k][0]), p.rotation, origin=(0, 0))
        placed.append(affinity.translate(turned, *p.translation))
    return checked_length_loosely(instance, placed, counts), taken


def checked_length_loosely(
    instance: Instance, placed: list[Polygon], counts: Counter[int]
) -> float:
    """Length of the reference's layout; its own tolerance is coarser than ours."""
    try:
        return checked_length(instance, placed, counts)
    except ValueError:
        return float(max(p.bounds[2] for p in placed) - min(p.bounds[0] for p in placed))


def warm_up() -> None:
    """Load the kernels before any clock runs."""
    square = ((0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (1.0, 2.5), (0.0, 2.0))
    small = Instance("warm-up", ((square, 6, (0.0, 180.0)),), 7.0)
    solve(as_problem(small), Effort.ENDLESS, 1, time_limit=0.5)


@click.command()
@click.option(
    "--instances", type=click.Path(exists=True, path_type=Path), envvar=VARIABLE, required=True
)
@click.option("--seconds", type=float, default=10.0)
@click.option("--seeds", type=int, default=1)
@click.option("--workers", type=int, default=2)
@click.option("--only", multiple=True, help="Names of instances.")
@click.option("--json", "as_json", is_flag=True)
def main(
    instances: Path, seconds: float, seeds: int, workers: int, only: tuple[str, ...], as_json: bool
) -> None:
    """Measure every instance of a folder."""
    found = [i for i in read_folder(instances) if not only or i.name in only]
    warm_up()
    rows: list[dict[str, Any]] = []
    for instance in found:
        mine, theirs, times = [], [], []
        for seed in range(1, seeds + 1):
            length, taken = ours(instance, seconds, seed)
            mine.append(length)
            times.append(taken)
            theirs.append(reference(instance, seconds, seed, workers)[0])
        length, other = statistics.mean(mine), statistics.mean(theirs)
        used = instance.area / instance.height
        rows.append(
            {
                "name": instance.name,
                "length": length,
                "reference_length": other,
                "ratio": length / other,
                "utilisation": used / length,
                "reference_utilisation": used / other,
                "best_utilisation": used / min(mine),
                "spread": (max(mine) - min(mine)) / length,
                "seconds": statistics.mean(times),
                "seeds": seeds,
            }
        )
        if not as_json:
            click.echo(
                f"{instance.name:<12} ours {length:10.3f} ({100 * used / length:5.2f} %, best "
                f"{100 * used / min(mine):5.2f})  reference {other:10.3f} "
                f"({100 * used / other:5.2f} %)  ratio {length / other:.4f}  "
                f"spread {100 * rows[-1]['spread']:.2f} %  {rows[-1]['seconds']:.1f} s"
            )
    mean = math.exp(statistics.mean(math.log(row["ratio"]) for row in rows))
    if as_json:
        click.echo(
            json.dumps(
                {
                    "instances": rows,
                    "geometric_mean_ratio": mean,
                    "workers": workers,
                    "cores": os.cpu_count(),
                }
            )
        )
    else:
        click.echo(f"geometric mean of length over reference: {mean:.4f}")


if __name__ == "__main__":
    main()

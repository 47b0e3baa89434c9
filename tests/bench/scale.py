"""How the search grows: 1, 2, 5, 10 and 20 makes of a garment in one lay.

python -m tests.bench.scale [--garment NAME] [--utilisation 0.80] [--json]

For each number of makes, in a process of its own: seconds until the pieces take a given share of
the cloth (or the limit), and the peak memory of that process, matplotlib not loaded.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from dataclasses import replace

import click

from fabrics.plain import plain_fabric
from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from layout.problem import Section
from layout.search.progress import Progress
from layout.solver import solve
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.problem.demand import demands_for
from plans.problem.problem_builder import Misfit, build
from plans.problem.repeats import RepeatRule

MAKES = (1, 2, 5, 10, 20)


def measure(garment: str, makes: int, utilisation: float, limit: float) -> dict[str, float]:
    """Search one lay of a garment's first role, open, on cloth of 140 cm."""
    loaded = load_garment(find_garment(garment))
    fabric = replace(plain_fabric("140cm"), selvage=0.0)
    demands = demands_for(loaded.pieces, loaded.roles[:1], fabric, makes)
    spread = make_spread(Fold.OPEN, fabric.width_cut)
    built = build(
        demands, (Section("open", spread),), fabric, 3.0, RepeatRule(), (0,) * len(demands)
    )
    if isinstance(built, Misfit):
        raise SystemExit(f"{built.demand.key} does not fit")
    area = sum(demand.area * demand.wanted.total for demand in demands)
    target = area / (fabric.width_cut * utilisation)
    found: list[tuple[float, float]] = []
    begun = time.perf_counter()

    def note(progress: Progress) -> None:
        found.append((time.perf_counter() - begun, progress.length))

    layout = solve(built.problem, Effort.ENDLESS, target=target, time_limit=limit, on_progress=note)
    seconds = time.perf_counter() - begun
    length = layout.extents[0]
    return {
        "makes": makes,
        "pieces": sum(item.demand for item in built.problem.items),
        "seconds": next((at for at, reached in found if reached <= target), seconds),
        "reached": float(length <= target + 1e-6),
        "utilisation": area / (fabric.width_cut * length),
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0,
    }


@click.command()
@click.option("--garment", default="pinafore", show_default=True)
@click.option("--utilisation", type=float, default=0.8, show_default=True)
@click.option("--limit", type=float, default=120.0, show_default=True, help="Seconds for each.")
@click.option("--json", "as_json", is_flag=True)
@click.option("--one", type=int, hidden=True, help="Measure this many makes in this process.")
def main(garment: str, utilisation: float, limit: float, as_json: bool, one: int | None) -> None:
    """Measure each number of makes in a process of its own."""
    if one is not None:
        measure("toy-hare", 1, 0.3, 2.0)  # kernels compiled and loaded before any clock runs
        click.echo(json.dumps(measure(garment, one, utilisation, limit)))
        return
    rows = []
    for makes in MAKES:
        done = subprocess.run(
            [sys.executable, "-m", "tests.bench.scale", "--garment", garment, "--utilisation",
             str(utilisation), "--limit", str(limit), "--one", str(makes)],
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        row = json.loads(done.stdout)
        rows.append(row)
        if not as_json:
            reached = "" if row["reached"] else "  (not reached)"
            click.echo(
                f"{makes:3} makes, {row['pieces']:3.0f} pieces: {row['seconds']:7.2f} s to "
                f"{100 * utilisation:.0f} %{reached}, {100 * row['utilisation']:.1f} % in the end, "
                f"peak {row['peak_mb']:.0f} MB"
            )
    if as_json:
        click.echo(json.dumps({"rows": rows}))


if __name__ == "__main__":
    main()

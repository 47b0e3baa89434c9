"""Speed of each kernel beside its plain Python twin: python -m tests.bench.kernels.

Evaluations per second on one thread; a slow-down shows as a smaller ratio.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial

import numpy as np

from layout.effort import Effort
from layout.geometry.nofit import NoFitTable
from layout.kernels.depth import depth, way_out
from layout.kernels.overlap import overlap
from layout.search.model import strip_model
from layout.search.pack import pack, units_of
from layout.search.state import state_from
from layout.solver import solve
from tests.bench.instances import Instance, as_problem
from tests.bench.synthetic import instances


def rate(call: Callable[[], object], least_seconds: float) -> float:
    """Calls per second."""
    call()
    begun = time.perf_counter()
    count = 0
    while time.perf_counter() - begun < least_seconds:
        call()
        count += 1
    return count / (time.perf_counter() - begun)


def main() -> None:
    """Measure on an instance of our own."""
    height, shapes = instances()["mixed"]
    instance = Instance(
        "mixed",
        tuple((tuple((x, y) for x, y in s), d, (0.0, 180.0)) for s, d in shapes),
        height,
    )
    problem = as_problem(instance)
    layout = solve(problem, Effort.GLANCE)
    model = strip_model(problem, 0, {k: item.demand for k, item in enumerate(problem.items)})
    state = state_from(model, layout.placements)
    if state is None:
        raise SystemExit("the layout does not read back")
    packed = pack(model, NoFitTable(model.bases, model.gap))
    units = units_of(packed, state)
    n, ways = packed.nofits, packed.ways
    for i in range(len(model.units)):
        way = units.way[i]
        units.box[:, i] = [
            units.x[i] + ways.extent[way, 0],
            units.x[i] + ways.extent[way, 2],
            units.y[i] + ways.extent[way, 1],
            units.y[i] + ways.extent[way, 3],
        ]
    rng = np.random.default_rng(1)
    q = int(rng.integers(len(n.bounds)))
    b = n.bounds[q]
    x, y = 0.4 * b[0] + 0.6 * b[2], 0.55 * b[1] + 0.45 * b[3]
    look = (q, x, y, n.bounds, n.inverse, n.cells, n.cell, n.candidates, n.edges, n.slack)
    done = np.zeros(1, dtype=np.int64)
    out = np.zeros(16)
    judge = (
        0, units.shape[0], units.x[0] + 9.0, units.y[0] + 9.0, ways.extent[units.way[0]], 1e300,
        len(units.x), units, n, done,
    )  # fmt: skip
    print(f"{'kernel':<10} {'compiled /s':>14} {'plain /s':>12} {'ratio':>8}")
    for name, kernel, arguments in (
        ("depth", depth, (*look, 1e300)),
        ("way_out", way_out, (*look, out)),
        ("overlap", overlap, judge),
    ):
        fast = rate(partial(kernel, *arguments), 0.5)
        slow = rate(partial(kernel.py_func, *arguments), 0.5)
        print(f"{name:<10} {fast:14,.0f} {slow:12,.0f} {fast / slow:8.1f}")
    print("(one call from Python each; inside a search kernels call each other, without that cost)")


if __name__ == "__main__":
    main()

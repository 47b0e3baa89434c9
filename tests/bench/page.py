"""How long the page takes to answer while it searches: median and 95th percentile by view.

    python -m tests.bench.page

Starts the program, lays a plan to look at, begins a search at normal effort, and asks views in turn
until the search is done. The aim is 100 ms at the 95th percentile.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections import defaultdict
from pathlib import Path

from tests.page import served
from tests.plans.page.planning.small import FIELDS, shelved
from tests.plans.page.planning.visitor import Visitor

VIEWS = (
    "/", "/garments", "/cloth", "/plans", "/plans/bag-plan", "/plans/bag-plan/report", "/new/plan",
    "/new/plan/parts?garment-1=blouse", "/compare", "/static/page.css",
)  # fmt: skip

LEAST_ROUNDS = 20

BETWEEN_S = 0.02


def main() -> None:
    """Measure, and print a line for each view."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shelved(folder)
        with served(folder) as (address, process):
            visitor = Visitor(address)
            first = visitor.send("/new/plan", **FIELDS)["work"]
            visitor.hear(f"/at-work/{first}/events", "event: done")
            took = _asked_while_it_searches(visitor)
            process.terminate()
            process.wait()
    print(f"{'view':40} {'median':>8} {'95 %':>8}   ms")
    for view, times in took.items():
        print(f"{view:40} {_ms(statistics.median(times)):8} {_ms(_percentile(times)):8}")
    every = [one for times in took.values() for one in times]
    print(f"{f'all {len(every)}':40} {_ms(statistics.median(every)):8} {_ms(_percentile(every)):8}")


def _asked_while_it_searches(visitor: Visitor) -> dict[str, list[float]]:
    fields = {
        "garment-1": "blouse", "count-1": "3", "cloth-main": "demo-linen",
        "cloth-interfacing": "demo-interfacing", "effort": "normal",
    }  # fmt: skip
    work = visitor.send("/new/plan", **fields)["work"]
    visitor.hear(f"/at-work/{work}/events", "event: best")
    took: dict[str, list[float]] = defaultdict(list)
    views = (*VIEWS, f"/plans?work={work}")
    rounds = 0
    while rounds < LEAST_ROUNDS:
        for view in views:
            begun = time.perf_counter()
            visitor.read(view)
            took[view].append(time.perf_counter() - begun)
            time.sleep(BETWEEN_S)
        rounds += 1
    took["/plans?work=..."] = took.pop(f"/plans?work={work}")
    return took


def _percentile(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[-1]


def _ms(seconds: float) -> str:
    return f"{1000.0 * seconds:.1f}"


if __name__ == "__main__":
    main()

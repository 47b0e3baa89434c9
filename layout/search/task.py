"""What is asked of one search, whatever it lays pieces on."""

from __future__ import annotations

import math
from concurrent.futures import Executor
from dataclasses import dataclass

from layout.effort import Effort
from layout.layout import Layout
from layout.search.progress import OnProgress


@dataclass(frozen=True)
class SolveTask:
    """How to search; see `layout.solver.solve`. `report` is told of each better layout."""

    effort: Effort
    seed: int
    start: Layout | None
    target: float | None
    executor: Executor | None
    report: OnProgress
    time_limit: float | None
    longest: float = math.inf

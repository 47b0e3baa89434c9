"""The only wiring of the solver: a problem goes to the search for its kind of cloth."""

from __future__ import annotations

import math
from concurrent.futures import Executor
from functools import singledispatch

from layout.bounded_problem import BoundedProblem
from layout.effort import Effort
from layout.fit import NoLayoutError
from layout.layout import Layout
from layout.problem import Problem
from layout.search.bounded import solve_bounded
from layout.search.progress import OnProgress, Progress
from layout.search.strip import solve_strip
from layout.search.task import SolveTask
from layout.strip_problem import StripProblem

__all__ = ["NoLayoutError", "solve"]


def solve(
    problem: Problem,
    effort: Effort = Effort.NORMAL,
    seed: int = 1,
    start: Layout | None = None,
    target: float | None = None,
    executor: Executor | None = None,
    on_progress: OnProgress | None = None,
    time_limit: float | None = None,
    longest: float = math.inf,
) -> Layout:
    """Lay the items: least cloth length on a strip, most (by priority or area) on a bounded piece.

    The same problem, start, effort and seed give the same layout, whatever the executor; a run that
    ended by time or interruption says so.

    Parameters
    ----------
    problem : Problem
    effort : Effort
    seed : int
    start : Layout, optional
        A valid layout to improve on; the result is never worse.
    target : float, optional
        Cloth length (mm) of a strip that is good enough.
    executor : Executor, optional
        Runs independent searches; by default threads of this process.
    on_progress : callable, optional
        Told of each better layout.
    time_limit : float, optional
        Seconds.
    longest : float, optional
        Cloth length (mm) of a strip beyond which a layout is of no use: it is given up early.

    Raises
    ------
    NoLayoutError
        If an item of a strip has no room in any of its slots, or no layout is short enough.
    KeyboardInterrupt
        If it is interrupted before there is any layout.
    """
    return _solve(
        problem,
        SolveTask(
            effort, seed, start, target, executor, on_progress or _silent, time_limit, longest
        ),
    )


def _silent(_: Progress) -> None:
    return None


@singledispatch
def _solve(problem: Problem, task: SolveTask) -> Layout:
    raise TypeError(f"no search for {type(problem).__name__}")


_solve.register(StripProblem, solve_strip)
_solve.register(BoundedProblem, solve_bounded)

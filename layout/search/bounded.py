"""Laying pieces in a bounded container: all of them, else the most by priority or area."""

from __future__ import annotations

from concurrent.futures import Executor

import numpy as np
from numpy.typing import NDArray

from layout.effort import Effort
from layout.layout import EndedBy, Layout
from layout.problem import Problem
from layout.progress import OnProgress, Progress
from layout.search.construct import Built, improve_order, make_constructor
from layout.search.model import Model, bounded_model
from layout.search.state import placements
from layout.stop import Stop

FloatArray = NDArray[np.float64]


def solve_bounded(
    problem: Problem,
    effort: Effort,
    seed: int,
    start: Layout | None,
    executor: Executor | None,
    report: OnProgress,
    stop: Stop,
) -> Layout:
    """Lay what fits; `unplaced` names the rest.

    The orders are searched in this process; `executor` is for searches that part their work. Where
    a start leaves out as little, the start is returned.
    """
    model = bounded_model(problem)
    worth = _worth(problem, model)
    constructor = make_constructor(model, worth)
    best: list[Built] = []
    ended = EndedBy.EFFORT

    def better(built: Built) -> bool:
        best[:] = [built]
        report(Progress(built.cost[1], "order"))
        return built.state.complete

    try:
        improve_order(
            constructor,
            max(4, effort.placements // max(1, len(model.units))),
            np.random.default_rng(seed),
            stop.late,
            better,
        )
    except KeyboardInterrupt:
        if not best:
            raise
        ended = EndedBy.INTERRUPT
    state = best[0].state
    missing = [kind for unit, kind in enumerate(model.units) if state.choice[unit] < 0]
    if start is not None and _left_out(problem, start) <= float(worth[state.choice < 0].sum()):
        return start.with_ending(ended)
    if ended is EndedBy.EFFORT and not missing:
        ended = EndedBy.BOUND
    unplaced = tuple(model.items[kind] for kind in missing)
    return Layout(placements(model, state), (state.extent(model),), ended, unplaced)


def _worth(problem: Problem, model: Model) -> FloatArray:
    """Worth of each unit: its item's priority, or its area."""
    return np.array(
        [
            model.areas[unit]
            if problem.items[model.items[kind]].priority is None
            else problem.items[model.items[kind]].priority
            for unit, kind in enumerate(model.units)
        ]
    )


def _left_out(problem: Problem, layout: Layout) -> float:
    """Worth of what a layout leaves out."""
    model = bounded_model(problem)
    worth = _worth(problem, model)
    by_item = {model.items[kind]: worth[unit] for unit, kind in enumerate(model.units)}
    return float(sum(by_item[item] for item in layout.unplaced))

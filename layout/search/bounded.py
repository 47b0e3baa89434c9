"""Laying pieces in a bounded piece of cloth: all of them, else the most by priority or area."""

from __future__ import annotations

import numpy as np
from shapely.geometry import Polygon

from layout.bounded_problem import BoundedProblem
from layout.layout import EndedBy, Layout
from layout.search.construct import Built, improve_order, make_constructor
from layout.search.members import run_members
from layout.search.model import Model, bounded_model
from layout.search.progress import Progress
from layout.search.state import State, partial_state, placements
from layout.search.task import SolveTask
from layout.stop import Stop
from pieces.geometry_types import FloatArray


def solve_bounded(problem: BoundedProblem, task: SolveTask) -> Layout:
    """Lay what fits; `unplaced` names the rest.

    Where a start leaves out no more than what is found, its places are kept.
    """
    return _BoundedSearch(problem, task).run()


class _BoundedSearch:
    def __init__(self, problem: BoundedProblem, task: SolveTask) -> None:
        self.problem = problem
        self.task = task
        self.stop = Stop(time_limit=task.time_limit)
        self.model = bounded_model(problem)
        self.worth = _worth(problem, self.model)
        # What fits nowhere even alone is worth no search.
        self.possible = np.array([bool(self.model.kinds[kind]) for kind in self.model.units])
        self.best: State | None = None
        if task.start is not None:
            self.best = partial_state(self.model, task.start.placements)

    def run(self) -> Layout:
        """Search and return the best layout with the reason for the end."""
        ended = EndedBy.EFFORT
        try:
            self._construct()
            if self.task.effort.evaluations and not self._done() and not self.stop.late():
                self._fill()
        except KeyboardInterrupt:
            if self.best is None:
                raise
            ended = EndedBy.INTERRUPT
        state = self.best
        if state is None:
            nothing = np.full(len(self.model.units), -1, dtype=np.int32)
            state = State(nothing, np.zeros(len(nothing)), np.zeros(len(nothing)))
        if ended is EndedBy.EFFORT and self.stop.late():
            ended = self.stop.why_late()
        if ended is not EndedBy.INTERRUPT and self._done():
            ended = EndedBy.BOUND
        unplaced = tuple(
            self.model.items[kind]
            for unit, kind in enumerate(self.model.units)
            if state.choice[unit] < 0
        )
        return Layout(placements(self.model, state), (state.extent(self.model),), ended, unplaced)

    def _done(self) -> bool:
        """Whether everything lies that fits at all."""
        return self.best is not None and bool((self.best.choice >= 0)[self.possible].all())

    def _offer(self, state: State, phase: str) -> bool:
        if self.best is None or self._left_out(state) < self._left_out(self.best) - 1e-9:
            self.best = state
            self.task.report(Progress(state.extent(self.model), phase))
        return self._done()

    def _left_out(self, state: State) -> float:
        return float(self.worth[state.choice < 0].sum())

    def _construct(self) -> None:
        if self._done():
            return

        def better(built: Built) -> bool:
            return self._offer(built.state, "order")

        improve_order(
            make_constructor(self.model, self.worth),
            max(4, self.task.effort.placements // max(1, len(self.model.units))),
            np.random.default_rng(self.task.seed),
            self.stop.late,
            better,
        )

    def _fill(self) -> None:
        from layout.search.fill import FillTask, fill, fill_here

        if self.best is None:
            return
        area = Polygon(self.problem.outline).area
        tasks = [
            FillTask(
                self.model, self.best, self.worth, area, self.task.effort.evaluations,
                1000 * self.task.seed + member, self.stop.remaining(),
            )
            for member in range(self.task.effort.members)
        ]  # fmt: skip
        for state in run_members(tasks, fill_here, fill, self.task.executor):
            self._offer(state, "separation")


def _worth(problem: BoundedProblem, model: Model) -> FloatArray:
    """Worth of each unit: its item's priority, or its area."""
    return np.array(
        [
            model.areas[unit]
            if problem.items[model.items[kind]].priority is None
            else problem.items[model.items[kind]].priority
            for unit, kind in enumerate(model.units)
        ]
    )

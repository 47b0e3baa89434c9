"""Moving a layout together: linear programmes, each from where the last one ended.

Compaction of layouts by linear programmes over convex regions around the present places: Li and
Milenkovic, Compaction and separation algorithms for non-convex polygons and their applications,
EJOR 84, 1995. What lies on a lattice or a fold line keeps its place there.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from layout.geometry.nofit import NoFitTable
from layout.search.compaction.programme import Lines, Programme, solve
from layout.search.compaction.regions import Border, border, free_region
from layout.search.model import Choice, Model
from layout.search.state import State
from pieces.geometry_types import FloatArray

STEP_MM = 30.0
"""How far a unit may move in one round, each way."""

ROUNDS = 40
"""Most linear programmes in one compaction."""

GAIN_MM = 1e-3
"""A round that shortens the lay by less has found nothing."""

HAIR_MM = 1e-8
"""Left between pieces that touch: where edges coincide to the last digit, GEOS now and then finds
an overlap that is none (seen with 3.14: half a piece)."""

INEXACT_MM, ROUNDING_MM = 1e-6, 4e-3
"""Pieces that lie into each other by more than the first are put right; a lay may become longer by
the second for it."""


def compacted(model: Model, state: State, stop: Callable[[], bool]) -> State:
    """Return a valid state no longer than this one; this one if nothing gives way.

    Pieces that lie into each other by rounding are put right, for which the result may be longer by
    `ROUNDING_MM`. It ends early once `stop` says so.
    """
    if not len(state.x) or not state.complete or stop():
        return state
    return _Compactor(model).compact(state, stop)


class _Compactor:
    """Compacts states of one model; keeps the borders of no-fit polygons."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.table = NoFitTable(model.bases, model.gap)
        self._borders: dict[tuple[int, int], Border] = {}

    def compact(self, state: State, stop: Callable[[], bool]) -> State:
        """Solve one programme after another while the lay gets shorter."""
        best, length = state, state.extent(self.model)
        sideways, idle = False, 0
        for _ in range(ROUNDS):
            moved = self._round(state, sideways)
            if moved is None:
                break
            state, inexact = moved
            reached = state.extent(self.model)
            gain = length - reached
            if gain > GAIN_MM or (inexact and gain > -ROUNDING_MM):
                best, length = state, reached
            if gain > GAIN_MM:
                idle = 0
            elif idle:
                break
            else:
                # Once more, with the other choice of edges at corners.
                sideways, idle = not sideways, 1
            if stop():
                break
        return best

    def _round(self, state: State, sideways: bool) -> tuple[State, bool] | None:
        """Solve one programme around a state; tells whether that was inexact."""
        model = self.model
        choices = [model.kinds[kind][state.choice[unit]] for unit, kind in enumerate(model.units)]
        low, high = _ranges(choices, state)
        lines = self._lines(choices, state, low, high, sideways)
        if lines is None:
            return None
        reach = np.array([choice.x_reach for choice in choices])
        solved = solve(Programme(low, high, reach, lines))
        if solved is None:
            return None
        places = solved
        inexact = lines.missed_by(np.column_stack([state.x, state.y])) > INEXACT_MM
        return State(state.choice, places[:, 0].copy(), places[:, 1].copy()), inexact

    def _lines(
        self, choices: list[Choice], state: State, low: FloatArray, high: FloatArray, sideways: bool
    ) -> Lines | None:
        """Half-planes between all units that could meet, or None if any overlap."""
        model = self.model
        movable = len(choices)
        shapes = [choice.shape for choice in choices]
        shapes += [obstacle.shape for obstacle in model.obstacles]
        at = np.column_stack([state.x, state.y])
        fixed = np.array([[o.x, o.y] for o in model.obstacles]).reshape(-1, 2)
        at, low, high = np.vstack([at, fixed]), np.vstack([low, fixed]), np.vstack([high, fixed])
        outlines = [model.shapes[shape].points for shape in shapes]
        least = low + np.array([points.min(axis=0) for points in outlines]) - model.gap
        most = high + np.array([points.max(axis=0) for points in outlines]) + model.gap
        first: list[int] = []
        second: list[int] = []
        planes: list[tuple[float, float, float]] = []
        for b in range(movable):
            near = (least < most[b]).all(axis=1) & (most > least[b]).all(axis=1)
            for a in np.flatnonzero(near).tolist():
                if a == b or (a < movable and a > b):
                    continue
                x, y = (at[b] - at[a]).tolist()
                span = np.maximum(high[b] - low[a] - (x, y), (x, y) - (low[b] - high[a]))
                if span.max() <= 0.0:
                    continue
                edges = self._border(shapes[a], shapes[b])
                region = free_region(edges, x, y, float(span.max()) + 1e-6, sideways)
                if region is None:
                    return None
                for nx, ny, c in region:
                    first.append(a if a < movable else -1)
                    second.append(b)
                    c += HAIR_MM
                    if a >= movable:
                        c += nx * float(at[a, 0]) + ny * float(at[a, 1])
                    planes.append((nx, ny, c))
        table = np.array(planes).reshape(-1, 3)
        return Lines(
            np.array(first, dtype=np.int32), np.array(second, dtype=np.int32),
            table[:, :2], table[:, 2],
        )  # fmt: skip

    def _border(self, a: int, b: int) -> Border:
        found = self._borders.get((a, b))
        if found is None:
            rings = self.table.rings(self.model.shapes[a], self.model.shapes[b])
            found = self._borders[(a, b)] = border(rings)
        return found


def _ranges(choices: list[Choice], state: State) -> tuple[FloatArray, FloatArray]:
    """Least and greatest places for one round, shape (N, 2), mm."""
    places = np.column_stack([state.x, state.y])
    low, high = places - STEP_MM, places + STEP_MM
    for k, choice in enumerate(choices):
        if choice.x_fixed is not None or choice.pitch_x > 0.0:
            low[k, 0] = high[k, 0] = places[k, 0]
        else:
            low[k, 0] = max(low[k, 0], choice.x_from)
        if choice.pitch_y > 0.0:
            low[k, 1] = high[k, 1] = places[k, 1]
        else:
            low[k, 1] = min(max(low[k, 1], choice.y_from), choice.y_to)
            high[k, 1] = max(min(high[k, 1], choice.y_to), choice.y_from)
    return low, high

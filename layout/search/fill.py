"""Filling a bounded piece of cloth further: one more unit goes in, and what overlaps is separated.

A unit that found no place is put somewhere, now and then where a less worthy one lay, and the
others make room (the same guided local search that shortens a lay). Counted in evaluated positions.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from layout.geometry.nofit import NoFitTable
from layout.search.explore import Explorer
from layout.search.model import Model
from layout.search.pack import Packed, pack
from layout.search.state import State
from pieces.geometry_types import FloatArray

TRY_SHARE = 0.04
"""Share of the work that one try to bring a unit in may spend."""

SWAPS = 3
"""Separations of one try."""


@dataclass(frozen=True)
class FillTask:
    """Everything that one search needs; plain data, so that it can be sent to a worker."""

    model: Model
    state: State
    worth: FloatArray
    area: float
    """Area of the cloth, mm2."""
    evaluations: int
    seed: int
    seconds: float | None


def fill(task: FillTask) -> State:
    """Run one search to the end of its work, in whatever process this is."""
    return fill_here(task, lambda: False)


def fill_here(task: FillTask, ended: Callable[[], bool]) -> State:
    """Run one search to the end of its work, or until `ended`."""
    begun = time.monotonic()

    def over() -> bool:
        late = task.seconds is not None and time.monotonic() - begun >= task.seconds
        return late or ended()

    return _Filler(pack(task.model, NoFitTable(task.model.bases, task.model.gap)), task, over).run()


def left_out(state: State, worth: FloatArray) -> float:
    """Worth of the units that a state leaves out."""
    return float(worth[state.choice < 0].sum())


class _Filler:
    def __init__(self, packed: Packed, task: FillTask, stop: Callable[[], bool]) -> None:
        self.packed = packed
        self.task = task
        self.model = task.model
        self.stop = stop
        self.rng = np.random.default_rng(task.seed)
        self.state = task.state
        self.possible = np.array([bool(task.model.kinds[kind]) for kind in task.model.units])
        self.left = task.evaluations

    def run(self) -> State:
        """Bring in one unit after another while there is work left."""
        best = self.state
        while self.left > 0 and not self.stop():
            missing = np.flatnonzero((self.state.choice < 0) & self.possible)
            if not len(missing):
                break
            unit = int(self.rng.choice(missing))
            out = self._given_up(unit)
            found = self._with(unit, out)
            if found is None:
                self.left -= 1000
                continue
            # A state that leaves out no more is gone on from: units of one worth change places.
            if left_out(found, self.task.worth) <= left_out(self.state, self.task.worth) + 1e-9:
                self.state = found
            if left_out(found, self.task.worth) < left_out(best, self.task.worth) - 1e-9:
                best = found
        return best

    def _given_up(self, unit: int) -> list[int]:
        """Nothing, or a unit that lies and is worth no more than the one that comes in."""
        worth = self.task.worth
        lies = np.flatnonzero((self.state.choice >= 0) & (worth <= worth[unit]))
        other = [int(k) for k in lies if self.model.units[k] != self.model.units[unit]]
        if not other or self.rng.random() < 0.5:
            return []
        return [int(self.rng.choice(other))]

    def _with(self, unit: int, out: list[int]) -> State | None:
        """The state with a unit brought in and others given up, or None if it does not fit."""
        units = [k for k in range(len(self.model.units)) if k == unit or self.state.choice[k] >= 0]
        units = [k for k in units if k not in out]
        if self.model.areas[units].sum() > self.task.area:
            return None
        part = replace(
            self.model,
            units=tuple(self.model.units[k] for k in units),
            areas=self.model.areas[units],
        )
        start = State(
            self.state.choice[units].copy(), self.state.x[units].copy(), self.state.y[units].copy()
        )
        self._put_somewhere(start, units.index(unit), unit, out)
        work = min(self.left, max(1, int(TRY_SHARE * self.task.evaluations)))
        explorer = Explorer(
            replace(self.packed, model=part), start, work, int(self.rng.integers(2**31)),
            self.stop, lambda _state, _extent: False,
        )  # fmt: skip
        found = explorer.fit(self.model.max_length or 0.0, SWAPS)
        self.left -= max(1000, int(explorer.done[0]))
        return None if found is None else self._whole(units, found)

    def _put_somewhere(self, start: State, index: int, unit: int, out: list[int]) -> None:
        """Put the unit that comes in where another goes out, or anywhere."""
        choices = self.model.kinds[self.model.units[unit]]
        taken = int(self.rng.integers(len(choices)))
        choice = choices[taken]
        high_x = max(choice.x_from, (self.model.max_length or 0.0) - choice.x_reach)
        x = float(self.rng.uniform(choice.x_from, high_x))
        y = float(self.rng.uniform(choice.y_from, choice.y_to))
        if out:
            x, y = self._place_of(out[0], choice.shape)
        start.choice[index], start.x[index], start.y[index] = taken, x, y

    def _place_of(self, other: int, shape: int) -> tuple[float, float]:
        """Where the middle of a shape comes to lie on the middle of a unit that lies there."""
        there = self.model.kinds[self.model.units[other]][self.state.choice[other]]
        middle = _middle(self.model, there.shape) - _middle(self.model, shape)
        return (
            float(self.state.x[other] + middle[0]),
            float(self.state.y[other] + middle[1]),
        )

    def _whole(self, units: list[int], part: State) -> State:
        count = len(self.model.units)
        choice = np.full(count, -1, dtype=np.int32)
        x, y = np.zeros(count), np.zeros(count)
        choice[units], x[units], y[units] = part.choice, part.x, part.y
        return State(choice, x, y)


def _middle(model: Model, shape: int) -> FloatArray:
    points = model.shapes[shape].points
    return np.asarray(0.5 * (points.min(axis=0) + points.max(axis=0)))

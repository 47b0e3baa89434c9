"""The state of a search: for each unit of a model its choice and reference position."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layout.layout import Placement
from layout.search.model import Model
from pieces.geometry_types import FloatArray, IntArray


@dataclass(frozen=True)
class State:
    """Choice (index into the unit's kind, -1 if not placed) and position (mm) of each unit."""

    choice: IntArray
    x: FloatArray
    y: FloatArray

    @property
    def complete(self) -> bool:
        """Whether every unit is placed."""
        return bool((self.choice >= 0).all())

    def extent(self, model: Model) -> float:
        """Greatest lay x that a placed unit, or what is kept, reaches, mm."""
        reach = model.least
        for unit, kind in enumerate(model.units):
            if self.choice[unit] >= 0:
                reach = max(
                    reach, float(self.x[unit]) + model.kinds[kind][self.choice[unit]].x_reach
                )
        return reach


def placements(model: Model, state: State) -> tuple[Placement, ...]:
    """Express a state as placements of the problem's items."""
    result = []
    for unit, kind in enumerate(model.units):
        if state.choice[unit] < 0:
            continue
        choice = model.kinds[kind][state.choice[unit]]
        result.append(
            Placement(
                model.items[kind], choice.slot, choice.pose,
                float(state.x[unit]), float(state.y[unit]),
            )
        )  # fmt: skip
    return tuple(result)


def state_from(model: Model, placed: tuple[Placement, ...]) -> State | None:
    """Read placements back into a state, or None if they are not all of this model's units."""
    state = partial_state(model, placed)
    return state if state is not None and state.complete else None


def partial_state(model: Model, placed: tuple[Placement, ...]) -> State | None:
    """Read placements back into a state, or None if one of them is none of this model's units."""
    free = {kind: [] for kind in range(len(model.kinds))}  # type: dict[int, list[int]]
    for unit, kind in enumerate(model.units):
        free[kind].append(unit)
    choice = np.full(len(model.units), -1, dtype=np.int32)
    x, y = np.zeros(len(model.units)), np.zeros(len(model.units))
    kind_of = {item: kind for kind, item in enumerate(model.items)}
    for placement in placed:
        kind = kind_of.get(placement.item, -1)
        if kind < 0 or not free[kind]:
            return None
        index = next(
            (
                k
                for k, candidate in enumerate(model.kinds[kind])
                if candidate.slot == placement.slot and candidate.pose == placement.pose
            ),
            None,
        )
        if index is None:
            return None
        unit = free[kind].pop(0)
        choice[unit], x[unit], y[unit] = index, placement.x, placement.y
    return State(choice, x, y)

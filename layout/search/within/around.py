"""Laying pieces within a length around fixed shapes that come to lie elsewhere each time.

On cloth that is folded across its flaws move over the lay as its fold moves: whoever looks for the
place of the fold asks again and again whether the pieces fit around them. Each answer begins with
where the pieces lay before, on a flaw perhaps, and separates what overlaps (the same guided local
search that shortens a lay). Counted in evaluated positions. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from layout.geometry.nofit import NoFitTable
from layout.search.explore import Explorer
from layout.search.model import Model, alike
from layout.search.pack import Packed, pack
from layout.search.state import State
from layout.search.within.tries import Tries

SWAPS = 2
"""Separations of one try."""


class Around(Tries):
    """Separates what overlaps; its work is in positions evaluated."""

    LEAST_WORK = 1000

    _packed: Packed | None = None

    def _within(self, model: Model, start: State, length: float) -> State | None:
        """From the start, then from pieces scattered at random."""
        found = self._separated(model, start, length)
        if found is None and not self.over:
            found = self._separated(model, self._scattered(model, length), length)
        return found

    def _separated(self, model: Model, state: State, length: float) -> State | None:
        explorer = Explorer(
            self._pack(model), state, max(self.LEAST_WORK, self.left),
            int(self.rng.integers(2**31)), self.stop, lambda _state, _extent: False,
        )  # fmt: skip
        found = explorer.fit(length, SWAPS)
        self.left -= max(self.LEAST_WORK, int(explorer.done[0]))
        return found

    def _scattered(self, model: Model, length: float) -> State:
        """Every unit in any of its ways anywhere."""
        count = len(model.units)
        choice = np.array([self.rng.integers(len(model.kinds[kind])) for kind in model.units])
        ways = [model.kinds[kind][k] for kind, k in zip(model.units, choice, strict=True)]
        low, high = np.array([[way.y_from, way.y_to] for way in ways]).T
        x = self.rng.uniform(0.0, length, count)
        return State(choice.astype(np.int32), x, self.rng.uniform(low, high))

    def _pack(self, model: Model) -> Packed:
        """The model in arrays; those of the last one where only the places of flaws differ."""
        packed = self._packed
        if packed is None or not alike(packed.model, model):
            packed = pack(model, NoFitTable(model.bases, model.gap))
        self._packed = replace(packed, model=model)
        return self._packed

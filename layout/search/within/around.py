"""Laying pieces within a length around fixed shapes that come to lie elsewhere each time.

On cloth that is folded across its flaws move over the lay as its fold moves: whoever looks for the
place of the fold asks again and again whether the pieces fit around them. Each answer begins with
where the pieces lay before, on a flaw perhaps, and separates what overlaps (the same guided local
search that shortens a lay). Counted in evaluated positions. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from layout.geometry.nofit import NoFitTable
from layout.layout import Layout, section_part
from layout.search.compaction.compact import compacted
from layout.search.explore import Explorer
from layout.search.model import Model, strip_model
from layout.search.pack import Packed, pack
from layout.search.state import State, placements, state_from
from layout.strip_problem import StripProblem

SWAPS = 2
"""Separations of one try."""

LEAST_WORK = 1000
"""Positions that a try counts for at least, so that work ends however soon each gives up."""


class Around:
    """Tries to lay one section of a strip, one after another; `left` is the work that is left.

    Parameters
    ----------
    evaluations, seed : int
        Positions that all tries may evaluate together, and a seed.
    stop : callable
        Ends a try early.
    """

    def __init__(self, evaluations: int, seed: int, stop: Callable[[], bool]) -> None:
        self.left = evaluations
        self.rng = np.random.default_rng(seed)
        self.stop = stop
        self._packed: Packed | None = None

    @property
    def over(self) -> bool:
        """Whether there is no work left, or it is time to end."""
        return self.left <= 0 or self.stop()

    def skip(self) -> None:
        """Count a try that was not worth making, so that work ends."""
        self.left -= LEAST_WORK

    def fitted(self, problem: StripProblem, start: Layout, length: float) -> Layout | None:
        """Return a sound layout that reaches no farther than `length`; None if none was found.

        It begins with the start, then with pieces that are scattered at random.

        Parameters
        ----------
        problem : StripProblem
            Of one section.
        start : Layout
            Where each piece lies at first, whatever it lies on.
        length : float
            Greatest extent, mm.
        """
        counts, placed = section_part(problem, start, 0)
        model = strip_model(problem, 0, counts, problem.spans(start.extents)[0])
        state = state_from(model, placed)
        if state is None:
            self.skip()
            return None
        found = self._separated(model, state, length)
        if found is None and not self.over:
            found = self._separated(model, self._scattered(model, length), length)
        if found is None:
            return None
        found = compacted(model, found, self.stop)
        return replace(
            start,
            placements=(*problem.kept, *placements(model, found)),
            extents=(found.extent(model),),
        )

    def _separated(self, model: Model, state: State, length: float) -> State | None:
        explorer = Explorer(
            self._pack(model), state, max(LEAST_WORK, self.left), int(self.rng.integers(2**31)),
            self.stop, lambda _state, _extent: False,
        )  # fmt: skip
        found = explorer.fit(length, SWAPS)
        self.left -= max(LEAST_WORK, int(explorer.done[0]))
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
        if packed is None or not _alike(packed.model, model):
            packed = pack(model, NoFitTable(model.bases, model.gap))
        self._packed = replace(packed, model=model)
        return self._packed


def _alike(a: Model, b: Model) -> bool:
    """Whether two models are of the same shapes, lying in the same ways."""
    return (
        a.kinds == b.kinds
        and len(a.shapes) == len(b.shapes)
        and all(np.array_equal(p.points, q.points) for p, q in zip(a.shapes, b.shapes, strict=True))
    )

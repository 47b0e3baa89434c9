"""What every way of laying pieces within a length has: work that is counted and comes to an end."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

import numpy as np

from layout.layout import Layout, section_part
from layout.search.compaction.compact import compacted
from layout.search.model import Model, strip_model
from layout.search.state import State, placements, state_from
from layout.strip_problem import StripProblem


class Tries(ABC):
    """Tries to lay one section of a strip, one after another; `left` is the work that is left.

    Parameters
    ----------
    work, seed : int
        What all tries may spend together, and a seed.
    stop : callable
        Ends a try early.
    """

    LEAST_WORK: ClassVar[int]
    """What a try counts for at least, so that work ends however soon each gives up."""

    def __init__(self, work: int, seed: int, stop: Callable[[], bool]) -> None:
        self.left = work
        self.rng = np.random.default_rng(seed)
        self.stop = stop

    @property
    def over(self) -> bool:
        """Whether there is no work left, or it is time to end."""
        return self.left <= 0 or self.stop()

    def skip(self) -> None:
        """Count a try that was not worth making, so that work ends."""
        self.left -= self.LEAST_WORK

    def fitted(self, problem: StripProblem, start: Layout, length: float) -> Layout | None:
        """Return a layout that reaches no farther than `length`; None if none was found.

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
        model = strip_model(problem, 0, counts, problem.span_with_place(0, start.extents))
        state = state_from(model, placed)
        if state is None:
            self.skip()
            return None
        found = self._within(model, state, length)
        if found is None:
            return None
        found = compacted(model, found, self.stop)
        return replace(
            start,
            placements=(*problem.kept, *placements(model, found)),
            extents=(found.extent(model),),
        )

    @abstractmethod
    def _within(self, model: Model, start: State, length: float) -> State | None:
        """All units of a model within a length (mm), or None if no such state was found."""

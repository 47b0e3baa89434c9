"""Many copies: a lay of a part of them is searched, and laid several times one after another.

A search that has twenty sets of a garment to lay spends its work on moving pieces past each other.
Of a fifth of them it finds a closer lay, which repeated is closer still than what it finds for all;
it then goes on from there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from layout.layout import Layout
from layout.problem import Placement
from layout.strip_problem import StripProblem

LEAST_UNITS = 48
"""Fewer pieces are laid as well at once (measured: contributors' guide)."""

BEST_UNITS, LEAST_PART = 30, 8
"""About so many pieces a part has at best, and so many at least."""


@dataclass(frozen=True)
class Part:
    """A part of a problem that is laid `times` times.

    `items` gives for each of its items that of the whole.
    """

    problem: StripProblem
    items: tuple[int, ...]
    times: int


def parts_of(problem: StripProblem) -> tuple[Part, ...]:
    """Split many copies into a part that is repeated and what is left over, if that may help.

    Nothing is split where the place along the cloth matters: flaws, folds across, what is kept.
    """
    units = sum(item.demand for item in problem.items)
    if units < LEAST_UNITS or not _repeatable(problem):
        return ()
    most = max(item.demand for item in problem.items)
    times = min(range(2, most + 1), key=lambda k: _unsuited(problem, units, k), default=1)
    if times < 2 or math.isinf(_unsuited(problem, units, times)):
        return ()
    shares = ([item.demand // times for item in problem.items], times), (
        [item.demand % times for item in problem.items],
        1,
    )
    return tuple(_part(problem, counts, k) for counts, k in shares if any(counts))


def _repeatable(problem: StripProblem) -> bool:
    if problem.flaws or problem.kept or len(problem.sections) != 1:
        return False
    spread = problem.sections[0].spread
    if spread.doubled or any(not edge.along for edge in spread.fold_edges):
        return False
    return len(_pitches(problem)) <= 1


def _pitches(problem: StripProblem) -> set[float]:
    """Repeats along the cloth that pieces must keep."""
    return {
        slot.lattice.pitch_x
        for item in problem.items
        for slot in item.slots
        if slot.lattice is not None and slot.lattice.pitch_x > 0.0
    }


def _unsuited(problem: StripProblem, units: int, times: int) -> float:
    """How badly a number of times suits: what is left over counts most, then the part's size."""
    part = sum(item.demand // times for item in problem.items)
    if part < LEAST_PART or units - times * part > part:
        return math.inf
    return (units - times * part) / units + 0.1 * abs(math.log2(part / BEST_UNITS))


def _part(problem: StripProblem, counts: list[int], times: int) -> Part:
    items = tuple(k for k, count in enumerate(counts) if count)
    fewer = tuple(replace(problem.items[k], demand=counts[k]) for k in items)
    return Part(replace(problem, items=fewer), items, times)


def repeated(problem: StripProblem, laid: list[tuple[Part, Layout]]) -> Layout:
    """Lay parts one after another, each as often as it is wanted."""
    pitch = max(_pitches(problem), default=0.0)
    placements: list[Placement] = []
    at = extent = 0.0
    for part, layout in laid:
        step = layout.extents[0] + problem.gap
        if pitch:
            step = math.ceil(step / pitch - 1e-9) * pitch
        for _ in range(part.times):
            placements += _moved(part, layout, at)
            extent = at + layout.extents[0]
            at += step
    return Layout(tuple(placements), (extent,))


def _moved(part: Part, layout: Layout, by: float) -> Iterator[Placement]:
    for placement in layout.placements:
        yield replace(placement, item=part.items[placement.item], x=placement.x + by)

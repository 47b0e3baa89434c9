"""Many copies: a lay of a part of them is searched, and laid several times one after another.

A search that has twenty sets of a garment to lay spends its work on moving pieces past each other.
Of a fifth of them it finds a closer lay, which repeated is closer still than what it finds for all;
it then goes on from there.
"""

from __future__ import annotations

import math
from dataclasses import astuple, dataclass, replace

from layout.layout import Layout
from layout.problem import Wanted
from layout.strip_problem import StripProblem

LEAST_UNITS = 48
"""Fewer pieces are laid as well at once (measured: contributors' guide)."""

BEST_UNITS, LEAST_PART = 30, 12
"""About so many pieces a part has at best, and so many at least."""


@dataclass(frozen=True)
class Part:
    """A part of a problem that is laid `times` times."""

    problem: StripProblem
    times: int


def part_of(problem: StripProblem) -> Part | None:
    """Return what many copies are so many times, if it may help to lay that first.

    Only where nothing is left over: what is left is laid badly on its own (measured). And only
    where the place along the cloth does not matter: without flaws, folds across, what is kept.
    """
    units = sum(item.demand for item in problem.items)
    if units < LEAST_UNITS or not _is_repeatable(problem):
        return None
    copies = [n for each in problem.wanted.values() for n in astuple(each)]
    common = math.gcd(*(item.demand for item in problem.items), *copies)
    suited = [
        times
        for times in range(2, common + 1)
        if common % times == 0 and units // times >= LEAST_PART
    ]
    if not suited:
        return None
    times = min(suited, key=lambda k: abs(math.log(units / k / BEST_UNITS)))
    fewer = tuple(replace(item, demand=item.demand // times) for item in problem.items)
    wanted = {key: _share(copies, times) for key, copies in problem.wanted.items()}
    return Part(replace(problem, items=fewer, wanted=wanted), times)


def _share(copies: Wanted, times: int) -> Wanted:
    return Wanted(copies.drawn // times, copies.other // times, copies.either // times)


def _is_repeatable(problem: StripProblem) -> bool:
    if problem.flaws or problem.kept or len(problem.sections) != 1:
        return False
    edges = problem.sections[0].spread.fold_edges
    return all(edge.along for edge in edges) and len(_pitches(problem)) <= 1


def _pitches(problem: StripProblem) -> set[float]:
    """Repeats along the cloth (mm) that pieces must keep."""
    return {
        slot.lattice.pitch_x
        for item in problem.items
        for slot in item.slots
        if slot.lattice is not None and slot.lattice.pitch_x > 0.0
    }


def repeated(problem: StripProblem, part: Part, layout: Layout) -> Layout:
    """Lay the layout of a part as often as it is wanted, one after another."""
    step = layout.extents[0] + problem.gap
    for pitch in _pitches(problem):
        step = math.ceil(step / pitch - 1e-9) * pitch
    placements = tuple(
        replace(placement, x=placement.x + k * step)
        for k in range(part.times)
        for placement in layout.placements
    )
    return Layout(placements, ((part.times - 1) * step + layout.extents[0],))

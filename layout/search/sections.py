"""Which item goes into which section: the lengths of the sections are part of the answer."""

from __future__ import annotations

import math
from collections.abc import Callable

from layout.strip_problem import StripProblem

Assignment = tuple[tuple[tuple[int, int], ...], ...]
"""For each section the (item, count) pairs that go into it, items in order."""

MOST_ROUNDS = 3
"""Times that every item is tried elsewhere."""


def possible_sections(problem: StripProblem) -> list[list[int]]:
    """For each item the sections in which it has a slot."""
    return [sorted({slot.section for slot in item.slots}) for item in problem.items]


def improve_assignment(
    problem: StripProblem,
    length: Callable[[Assignment, float], float],
    stop: Callable[[], bool],
    longest: float = math.inf,
) -> Assignment | None:
    """Find a good assignment: each item first or last where it may go, then moved one by one.

    Parameters
    ----------
    problem : StripProblem
    length : callable
        Cloth length (mm) of an assignment, and above what it need not be known.
    stop : callable
    longest : float, optional
        None is returned if both begin with more than this length (mm).
    """
    count = len(problem.sections)
    options = possible_sections(problem)
    free = [problem.free(index) for index in range(len(problem.items))]
    if count == 1:
        return _assignment([{0: number} for number in free], 1)
    starts = [
        [{choices[end]: number} for number, choices in zip(free, options, strict=True)]
        for end in (0, -1)
    ]
    best, least = starts[0], math.inf
    for start in starts:
        total = length(_assignment(start, count), min(least, longest))
        if total < least:
            best, least = start, total
    if math.isinf(least) and math.isfinite(longest):
        return None
    for _ in range(MOST_ROUNDS):
        improved = False
        for item, choices in enumerate(options):
            for source, target, moved in _moves(best[item], choices):
                if stop():
                    return _assignment(best, count)
                tried = [dict(where) for where in best]
                tried[item][source] -= moved
                tried[item][target] = tried[item].get(target, 0) + moved
                total = length(_assignment(tried, count), least)
                if total < least - 1e-6:
                    best, least, improved = tried, total, True
                    break
        if not improved:
            break
    return _assignment(best, count)


def _moves(where: dict[int, int], choices: list[int]) -> list[tuple[int, int, int]]:
    """Moves of all, or of one, of an item's placements to another section."""
    result = []
    for source, count in where.items():
        for target in choices:
            if target != source and count:
                result.append((source, target, count))
                if count > 1:
                    result.append((source, target, 1))
    return result


def _assignment(where: list[dict[int, int]], sections: int) -> Assignment:
    return tuple(
        tuple((item, counts[k]) for item, counts in enumerate(where) if counts.get(k))
        for k in range(sections)
    )

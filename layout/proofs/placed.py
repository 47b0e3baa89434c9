"""How short the largest pieces can be laid at least, whatever their places: by ruling out."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence

from shapely.geometry.base import BaseGeometry

from layout.bounds.terms.bound import Bound, BoundKind, Share
from layout.bounds.terms.relaxation import SLACK_MM
from layout.proofs.laid_open import laid_open
from layout.proofs.places import Case, area_of, cases
from layout.proofs.ruling import Ended, Ruling
from layout.strip_problem import StripProblem

MOST_UNITS = 10
"""Units that are tried at most: each one more takes about ten times as long."""

MOST_CASES = 24
"""Numbers of units that the copies of the pieces may come to, at most."""

MOST_PLANTED = 4000
"""First branches of all cases at most: a choice of slots for each unit."""

MOST_BRANCHES = 6_000_000
"""Branches of all trees at most: a gigabyte and a half."""

LENGTHS_MM = 0.01
"""How exactly the extent is found that takes so much cloth."""


def placed_bound(
    problem: StripProblem,
    longest: float,
    most: int = MOST_BRANCHES,
    stop: Callable[[], bool] = lambda: False,
    on_better: Callable[[Bound], None] = lambda _: None,
) -> Bound:
    """Rule out that the largest pieces are laid on less: first the largest, then one more.

    Several sections are looked at laid open (`laid_open`). Whatever lies in no place of those that
    are looked at (any turn of the grain, flaws) only makes layouts longer, or is left out with its
    piece.

    Parameters
    ----------
    problem : StripProblem
        Items are wanted as often as they have copies (`relaxed_copies`).
    longest : float
        Cloth length (mm) beyond which nothing need be proved, such as that of a layout.
    most : int
        Branches that are looked at, of all trees together.
    stop : callable
        Asked now and then whether to end.
    on_better : callable
        Told of each bound that is greater, also of what is proved when an interrupt comes.
    """
    best = Bound(BoundKind.PLACED, 0.0)
    if len(problem.sections) > 1:
        problem = laid_open(problem)
    limit = _extent(problem, longest)
    kept: dict[object, BaseGeometry] = {}
    order = _largest_first(problem)
    left = most
    for count in range(1, len(order) + 1):
        tried = _cases(problem, order[:count])
        if not tried or stop() or left <= 0:
            break
        ruling = Ruling(tried, problem.gap, limit, kept)
        try:
            ended = ruling.run(stop, left)
        finally:
            length = problem.sections[0].spread.cloth_length(ruling.least, problem.gap) - SLACK_MM
            if length > best.length + SLACK_MM:
                best = Bound(BoundKind.PLACED, length, _shares(problem, order[:count]))
                on_better(best)
        left -= ruling.branches
        if ended is not Ended.FITS:
            break
    return best


def _largest_first(problem: StripProblem) -> list[int]:
    """Items with a grain, the largest first; those that may be turned anyhow are left out."""
    grained = []
    for index, item in enumerate(problem.items):
        grain = problem.grain.get(item.key)
        if grain is None or grain.headings is not None:
            grained.append(index)
    return sorted(grained, key=lambda index: -area_of(problem.items[index]))


def _cases(problem: StripProblem, items: Sequence[int]) -> list[Case]:
    """The cases of some items; none if they are too many to be looked at."""
    if sum(problem.items[index].demand for index in items) > 2 * MOST_UNITS:
        return []
    found = list(itertools.islice(cases(problem, items), MOST_CASES + 1))
    planted = sum(math.prod(kind.slots for kind in case) for case in found)
    units = max((len(case) for case in found), default=0)
    few = len(found) <= MOST_CASES and units <= MOST_UNITS and planted <= MOST_PLANTED
    return found if few and units else []


def _shares(problem: StripProblem, items: Sequence[int]) -> tuple[Share, ...]:
    copies: dict[str, int] = {}
    for index in items:
        item = problem.items[index]
        copies[item.key] = copies.get(item.key, 0) + item.demand
    return tuple(Share(key, count, 0.0) for key, count in copies.items())


def _extent(problem: StripProblem, length: float) -> float:
    """Extent of a lay that takes so much cloth (mm)."""
    spread = problem.sections[0].spread
    low, high = 0.0, length
    while high - low > LENGTHS_MM:
        middle = 0.5 * (low + high)
        if spread.cloth_length(middle, problem.gap) < length:
            low = middle
        else:
            high = middle
    return high

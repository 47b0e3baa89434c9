"""The best of all bounds."""

from __future__ import annotations

from enum import Enum

from layout.bounds.area import area_bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import longest_bound
from layout.bounds.rows import rows_bound
from layout.bounds.slicing.slices import slices_bound
from layout.bounds.terms.bound import Bound
from layout.bounds.terms.relaxation import Relaxation, relaxed
from layout.bounds.weighing.lines import lines_bound
from layout.bounds.weighing.widths import AS_GOOD_MM, Weights
from layout.strip_problem import StripProblem

MOST_ABOVE = 2.0
"""Lines are not expected to prove more than so many times what is known."""


class Care(Enum):
    """How much work a bound is worth."""

    GLANCE = 0
    """Area, longest piece and fold edges: next to nothing."""
    USUAL = 1
    """Also what lies side by side: some milliseconds."""
    CLOSE = 2
    """Also a linear programme: tens of milliseconds."""
    SEARCHED = 3
    """Also a brief search through places (`layout.proofs`), which needs compiled kernels: tenths
    of a second."""
    PROVED = 4
    """A longer one, for what a person is told."""


def best_bound(problem: StripProblem, care: Care = Care.GLANCE) -> Bound:
    """Return the greatest of the bounds of a strip problem."""
    longest = longest_bound(problem)
    beside = relaxed_bound(relaxed(problem), care, longest.length)
    return greatest(longest, fold_edge_bound(problem), beside)


def relaxed_bound(relaxation: Relaxation, care: Care, longest: float = 0.0) -> Bound:
    """Return the greatest of the bounds that follow from a relaxation.

    `longest` (mm of cloth) is a bound that is known already.
    """
    bounds = [area_bound(relaxation)]
    if care is not Care.GLANCE:
        weights = Weights(relaxation)
        weighing = weights.best()
        bounds += [rows_bound(relaxation), weights.bound(weighing)]
        if care.value >= Care.CLOSE.value:
            bounds.append(slices_bound(weights, weighing))
            known = max(longest, *(bound.length for bound in bounds))
            bounds.append(lines_bound(relaxation, known, MOST_ABOVE * known))
    return greatest(*bounds)


def greatest(*bounds: Bound) -> Bound:
    """The greatest of several bounds; of those that are as good the first, which stand by rank.

    The easier an argument is to explain, the further in front it stands.
    """
    most = max(bound.length for bound in bounds)
    return next(bound for bound in bounds if bound.length >= most - AS_GOOD_MM)

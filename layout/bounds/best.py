"""The best of all bounds."""

from __future__ import annotations

from layout.bounds.area import area_bound
from layout.bounds.bound import Bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import longest_bound
from layout.bounds.relaxation import Relaxation, relaxed
from layout.bounds.rows import rows_bound
from layout.bounds.slices import slices_bound
from layout.bounds.widths import AS_GOOD_MM, Weights
from layout.strip_problem import StripProblem


def best_bound(problem: StripProblem, closely: bool = False) -> Bound:
    """Return the greatest of the bounds of a strip problem."""
    return greatest(
        longest_bound(problem), fold_edge_bound(problem), relaxed_bound(relaxed(problem), closely)
    )


def relaxed_bound(relaxation: Relaxation, closely: bool = False) -> Bound:
    """Return the greatest of the bounds that follow from a relaxation.

    `closely` also solves a linear programme, which takes tens of milliseconds.
    """
    weights = Weights(relaxation)
    weighing = weights.best()
    bounds = [area_bound(relaxation), rows_bound(relaxation), weights.bound(weighing)]
    if closely:
        bounds.append(slices_bound(weights, weighing))
    return greatest(*bounds)


def greatest(*bounds: Bound) -> Bound:
    """The greatest of several bounds; of those that are as good the first, which stand by rank.

    The easier an argument is to explain, the further in front it stands.
    """
    most = max(bound.length for bound in bounds)
    return next(bound for bound in bounds if bound.length >= most - AS_GOOD_MM)

"""The best of all bounds."""

from __future__ import annotations

from layout.bounds.area import area_bound
from layout.bounds.bound import Bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import longest_bound
from layout.bounds.relaxation import relaxed
from layout.bounds.widths import widths_bound
from layout.strip_problem import StripProblem


def best_bound(problem: StripProblem) -> Bound:
    """Return the greatest of the bounds of a strip problem."""
    relaxation = relaxed(problem)
    bounds = [
        area_bound(relaxation),
        longest_bound(problem),
        fold_edge_bound(problem),
        widths_bound(relaxation),
    ]
    return max(bounds, key=lambda bound: bound.length)

"""Every bound, on every kind of spread, against the shortest of all layouts of small cases."""

from __future__ import annotations

import pytest

from layout.bounds.area import area_bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import longest_bound
from layout.bounds.rows import rows_bound
from layout.bounds.slicing.slices import slices_bound
from layout.bounds.terms.bound import Bound
from layout.bounds.terms.relaxation import relaxed, relaxed_copies
from layout.bounds.weighing.lines import lines_bound
from layout.bounds.weighing.widths import Weights
from layout.strip_problem import StripProblem
from tests.layout.small_cases import CELL, SPREADS, random_case, shortest

SEEDS = (*range(30), 126)
"""The last once had a programme whose prices were nothing but rounding."""


def every_bound(problem: StripProblem, copies: bool) -> list[Bound]:
    """All bounds of a problem, each by itself."""
    relaxation = relaxed_copies(problem) if copies else relaxed(problem)
    weights = Weights(relaxation)
    weighing = weights.best()
    return [
        area_bound(relaxation),
        longest_bound(problem),
        fold_edge_bound(problem),
        rows_bound(relaxation),
        weights.bound(weighing),
        slices_bound(weights, weighing),
        lines_bound(relaxation, 0.0, 20.0 * CELL),
    ]


@pytest.mark.parametrize("copies", [False, True], ids=["placements", "copies"])
@pytest.mark.parametrize("name", SPREADS)
def test_no_bound_is_above_the_shortest_layout(name: str, copies: bool) -> None:
    """Rectangles, corners, halves with a choice, pairs, turned pieces; with and without a gap."""
    reached = 0
    for seed in SEEDS:
        problem = random_case(name, seed)
        best = shortest(problem, copies)
        bounds = every_bound(problem, copies)
        for bound in bounds:
            assert bound.length <= best + 1e-6, (name, seed, bound, best)
        reached += max(bound.length for bound in bounds) > best - 0.1
    # They are not true for being weak.
    assert reached >= len(SEEDS) // 3

"""How short a layout could be at best, whatever the search finds."""

from __future__ import annotations

from layout.bounds.best import greatest, relaxed_bound
from layout.bounds.bound import Bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import longest_bound
from layout.bounds.relaxation import divisible_part, relaxed_copies
from plans.folds.job import FabricJob
from plans.folds.outcome import Variant
from plans.folds.variants import split_demands
from plans.problem.joins import MOST_PARTS, can_split
from plans.problem.problem_builder import Misfit


def bound_of(job: FabricJob, variant: Variant, closely: bool = False) -> Bound:
    """Best lower bound on the cloth length (mm) that the spread allows, whatever is paired.

    Strips lie in as many parts as the variant cuts them in; see `least_bound`.
    """
    wide = job.every_place(variant.demands, variant.built)
    return greatest(
        longest_bound(wide), fold_edge_bound(wide), relaxed_bound(relaxed_copies(wide), closely)
    )


def least_bound(job: FabricJob, variant: Variant) -> Bound:
    """The bound of a variant's spread however strips that may be joined are cut (mm).

    Their area counts as if they were whole, for joins add to it, and nothing else of them but the
    length of a part when they are in as many as they may be.
    """
    most = {
        demand.key: max(n for n in range(1, MOST_PARTS + 1) if n == 1 or can_split(demand, n))
        for demand in job.demands
    }
    if all(count == 1 for count in most.values()):
        return bound_of(job, variant, closely=True)
    solid = tuple(demand for demand in job.demands if most[demand.key] == 1)
    wide = job.every_place(solid, variant.built)
    divided = tuple(
        divisible_part(wide, demand.key, demand.wanted.total, demand.whole)
        for demand in job.demands
        if most[demand.key] > 1
    )
    relaxation = relaxed_copies(wide, divided)
    bounds = [fold_edge_bound(wide), relaxed_bound(relaxation, closely=True)]
    short = split_demands(job, most)
    parted = job.built(short, variant.sections, (0,) * len(short))
    if not isinstance(parted, Misfit):
        bounds.append(longest_bound(job.every_place(short, parted)))
    return greatest(*bounds)

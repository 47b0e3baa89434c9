"""How short a layout could be at best, whatever the search finds."""

from __future__ import annotations

from layout.bounds import Bound, BoundKind, area_bound, fold_edge_bound, longest_bound
from plans.folds.job import FabricJob
from plans.folds.outcome import Variant
from plans.folds.variants import split_demands
from plans.problem.joins import MOST_PARTS, can_split
from plans.problem.problem_builder import Misfit


def bound_of(job: FabricJob, variant: Variant) -> Bound:
    """Best lower bound on the cloth length (mm) that the spread allows, whatever is paired.

    Strips lie in as many parts as the variant cuts them in; see `least_bound`.
    """
    wide = job.every_place(variant.demands, variant.built)
    return max(
        Bound(BoundKind.AREA, area_bound(variant.built.problem)),
        Bound(BoundKind.LONGEST_PIECE, longest_bound(wide)),
        Bound(BoundKind.FOLD_EDGES, fold_edge_bound(wide)),
        key=lambda bound: bound.length,
    )


def least_bound(job: FabricJob, variant: Variant) -> Bound:
    """The bound of a variant's spread however strips that may be joined are cut (mm).

    Their area counts as if they were whole, for joins add to it; their length as if they were in
    as many parts as they may be.
    """
    most = {
        demand.key: max(n for n in range(1, MOST_PARTS + 1) if n == 1 or can_split(demand, n))
        for demand in job.demands
    }
    if all(count == 1 for count in most.values()):
        return bound_of(job, variant)
    short = split_demands(job, most)
    whole = job.built(job.demands, variant.sections, (0,) * len(job.demands))
    parted = job.built(short, variant.sections, (0,) * len(short))
    own = area_bound(variant.built.problem)
    area = own if isinstance(whole, Misfit) else min(own, area_bound(whole.problem))
    bounds = [Bound(BoundKind.AREA, area)]
    if not isinstance(parted, Misfit):
        wide = job.every_place(short, parted)
        bounds += [
            Bound(BoundKind.LONGEST_PIECE, longest_bound(wide)),
            Bound(BoundKind.FOLD_EDGES, fold_edge_bound(wide)),
        ]
    return max(bounds, key=lambda bound: bound.length)

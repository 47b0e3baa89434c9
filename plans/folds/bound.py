"""How short a layout could be at best, whatever the search finds."""

from __future__ import annotations

from layout.bounds import Bound, BoundKind, area_bound, fold_edge_bound, longest_bound
from plans.folds.job import FabricJob
from plans.folds.outcome import Variant


def bound_of(job: FabricJob, variant: Variant) -> Bound:
    """Best lower bound on the cloth length (mm) that the spread allows, whatever is paired."""
    wide = job.every_place(variant.demands, variant.built)
    return max(
        Bound(BoundKind.AREA, area_bound(variant.built.problem)),
        Bound(BoundKind.LONGEST_PIECE, longest_bound(wide)),
        Bound(BoundKind.FOLD_EDGES, fold_edge_bound(wide)),
        key=lambda bound: bound.length,
    )

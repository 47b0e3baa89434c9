"""How short a layout could be at best, whatever the search finds."""

from __future__ import annotations

from layout.bounds.best import Care, greatest, relaxed_bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import longest_bound
from layout.bounds.terms.bound import Bound
from layout.bounds.terms.relaxation import Relaxation, divisible_part, relaxed_copies
from layout.strip_problem import StripProblem
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import split_demands
from plans.problem.joins import MOST_PARTS, can_split
from plans.problem.problem_builder import Misfit

MOST_KNOWN = 100
"""Bounds that are kept, since a search asks for that of a variant several times."""

_KNOWN: dict[tuple[int, Care], tuple[Variant, FabricJob, Bound]] = {}
"""By identity: a variant holds thousands of points, and one that is kept lives on."""


def bound_of(job: FabricJob, variant: Variant, care: Care = Care.USUAL) -> Bound:
    """Best lower bound on the cloth length (mm) that the spread allows, whatever is paired.

    Strips lie in as many parts as the variant cuts them in; see `least_bound`.
    """
    known = _KNOWN.get((id(variant), care))
    if known is not None and known[0] is variant and known[1] is job:
        return known[2]
    wide = job.every_place(variant.demands, variant.built)
    longest = longest_bound(wide)
    beside = relaxed_bound(relaxed_copies(wide), care, longest.length)
    bound = greatest(longest, fold_edge_bound(wide), beside)
    if len(_KNOWN) >= MOST_KNOWN:
        _KNOWN.clear()
    _KNOWN[id(variant), care] = variant, job, bound
    return bound


def least_bound(job: FabricJob, variant: Variant) -> Bound:
    """The bound of a variant's spread however strips that may be joined are cut (mm).

    Their area counts as if they were whole, for joins add to it, and nothing else of them but the
    length of a part when they are in as many as they may be.
    """
    most = _most_parts(job)
    if all(count == 1 for count in most.values()):
        return bound_of(job, variant, Care.CLOSE)
    wide = _solid(job, variant, most)
    bounds = [fold_edge_bound(wide)]
    short = split_demands(job, most)
    parted = job.built(short, variant.sections, (0,) * len(short))
    if not isinstance(parted, Misfit):
        bounds.insert(0, longest_bound(job.every_place(short, parted)))
    known = max(bound.length for bound in bounds)
    return greatest(*bounds, relaxed_bound(_relaxation(job, wide, most), Care.CLOSE, known))


def proved_bound(job: FabricJob, result: FoldResult, seconds: float) -> Bound:
    """The same after a search for a proof that may take so many seconds.

    Raises
    ------
    NoProverError
        If OR-tools is not installed.
    """
    from layout.bounds.proving.arranged import arranged_bound

    known = least_bound(job, result.variant)
    most = _most_parts(job)
    relaxation = _relaxation(job, _solid(job, result.variant, most), most)
    return greatest(known, arranged_bound(relaxation, known.length, result.length, seconds))


def _most_parts(job: FabricJob) -> dict[str, int]:
    """In how many parts each demand may be cut."""
    return {
        demand.key: max(n for n in range(1, MOST_PARTS + 1) if n == 1 or can_split(demand, n))
        for demand in job.demands
    }


def _solid(job: FabricJob, variant: Variant, most: dict[str, int]) -> StripProblem:
    """What is never cut in parts, with every place that the spread offers it."""
    solid = tuple(demand for demand in job.demands if most[demand.key] == 1)
    return job.every_place(solid, variant.built)


def _relaxation(job: FabricJob, wide: StripProblem, most: dict[str, int]) -> Relaxation:
    """What all layouts need room for, in however many parts strips are cut."""
    divided = tuple(
        divisible_part(wide, demand.key, demand.wanted.total, demand.whole)
        for demand in job.demands
        if most[demand.key] > 1
    )
    return relaxed_copies(wide, divided)

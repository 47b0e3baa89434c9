"""How short a layout could be at best, whatever the search finds."""

from __future__ import annotations

import time
from contextlib import suppress

from layout.bounds.best import Care, greatest, relaxed_bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import longest_bound
from layout.bounds.terms.bound import Bound
from layout.bounds.terms.relaxation import Relaxation, divisible_part, relaxed_copies
from layout.bounds.weighing.widths import AS_GOOD_MM
from layout.effort import Effort
from layout.proofs.undisturbed import undisturbed
from layout.stop import ASKED_TO_END, heed
from layout.strip_problem import StripProblem
from layout.validation.separation import GAP_MM
from plans.errors import FaultError
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import split_demands
from plans.problem.demand import Demand
from plans.problem.joins import MOST_PARTS, can_split
from plans.problem.problem_builder import Misfit

WRONG_MM = 0.1
"""A bound that exceeds a length by more, and by what gaps may be short, is a fault of ours."""

MOST_KNOWN = 100
"""Bounds that are kept, since a search asks for that of a variant several times."""

NEAR_SHARE = 0.001
"""A layout that is longer than a searched bound by no more than this share is short enough: the
bound is that of outlines that are a little smaller, so that it can seldom be met."""

BRANCHES = {Care.SEARCHED: 5_000, Care.PROVED: 30_000}
"""Branches of a search through places; where it proves much it mostly needs few."""

MOST_ABOVE = 3.0
"""Such a search expects to prove no more than so many times what is known."""

PLACES_SHARE = 0.75
"""Share of the time for a proof in which places are ruled out; it mostly proves more."""

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
    if care in BRANCHES:
        bound = greatest(bound, _placed(job, variant, variant.demands, bound, BRANCHES[care]))
    if len(_KNOWN) >= MOST_KNOWN:
        _KNOWN.clear()
    _KNOWN[id(variant), care] = variant, job, bound
    return bound


def care_for(effort: Effort) -> Care:
    """How much work a bound is worth beside a search of this effort."""
    if effort.evaluations >= Effort.THOROUGH.evaluations:
        return Care.PROVED
    if effort.evaluations >= Effort.BRISK.evaluations:
        return Care.SEARCHED
    return Care.USUAL if effort.placements >= Effort.QUICK.placements else Care.GLANCE


def short_enough(job: FabricJob, variant: Variant, care: Care) -> float:
    """Cloth length (mm) that a search of a variant need not go below.

    Nothing shorter buys less, by what is known in little time; or hardly anything shorter exists.
    """
    known = bound_of(job, variant, min(care, Care.CLOSE, key=lambda one: one.value))
    enough = job.same_purchase(known.length)
    if care not in BRANCHES:
        return enough
    return max(enough, bound_of(job, variant, care).length * (1.0 + NEAR_SHARE))


def least_bound(job: FabricJob, variant: Variant, care: Care = Care.CLOSE) -> Bound:
    """The bound of a variant's spread however strips that may be joined are cut (mm).

    Their area counts as if they were whole, for joins add to it, and nothing else of them but the
    length of a part when they are in as many as they may be.
    """
    most = _most_parts(job)
    if all(count == 1 for count in most.values()):
        return bound_of(job, variant, care)
    wide = _solid(job, variant, most)
    bounds = [fold_edge_bound(wide)]
    short = split_demands(job, most)
    parted = job.built(short, variant.sections, (0,) * len(short))
    if not isinstance(parted, Misfit):
        bounds.insert(0, longest_bound(job.every_place(short, parted)))
    known = max(bound.length for bound in bounds)
    best = greatest(*bounds, relaxed_bound(_relaxation(job, wide, most), Care.CLOSE, known))
    if care in BRANCHES:
        solid = _solid_demands(job, most)
        best = greatest(best, _placed(job, variant, solid, best, BRANCHES[care]))
    return best


def require_no_more(job: FabricJob, result: FoldResult, bound: Bound) -> None:
    """Refuse a bound that exceeds a layout which was found.

    Raises
    ------
    FaultError
    """
    # The validator passes gaps that are short by a hair, of which a bound knows nothing.
    hairs = GAP_MM * (len(result.layout.placements) + 1)
    if bound.length > result.length + WRONG_MM + hairs:
        raise FaultError(f"the bound of '{job.fabric.name}' exceeds the layout found")


def proved_bound(job: FabricJob, result: FoldResult, seconds: float) -> Bound:
    """The same after a search for a proof that may take so many seconds.

    An interrupt ends the proof, not the plan: what is proved by then is kept.
    """
    found = [least_bound(job, result.variant)]
    with suppress(KeyboardInterrupt):
        _prove(job, result, seconds, found)
    return greatest(*found)


def _prove(job: FabricJob, result: FoldResult, seconds: float, found: list[Bound]) -> None:
    """Add to the bounds found.

    Places are ruled out; where OR-tools is installed, orders along the cloth are, too.
    """
    from layout.bounds.proving.arranged import arranged_bound, has_prover

    heed()
    began = time.monotonic()
    both = has_prover()
    until = began + (PLACES_SHARE * seconds if both else seconds)
    most = _most_parts(job)
    pieces = _copies(job, result.variant, _solid_demands(job, most))

    def is_late() -> bool:
        return time.monotonic() >= until or ASKED_TO_END.is_set()

    def work() -> Bound:
        from layout.proofs.placed import placed_bound

        return placed_bound(pieces, result.length, stop=is_late, on_better=found.append)

    undisturbed(work)
    best = greatest(*found)
    left = seconds - (time.monotonic() - began)
    if not both or left <= 0.0 or best.length >= result.length - AS_GOOD_MM:
        return
    relaxation = _relaxation(job, _solid(job, result.variant, most), most)
    found.append(arranged_bound(relaxation, best.length, result.length, left))


def _placed(
    job: FabricJob, variant: Variant, demands: tuple[Demand, ...], known: Bound, branches: int
) -> Bound:
    """What a search through places proves in little time, much the same on every machine."""
    pieces = _copies(job, variant, demands)

    def work() -> Bound:
        from layout.proofs.placed import placed_bound

        return placed_bound(pieces, MOST_ABOVE * known.length, branches)

    return undisturbed(work)


def _copies(job: FabricJob, variant: Variant, demands: tuple[Demand, ...]) -> StripProblem:
    """The problem of copies that lie anywhere; in single layers each has its hand."""
    zones = (zone for section in variant.sections for zone in section.spread.zones)
    if all(len(zone.plies) == 1 for zone in zones):
        built = job.built(demands, variant.sections, (0,) * len(demands))
        if not isinstance(built, Misfit):
            return built.problem
    return job.every_place(demands, variant.built)


def _most_parts(job: FabricJob) -> dict[str, int]:
    """In how many parts each demand may be cut."""
    return {
        demand.key: max(n for n in range(1, MOST_PARTS + 1) if n == 1 or can_split(demand, n))
        for demand in job.demands
    }


def _solid(job: FabricJob, variant: Variant, most: dict[str, int]) -> StripProblem:
    """What is never cut in parts, with every place that the spread offers it."""
    return job.every_place(_solid_demands(job, most), variant.built)


def _solid_demands(job: FabricJob, most: dict[str, int]) -> tuple[Demand, ...]:
    return tuple(demand for demand in job.demands if most[demand.key] == 1)


def _relaxation(job: FabricJob, wide: StripProblem, most: dict[str, int]) -> Relaxation:
    """What all layouts need room for, in however many parts strips are cut."""
    divided = tuple(
        divisible_part(wide, demand.key, demand.wanted.total, demand.whole)
        for demand in job.demands
        if most[demand.key] > 1
    )
    return relaxed_copies(wide, divided)

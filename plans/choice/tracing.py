"""Less to trace for the same purchase: halves on a fold, pairs cut two at a time. Lengths in mm.

A half that lies opened out beside a fold is traced whole, a pair cut singly is traced twice. Where
another layout in the same fold buys the same, the one with less outline to trace is worth more than
the shorter one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from fabrics.buying import CLOSE_MM, longest_however_sold
from layout.bounds.best import best_bound
from layout.effort import Effort
from layout.layout import EndedBy
from layout.solver import NoLayoutError, solve
from layout.strip_problem import StripProblem
from pieces.lengths import EXCESS_MM
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Variant
from plans.folds.traced import outline_traced, tracing
from plans.problem.problem_builder import Misfit

MOST_TRIES = 3
"""Other layouts that are looked for, those with the least to trace first."""

LEAST_SPARED_MM = 100.0
"""So much less outline at least makes another layout worth drawing."""


def traced_for(result: FoldResult) -> float:
    """The same for a result."""
    return tracing(result.built.problem, result.layout)


def longest_drawn(job: FabricJob, result: FoldResult) -> float:
    """How long (mm) a layout may be that is drawn instead of a result: it buys no more."""
    most = longest_however_sold(result.length + job.beyond, job.fabric, job.margin) - job.beyond
    # A little is left of the purchase, as much as a hand needs to cut safely.
    return max(result.length, most - CLOSE_MM)


def with_less_tracing(job: FabricJob, result: FoldResult, effort: Effort) -> FoldResult:
    """The layout in the same fold with the least to trace that is found among those that buy alike.

    The exact length stays that of the shortest layout; what is spared is noted (`spared`).
    Interrupted, it returns the best so far, marked.
    """
    limit = longest_drawn(job, result)
    best = _of_the_rival(result, limit)
    tries = 0
    for variant, problem, floor in _candidates(job, result):
        if tries >= MOST_TRIES or floor > traced_for(best) - LEAST_SPARED_MM:
            break
        if best_bound(problem).length > limit:
            continue
        tries += 1
        try:
            layout = solve(problem, effort, job.seed, target=limit)
        except NoLayoutError:
            continue
        except KeyboardInterrupt:
            layout = best.layout.with_ending(EndedBy.INTERRUPT)
            return _drawn(job, result, replace(best, layout=layout))
        found = variant.laid(job, layout.with_ending(best.layout.ended_by))
        if _is_less(found, best, limit) and found.is_sound:
            best = found
        if layout.ended_by is EndedBy.INTERRUPT:
            layout = best.layout.with_ending(EndedBy.INTERRUPT)
            return _drawn(job, result, replace(best, layout=layout))
    return _drawn(job, result, best)


def _of_the_rival(result: FoldResult, limit: float) -> FoldResult:
    """A result or its rival, if that buys the same with less to trace."""
    rival = result.rival
    if rival is None or not _is_less(rival, result, limit):
        return result
    if rival.joined != result.joined or rival.sections != result.sections:
        # Its length and its bound would be those of another spread.
        return result
    return rival if rival.is_sound else result


def _is_less(found: FoldResult, best: FoldResult, limit: float) -> bool:
    """Whether there is clearly less to trace, on no more cloth than a limit (mm)."""
    short = found.laid <= limit + EXCESS_MM
    return short and traced_for(found) <= traced_for(best) - LEAST_SPARED_MM


def _drawn(job: FabricJob, result: FoldResult, drawn: FoldResult) -> FoldResult:
    """The result with another of its layouts drawn: length and purchase are the shortest's."""
    if drawn.layout is result.layout:
        return result
    length = min(result.length, drawn.laid)
    spared = max(0.0, traced_for(result) - traced_for(drawn))
    return replace(drawn, length=length, bought=job.bought(length), spared=spared)


def _candidates(
    job: FabricJob, result: FoldResult
) -> Iterator[tuple[Variant, StripProblem, float]]:
    """Variants of the same spread, the problem to search in, and the least that it has to trace.

    More is cut two at a time, or halves lie on folds only, where they also may lie opened out.
    """
    found: list[tuple[Variant, StripProblem, float]] = []
    units = sum(item.demand for item in result.built.problem.items)
    for pairing in job.pairings(result.demands, result.sections):
        built = result.built
        if pairing != built.pairing:
            other = job.built(result.demands, result.sections, pairing)
            if isinstance(other, Misfit):
                continue
            built = other
        variant = replace(result.variant, built=built)
        folded = _on_folds_only(built.problem)
        if folded is not None:
            found.append((variant, folded, _least(folded)))
        if sum(item.demand for item in built.problem.items) < units:
            found.append((variant, built.problem, _least(built.problem)))
    yield from sorted(found, key=lambda one: one[2])


def _on_folds_only(problem: StripProblem) -> StripProblem | None:
    """The problem without opened-out halves; None if there are none to leave out.

    Slots on folds come first, so that a layout of it is one of the whole problem.
    """
    items = []
    for item in problem.items:
        on_fold = [k for k, slot in enumerate(item.slots) if slot.fold_edge is not None]
        few = item.slots[: len(on_fold)] if on_fold == list(range(len(on_fold))) else ()
        items.append(replace(item, slots=few) if few else item)
    return replace(problem, items=tuple(items)) if tuple(items) != problem.items else None


def _least(problem: StripProblem) -> float:
    """Least outline (mm) that any layout of a problem has to trace."""
    return sum(
        item.demand * min(outline_traced(item, slot) for slot in item.slots)
        for item in problem.items
    )

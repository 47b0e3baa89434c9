"""Choosing the fold: the simplest spread within one cutting step of the shortest purchase."""

from __future__ import annotations

from fabrics.buying import within_one_step
from fabrics.spread import Fold
from pieces.lengths import EXCESS_MM
from plans.choice.tracing import traced_for
from plans.folds.job import FabricJob
from plans.folds.on_hand import fits
from plans.folds.outcome import FoldResult

LEAST_SPARED = 0.15
"""Share of the tracing of a single layer that a fold must spare to be worth folding."""


def _real(results: dict[Fold, FoldResult]) -> dict[Fold, FoldResult]:
    """Leave out combined folds of which only one section is used: that is the other fold."""
    real = {
        fold: result for fold, result in results.items() if not fold.sectioned or result.combines
    }
    return real or results


def shortest(results: dict[Fold, FoldResult]) -> Fold:
    """Fold with the least purchase; of equals the simplest."""
    real = _real(results)
    return min(real, key=lambda fold: (real[fold].bought, fold.rank))


def choose(results: dict[Fold, FoldResult], job: FabricJob) -> Fold:
    """Simplest fold whose purchase is within one cutting step of the shortest.

    Opening cloth out saves length but every pair is then traced and cut twice, so a step of
    cloth is worth less than the work. Where the cloth is on hand, only folds that fit on it count.
    """
    enough = {fold: result for fold, result in results.items() if fits(job, result)}
    results = enough or results
    least = results[shortest(results)].bought
    fair = [
        fold
        for fold, result in _real(results).items()
        if within_one_step(result.bought, least, job.fabric)
    ]
    # A fold that spares hardly any tracing is no less work than cloth laid open.
    fair = [fold for fold in fair if _spares_work(results, fold)] or fair
    simplest = min(fair, key=lambda fold: _work(results, fold))
    # Of folds that buy no more, one with clearly less to trace is less work than a simpler one.
    same = [fold for fold in fair if results[fold].bought <= results[simplest].bought + EXCESS_MM]
    easy = [fold for fold in same if _clearly_less(results[fold], results[simplest])]
    return min(easy, key=lambda fold: traced_for(results[fold])) if easy else simplest


def _work(results: dict[Fold, FoldResult], fold: Fold) -> tuple[float, ...]:
    """What is better, the least first: a simple fold, less bought, less to trace, less length."""
    result = results[fold]
    return fold.rank, result.bought, traced_for(result), result.length


def _spares_work(results: dict[Fold, FoldResult], fold: Fold) -> bool:
    """Whether a fold needs clearly less tracing than the single layer does."""
    single = results.get(Fold.OPEN)
    if single is None or fold is Fold.OPEN or results[fold].bought < single.bought:
        return True
    return _clearly_less(results[fold], single)


def _clearly_less(one: FoldResult, other: FoldResult) -> bool:
    """Whether one result has so much less to trace than another that it is worth folding."""
    return traced_for(one) <= (1.0 - LEAST_SPARED) * traced_for(other)

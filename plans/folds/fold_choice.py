"""Choosing the fold: the simplest spread within one cutting step of the shortest purchase."""

from __future__ import annotations

from fabrics.buying import within_one_step
from fabrics.spread import Fold
from plans.folds.job import FabricJob
from plans.folds.on_hand import fits
from plans.folds.outcome import FoldResult
from plans.problem.spread_options import SIMPLICITY


def _real(results: dict[Fold, FoldResult]) -> dict[Fold, FoldResult]:
    """Leave out combined folds of which only one section is used: that is the other fold."""
    real = {
        fold: result
        for fold, result in results.items()
        if fold is not Fold.SECTIONED or result.combines
    }
    return real or results


def shortest(results: dict[Fold, FoldResult]) -> Fold:
    """Fold with the least purchase; of equals the simplest."""
    real = _real(results)
    return min(real, key=lambda fold: (real[fold].bought, simplicity(fold)))


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
    return min(
        fair, key=lambda fold: (simplicity(fold), results[fold].bought, results[fold].length)
    )


def simplicity(fold: Fold) -> int:
    """Rank of a fold from the simplest (0)."""
    return next(rank for rank, group in enumerate(SIMPLICITY) if fold in group)

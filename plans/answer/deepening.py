"""Which folds of a fabric are searched on in once all of them were screened, and their search."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor

from fabrics.spread import Fold
from layout.layout import EndedBy
from plans.choice.fold_choice import choose, shortest
from plans.folds.fold_search import OnLayout, deepen, open_from
from plans.folds.job import FabricJob
from plans.folds.levels import Level
from plans.folds.outcome import FoldResult, Outcome

OnFold = Callable[[Fold], None]
"""Told of each fold that is searched on in."""

DEEPENED = 2
"""Folds that are searched on in."""


def deepen_folds(
    job: FabricJob,
    results: dict[Fold, Outcome],
    level: Level,
    executor: Executor | None = None,
    on_fold: OnFold | None = None,
    on_layout: OnLayout | None = None,
) -> bool:
    """Search on in the folds that matter; return whether the user interrupted.

    Parameters
    ----------
    job, results : FabricJob, dict of Fold to Outcome
        What screening gave; what is found takes its place.
    level : Level
        Without a refinement nothing is searched on.
    executor : Executor, optional
    on_fold, on_layout : callable, optional
    """
    offer_open(job, results)
    if level.refine is None:
        return False
    found = {f: r for f, r in results.items() if isinstance(r, FoldResult)}
    wanted = dict.fromkeys((choose(found, job), shortest(found)))
    rest = sorted((f for f in found if f not in wanted), key=lambda f: found[f].length)
    for fold in [*wanted, *rest][:DEEPENED]:
        if on_fold is not None:
            on_fold(fold)
        result = deepen(job, found[fold], level.refine, executor, on_layout)
        results[fold] = result
        if result.layout.ended_by is EndedBy.INTERRUPT:
            return True
    offer_open(job, results)
    return False


def offer_open(job: FabricJob, results: dict[Fold, Outcome]) -> None:
    """Open is never longer than a fold: each folded layout, opened out, is one."""
    single = results.get(Fold.OPEN)
    if not isinstance(single, FoldResult):
        return
    for fold, outcome in results.items():
        if fold is not Fold.OPEN and isinstance(outcome, FoldResult):
            single = open_from(job, single, outcome)
    results[Fold.OPEN] = single

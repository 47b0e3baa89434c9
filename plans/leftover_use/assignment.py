"""Which pieces go on which leftover: a search, judged by what the rest still needs.

Leftovers are filled one after another in many orders, with pieces valued differently each time, and
the rest is laid on the cloth to be bought at a glance. What counts: less to buy, then fewer
leftovers cut up, then less length.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fabrics.spread import Fold
from fabrics.stash.records import LeftoverRecord
from layout.effort import Effort
from plans.folds.fold_search import screen
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult
from plans.leftover_use.laying import LeftoverLay, lay_on
from plans.problem.demand import Demand

ROUNDS = {"quick": 8, "normal": 24, "thorough": 96}
"""Orders tried, by effort."""

SKIPPED = 0.2
"""How often a leftover is left alone in a round."""

Rank = tuple[float, int, float]


@dataclass(frozen=True)
class Assignment:
    """Leftovers with what lies on them, what is still wanted, and how good that is."""

    lays: tuple[LeftoverLay, ...]
    rest: tuple[Demand, ...]
    rank: Rank


def assign(
    job: FabricJob, leftovers: list[LeftoverRecord], folds: tuple[Fold, ...], effort: str
) -> Assignment | None:
    """Search for the best use of leftovers, or None if nothing goes on any.

    Parameters
    ----------
    job : FabricJob
    leftovers : list of LeftoverRecord
        Of the job's fabric.
    folds : tuple of Fold
        Folds in which the rest is judged.
    effort : str
    """
    rng = np.random.default_rng(job.seed)
    largest_first = sorted(leftovers, key=lambda one: (-one.region.area, one.tag))
    best: Assignment | None = None
    for number in range(ROUNDS[effort]):
        worth: dict[str, float] = {}
        order = list(largest_first)
        if number == 1:
            order.reverse()
        if number > 1:
            order = [order[k] for k in rng.permutation(len(order))]
            if len(order) > 1:
                order = [one for one in order if rng.random() > SKIPPED] or order[:1]
            worth = {d.key: d.area * float(rng.uniform(0.2, 1.0)) for d in job.demands}
        tried = _filled(job, order, worth, folds)
        if tried is not None and (best is None or tried.rank < best.rank):
            best = tried
    return None if best is None else _with_fewer(job, best, folds)


def _filled(
    job: FabricJob, order: list[LeftoverRecord], worth: dict[str, float], folds: tuple[Fold, ...]
) -> Assignment | None:
    lays: list[LeftoverLay] = []
    rest = job.demands
    for one in order:
        laid = lay_on(one, rest, job.fabric, job.gap, Effort.GLANCE, job.seed, worth)
        if laid.copies:
            lays.append(laid)
            rest = laid.remaining
    return _judged(job, lays, rest, folds) if lays else None


def _judged(
    job: FabricJob, lays: list[LeftoverLay], rest: tuple[Demand, ...], folds: tuple[Fold, ...]
) -> Assignment | None:
    if not rest:
        return Assignment(tuple(lays), rest, (0.0, len(lays), 0.0))
    found = [
        outcome
        for fold in folds
        if isinstance(
            outcome := screen(job_for_rest(job, rest), fold, Effort.GLANCE, Effort.GLANCE),
            FoldResult,
        )
    ]
    if not found:
        return None
    bought, length = min((outcome.bought, outcome.length) for outcome in found)
    return Assignment(tuple(lays), rest, (bought, len(lays), length))


def job_for_rest(job: FabricJob, rest: tuple[Demand, ...]) -> FabricJob:
    """The job of what is still wanted; counts are no longer those of whole garments."""
    return replace(job, demands=rest, makes=1)


def _with_fewer(job: FabricJob, best: Assignment, folds: tuple[Fold, ...]) -> Assignment:
    """Leave alone each leftover without which no more is bought."""
    for lay in sorted(best.lays, key=lambda lay: sum(1 for _ in lay.copies)):
        if len(best.lays) < 2:
            break
        order = [other.leftover for other in best.lays if other is not lay]
        tried = _filled(job, order, {}, folds)
        if tried is not None and tried.rank < best.rank:
            best = tried
    return best

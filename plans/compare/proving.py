"""Proofs for the cells of a comparison: that no layout on cloth spread so buys less."""

from __future__ import annotations

from layout.bounds.best import Care
from layout.effort import Effort
from plans.folds.bound import care_for, least_bound, require_no_more
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult


def care_of(effort: Effort, searched: bool) -> Care:
    """How much work a proof is worth in a cell, beside searches of this effort.

    One that was `searched` on in is told as carefully as a plan of that effort would be.
    """
    return Care.PROVED if searched else care_for(effort)


def proof_of(job: FabricJob, result: FoldResult, care: Care) -> float:
    """Length (mm of cloth, without its ends) that no layout spread as a result is shorter than.

    Raises
    ------
    FaultError
        If it exceeds the layout found: a fault of ours.
    """
    bound = least_bound(job, result.variant, care)
    require_no_more(job, result, bound)
    return bound.length

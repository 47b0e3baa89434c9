"""Trying one idea: it is planned at quick effort as `plan` would, and validated."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import EndedBy
from plans.errors import FaultError
from plans.folds.fold_search import deepen, open_from, screen
from plans.folds.job import FabricJob
from plans.folds.on_hand import fits, needed
from plans.folds.outcome import FoldResult
from plans.rescue.changes.change import Attempt, Change
from plans.rescue.changes.ideas import Idea
from plans.rescue.changes.recutting import FromOtherCloth

MOST_COPIES = 80
"""Copies up to which a layout is searched on."""


@dataclass(frozen=True)
class Trial:
    """What came of an idea. Lengths in mm of cloth in its own state.

    Attributes
    ----------
    idea : Idea
    changes : tuple of Change
        What was changed: the least step that makes it fit, or the greatest that there is.
    fold : Fold or None
        Fold of the shortest layout; None where there is none at all.
    needed : float
        What that takes off the cloth on hand; infinite where there is no layout.
    fits : bool
    joined : tuple of (str, int)
        Strips that the planner then cuts in parts, being allowed to, and in how many.
    longer : bool
        Whether it was searched for longer than quick effort does.
    elsewhere : float
        Length of cloth of the same width, not yet washed, that a piece from another cloth takes.
    """

    idea: Idea
    changes: tuple[Change, ...]
    fold: Fold | None
    needed: float
    fits: bool
    joined: tuple[tuple[str, int], ...] = ()
    elsewhere: float = 0.0
    longer: bool = False


def plans_needed(idea: Idea, folds: int) -> int:
    """Most layouts that trying an idea takes, in so many folds."""
    steps = len(idea.steps)
    halvings = math.ceil(math.log2(steps)) if steps > 1 else 0
    return (1 + halvings) * folds


def try_idea(start: Attempt, idea: Idea) -> Trial:
    """Plan the greatest step of an idea; if that fits, halve down to the least that does.

    Raises
    ------
    FaultError
        If the validator refuses a layout: a fault of ours.
    """
    tried: dict[int, FoldResult | None] = {}

    def result(step: int) -> FoldResult | None:
        if step not in tried:
            tried[step] = best_of(_changed(start, idea.changes(step)))
        return tried[step]

    def enough(step: int) -> bool:
        attempt, found = _changed(start, idea.changes(step)), result(step)
        return attempt is not None and found is not None and fits(attempt.job, found)

    last = len(idea.steps) - 1
    if enough(last):
        low, high = -1, last
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if enough(middle) else (middle, high)
        last = high
    return _report(start, idea, last, result(last))


def best_of(attempt: Attempt | None) -> FoldResult | None:
    """Plan an attempt in each of its folds and return the shortest layout, validated."""
    if attempt is None:
        return None
    job = attempt.job
    found: dict[Fold, FoldResult] = {}
    for fold in attempt.folds:
        outcome = screen(job, fold, Effort.QUICK, Effort.GLANCE)
        if isinstance(outcome, FoldResult):
            found[fold] = _unless_stopped(outcome)
    single = found.get(Fold.OPEN)
    if single is not None:
        # Open is never longer than a fold.
        for fold, outcome in found.items():
            if fold is not Fold.OPEN:
                single = open_from(job, single, outcome)
        found[Fold.OPEN] = single
    known = [] if attempt.known is None else [attempt.known]
    if not found and not known:
        return None
    best = min(
        [*known, *found.values()], key=lambda result: (needed(job, result), result.fold.value)
    )
    if attempt.longer and not fits(job, best):
        best = _searched_on(job, best)
    if not best.is_sound:
        raise FaultError(f"a layout of '{job.fabric.name}' ({best.fold.value}) was refused")
    return best


def _searched_on(job: FabricJob, best: FoldResult) -> FoldResult:
    """Search on until it fits, if it can; with many pieces that is too much work here."""
    if sum(demand.wanted.total for demand in job.demands) > MOST_COPIES:
        return best
    # Where a purchase is all that there is, the search is content as soon as that is enough.
    content = replace(job, fabric=replace(job.fabric, step=job.fabric.on_hand or job.fabric.step))
    return _unless_stopped(deepen(content, best, Effort.BRISK))


def _unless_stopped(result: FoldResult) -> FoldResult:
    """Pass on that the user stopped a search, which keeps what it has."""
    if result.layout.ended_by is EndedBy.INTERRUPT:
        raise KeyboardInterrupt
    return result


def _changed(start: Attempt, changes: tuple[Change, ...]) -> Attempt | None:
    attempt: Attempt | None = start
    for change in changes:
        attempt = None if attempt is None else change.applied(attempt)
    return attempt


def _report(start: Attempt, idea: Idea, step: int, found: FoldResult | None) -> Trial:
    changes = idea.changes(step)
    attempt = _changed(start, changes)
    if attempt is None or found is None:
        return Trial(idea, changes, None, math.inf, False)
    elsewhere = sum(
        _elsewhere(start.job, change.key)
        for change in changes
        if isinstance(change, FromOtherCloth)
    )
    return Trial(
        idea=idea,
        changes=changes,
        fold=found.fold,
        needed=needed(attempt.job, found),
        fits=fits(attempt.job, found),
        joined=tuple((key, parts) for key, parts, _ in found.joined),
        elsewhere=elsewhere,
        longer=attempt.longer,
    )


def _elsewhere(job: FabricJob, key: str) -> float:
    """How much of a like cloth a piece takes that is cut from another one."""
    fabric = replace(job.fabric, on_hand=None, bolt="", flaws=())
    alone = replace(
        job, fabric=fabric, demands=tuple(d for d in job.demands if d.key == key), margin=0.0
    )
    found = best_of(Attempt(alone, (Fold.LENGTHWISE, Fold.OPEN)))
    return 0.0 if found is None else needed(alone, found)

"""From a shortage to what would rescue it: single changes, then two together, all planned."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from fabrics.buying import off_the_bolt
from fabrics.spread import Fold
from pieces.lengths import EXCESS_MM
from plans.folds.on_hand import Shortage, needed
from plans.rescue.changes.change import Attempt, Intrusion
from plans.rescue.changes.ideas import Idea, ideas_for, pairs_of
from plans.rescue.changes.laying import (
    AsPictured,
    LongerSearch,
    NoMargin,
    OtherArrangement,
    SmallerEnds,
)
from plans.rescue.ranking import by_saving, ranked, worth_combining
from plans.rescue.trial import Trial, plans_needed, try_idea
from plans.rescue.what_fits import Lain, lay_what_fits
from plans.workers.screening import Screening, screening_pool

MOST_PLANS = 150
"""Layouts that are tried for one fabric; fewer where there are many pieces."""

USUAL_COPIES = 30
"""Copies up to which all of them are tried; above, the same work buys fewer layouts."""

COMBINED = 4
"""Single ideas, those that save most, that are combined with every other one."""

SEARCHED_ON = 3
"""The ideas nearest to being enough that are searched for longer, where none is."""

FOLDS = 2
"""Folds, besides the single layer, in which every idea is planned: the shortest ones."""

MOST_PAIRS = 16
"""Pairs of ideas that are tried."""

WORTH_MM = 10.0
"""Combined folds are tried with every idea only where they save so much."""

OnStep = Callable[[int, int], None]
"""Told how many ideas of how many are tried."""


@dataclass(frozen=True)
class Rescue:
    """What would help, ranked; what fits as it is; and what was not tried.

    `before` is what the unchanged garment takes at least, mm, however long it was searched for.
    `untried` counts ideas left out to bound the work, or because it was `interrupted`; `longer`
    tells whether the nearest ones were searched for longer.
    """

    shortage: Shortage
    trials: tuple[Trial, ...]
    lain: Lain | None
    before: float
    tried: int
    untried: int
    interrupted: bool
    longer: bool = False

    @property
    def fitting(self) -> tuple[Trial, ...]:
        """Ideas that are enough."""
        return tuple(trial for trial in self.trials if trial.fits)


@dataclass(frozen=True)
class _Tries:
    """What tries ideas, and who hears of each."""

    run: Screening[Trial]
    on_step: OnStep | None


def rescue(
    shortage: Shortage, on_step: OnStep | None = None, executor: Executor | None = None
) -> Rescue:
    """Work out what would help where there is too little cloth.

    The same shortage gives the same answer, however many workers there are. Interrupted (Ctrl-C),
    it returns what was tried.

    Raises
    ------
    FaultError
        If the validator refuses a layout: a fault of ours.
    """
    start = Attempt(shortage.job, _folds(shortage), known=shortage.best)
    ideas = ideas_for(shortage)
    budget = _budget(shortage)
    lain: Lain | None = None
    trials: list[Trial] = []
    both: list[Trial] = []
    interrupted = False
    try:
        lain = lay_what_fits(shortage)
        # The same workers for all of it: others would load the compiled kernels again.
        with screening_pool(len(ideas), executor) as run:
            tries = _Tries(run, on_step)
            trials, interrupted = _try_all(start, _within(ideas, start, budget), tries)
            if (pictured := _pictured(shortage, lain, trials)) is not None:
                ideas.append(pictured.idea)
                trials.append(pictured)
            if not interrupted and not _enough(trials):
                interrupted = _search_on(start, trials, tries)
            if not interrupted and not _enough(trials):
                saving = worth_combining(trials, _least_unchanged(shortage, trials), COMBINED)
                pairs = pairs_of(saving, [trial.idea for trial in by_saving(trials)])
                ideas += pairs
                both, interrupted = _try_all(start, pairs[: min(MOST_PAIRS, budget)], tries)
                if not interrupted and not _enough(both):
                    interrupted = _search_on(start, both, tries)
            if interrupted:
                # What is still at work is ended with its workers.
                raise KeyboardInterrupt
    except KeyboardInterrupt:
        interrupted = True
    before = _least_unchanged(shortage, trials)
    trials += both
    untried = len(ideas) - len(trials)
    told = tuple(ranked(trials, needed(shortage.job, shortage.best), before))
    longer = any(trial.longer for trial in trials)
    return Rescue(shortage, told, lain, before, len(trials), untried, interrupted, longer)


def _least_unchanged(shortage: Shortage, trials: list[Trial]) -> float:
    """What the garment takes at least when it is only searched for otherwise, mm.

    A layout that was found with less at the ends or without a margin counts with them.
    """
    job = shortage.job
    kept = job.fabric.kept_along
    least = needed(job, shortage.best)
    for trial in trials:
        match trial.changes:
            case (LongerSearch() | OtherArrangement(),):
                least = min(least, trial.needed)
            case (SmallerEnds() as change,):
                least = min(least, trial.needed + (change.before - change.ends) / kept)
            case (NoMargin() as change,):
                least = min(least, trial.needed + change.before)
            case _:
                pass
    return least


def _enough(trials: list[Trial]) -> bool:
    return any(trial.fits for trial in trials)


def _search_on(start: Attempt, trials: list[Trial], tries: _Tries) -> bool:
    """Search longer on the ideas that are nearest to being enough; return if it was stopped."""
    near = [k for k in range(len(trials)) if not isinstance(trials[k].changes[0], LongerSearch)]
    near = sorted(near, key=lambda k: (trials[k].needed, k))[:SEARCHED_ON]
    longer = replace(start, longer=True)
    found, interrupted = _try_all(longer, [trials[k].idea for k in near], tries)
    for trial in found:
        index = next(k for k in near if trials[k].idea == trial.idea)
        trials[index] = min(trials[index], trial, key=lambda one: (not one.fits, one.needed))
    return interrupted


def _pictured(shortage: Shortage, lain: Lain | None, trials: list[Trial]) -> Trial | None:
    """The picture as an idea, where all fits on it and no single layer that was planned does."""
    if lain is None or lain.entry is None or lain.left_out:
        return None
    if any(
        t.fits and t.idea.intrusion is Intrusion.NOTHING and t.fold is Fold.OPEN for t in trials
    ):
        return None
    job = shortage.job
    idea = Idea((AsPictured(),))
    length = off_the_bolt(lain.entry.length, job.fabric, job.margin)
    return Trial(
        idea, idea.steps, Fold.OPEN, length, length <= shortage.on_hand + EXCESS_MM, lain.joined
    )


def _try_all(start: Attempt, ideas: list[Idea], tries: _Tries) -> tuple[list[Trial], bool]:
    """Try ideas over the cores; return what was finished, in their order, and if it was stopped."""
    done: dict[int, Trial] = {}
    interrupted = False
    try:
        for index, trial in tries.run(try_idea, [(k, (start, one)) for k, one in enumerate(ideas)]):
            done[index] = trial
            if tries.on_step is not None:
                tries.on_step(len(done), len(ideas))
    except KeyboardInterrupt:
        interrupted = True
    return [done[index] for index in sorted(done)], interrupted


def _folds(shortage: Shortage) -> tuple[Fold, ...]:
    """The fold asked for; else the shortest ones and the single layer."""
    if shortage.order.fold != "auto":
        return (Fold.named(shortage.order.fold),)
    by_need = sorted(
        shortage.results,
        key=lambda result: (round(needed(shortage.job, result)), result.fold.rank),
    )
    # Combined folds take four times the work of any other, and often use one section only.
    others = [result for result in by_need if not result.fold.sectioned]
    if others and needed(shortage.job, others[0]) < needed(shortage.job, by_need[0]) + WORTH_MM:
        by_need = others
    folded = [result.fold for result in by_need if result.fold is not Fold.OPEN]
    return (*folded[:FOLDS], Fold.OPEN)


def _budget(shortage: Shortage) -> int:
    copies = sum(demand.wanted.total for demand in shortage.job.demands)
    return max(12, MOST_PLANS * USUAL_COPIES // max(USUAL_COPIES, copies))


def _within(ideas: list[Idea], start: Attempt, budget: int) -> list[Idea]:
    """The first ideas whose work is within the budget."""
    chosen = []
    for idea in ideas:
        budget -= plans_needed(idea, len(start.folds))
        if budget < 0:
            break
        chosen.append(idea)
    return chosen

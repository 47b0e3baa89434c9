"""Filling the cells of a comparison: rough answers first, better ones after, none worked out twice.

What is true of cloth is made true of the figures: with all else equal a wider cloth never needs
more than a narrower one under the same fold, one-way never less than without nap, and open never
more than a fold. Each such layout is offered to the cell that it also answers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import replace

from fabrics.fabric import Fabric
from fabrics.spread import Fold
from layout.effort import Effort
from plans.compare.cells import Cell, Outcome, Question, alike_but_for_width, cell_of, with_best
from plans.compare.rebuild import transferred
from plans.fold_search import FoldFailure, FoldResult, deepen, open_from, screen
from plans.levels import Level, level_for
from plans.results import ResultCache
from plans.workers import screening_pool

LESS_MM = 1e-6
"""A layout must be shorter by this to take another's place."""

OnStep = Callable[[int, int], None]
"""Told how many steps of how many are done."""


def compare(
    questions: list[Question],
    effort: str,
    store: ResultCache | None = None,
    executor: Executor | None = None,
    on_step: OnStep | None = None,
) -> tuple[tuple[Cell, ...], bool]:
    """Fill every cell; return the cells and whether the user interrupted.

    Parameters
    ----------
    questions : list of Question
    effort : str
        "quick" screens every cell; "normal" and "thorough" also deepen the best fold of each
        cloth.
    store : ResultCache, optional
    executor : Executor, optional
        Local processes unless given.
    on_step : callable, optional
    """
    filling = _Filling(questions, effort, store, on_step)
    interrupted = False
    try:
        filling.run(executor)
    except KeyboardInterrupt:
        interrupted = True
        filling.pass_on()
    cells = [cell_of(question, filling.outcomes.get(k)) for k, question in enumerate(questions)]
    return with_best(cells), interrupted


class _Filling:
    def __init__(
        self,
        questions: list[Question],
        effort: str,
        store: ResultCache | None,
        on_step: OnStep | None,
    ) -> None:
        self.questions = questions
        self.effort = effort
        self.level: Level = level_for(effort)
        self.store = store
        self.on_step = on_step
        self.outcomes: dict[int, Outcome] = {}
        self.recalled: dict[int, Outcome] = {}
        self.done = 0

    def run(self, executor: Executor | None) -> None:
        """Look in the cache, screen what is missing, deepen the best, and pass layouts on."""
        self._recall()
        missing = [k for k in range(len(self.questions)) if k not in self.outcomes]
        total = 2 * len(missing) + len(self._clothes(missing))
        if missing:
            with screening_pool(2 * len(missing), executor) as run:
                self._round(run, missing, Effort.GLANCE, total)
                found = [k for k in missing if isinstance(self.outcomes[k], FoldResult)]
                self.done = 2 * len(missing) - len(found)
                self._round(run, found, self.level.screen, total)
                self.pass_on()
                if self.level.refine is not None:
                    self._deepen(run, missing, self.level.refine, total)
        self.pass_on()
        self._keep()

    def _recall(self) -> None:
        if self.store is None:
            return
        for k, question in enumerate(self.questions):
            known = self.store.get(question.job, question.fold, self.effort)
            if known is not None:
                self.outcomes[k] = self.recalled[k] = known

    def _keep(self) -> None:
        if self.store is None:
            return
        for k, question in enumerate(self.questions):
            if k in self.outcomes and self.outcomes[k] is not self.recalled.get(k):
                self.store.put(question.job, question.fold, self.effort, self.outcomes[k])

    def _round(
        self,
        run: Callable[..., Iterator[tuple[int, Outcome]]],
        wanted: list[int],
        effort: Effort,
        total: int,
    ) -> None:
        tasks = [
            (k, (self.questions[k].job, self.questions[k].fold, effort, self.level.glance))
            for k in wanted
        ]
        for k, outcome in run(screen, tasks):
            self._offer(k, outcome)
            self._step(total)

    def _deepen(
        self,
        run: Callable[..., Iterator[tuple[int, FoldResult]]],
        missing: list[int],
        effort: Effort,
        total: int,
    ) -> None:
        """Search on in the best fold of each cloth."""
        tasks = []
        for cells in self._clothes(missing).values():
            found = [
                (outcome.bought, outcome.length, k)
                for k in cells
                if isinstance(outcome := self.outcomes.get(k), FoldResult)
            ]
            if found:
                k = min(found)[2]
                tasks.append((k, (self.questions[k].job, self.outcomes[k], effort)))
        for k, outcome in run(deepen, tasks):
            self._offer(k, outcome)
            self._step(total)

    def _clothes(self, wanted: list[int]) -> dict[tuple[object, ...], list[int]]:
        """Cells by roles and cloth."""
        groups: dict[tuple[object, ...], list[int]] = {}
        for k in wanted:
            job = self.questions[k].job
            groups.setdefault((job.roles, job.fabric), []).append(k)
        return groups

    def _step(self, total: int) -> None:
        self.done += 1
        if self.on_step is not None:
            self.on_step(self.done, total)

    def _offer(self, k: int, outcome: Outcome | None) -> None:
        """Take an outcome if it is the first of its cell, or shorter."""
        if outcome is None:
            return
        present = self.outcomes.get(k)
        if isinstance(present, FoldResult) and (
            isinstance(outcome, FoldFailure) or outcome.length >= present.length - LESS_MM
        ):
            return
        self.outcomes[k] = outcome

    def pass_on(self) -> None:
        """Offer each layout to the cells that it answers, too."""
        ranked = sorted(
            range(len(self.questions)),
            key=lambda k: (
                not self.questions[k].job.fabric.one_way,
                self.questions[k].fold is Fold.OPEN,
                _usable(self.questions[k].job.fabric),
            ),
        )
        # One way before without nap, folds before open, narrow before wide: each cell is then
        # offered only what will not change any more.
        for position, k in enumerate(ranked):
            for other in ranked[:position]:
                self._pass(other, k)

    def _pass(self, giver: int, taker: int) -> None:
        given = self.outcomes.get(giver)
        if not isinstance(given, FoldResult):
            return
        source, target = self.questions[giver], self.questions[taker]
        if replace(source.job, fabric=target.job.fabric, demands=target.job.demands) != target.job:
            return
        if source.job.fabric == target.job.fabric:
            single = self.outcomes.get(taker)
            if target.fold is Fold.OPEN and isinstance(single, FoldResult):
                self._offer(taker, open_from(target.job, single, given))
            return
        shared = alike_but_for_width(source.job.fabric)
        wider = _usable(target.job.fabric) >= _usable(source.job.fabric)
        narrower_nap = target.job.fabric.one_way and not source.job.fabric.one_way
        if (
            source.fold is not target.fold
            or shared is None
            or shared != alike_but_for_width(target.job.fabric)
            or not wider
            or narrower_nap
        ):
            return
        present = self.outcomes.get(taker)
        if isinstance(present, FoldResult) and present.length <= given.length + LESS_MM:
            return
        self._offer(taker, transferred(target.job, given))


def _usable(fabric: Fabric) -> float:
    """Width (mm) between the selvages of the washed cloth."""
    return fabric.width_cut - 2.0 * fabric.selvage_cut

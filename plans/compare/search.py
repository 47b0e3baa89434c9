"""Filling the cells of a comparison: rough answers first, better ones where they decide.

What is true of cloth is made true of the figures: with all else equal a wider cloth never needs
more than a narrower one under the same fold, one-way never less than without nap, and open never
more than a fold. Each such layout is offered to the cell that it also answers.

A comparison is a function of its question: what is kept from one to the next is only what a cell
gives by itself, or what a search gives from the same start, never what another question passed on.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from concurrent.futures import Executor
from dataclasses import replace
from typing import Any

from fabrics.fabric import Fabric
from fabrics.spread import Fold
from layout.bounds.best import Care
from layout.effort import Effort
from plans.compare.cells import (
    Cell,
    Question,
    alike_but_for_width,
    cell_of,
    deciding,
    with_best,
)
from plans.compare.proving import care_of, proof_of
from plans.compare.rebuild import holds, transferred
from plans.compare.results import ResultCache
from plans.errors import FaultError
from plans.folds.fold_search import deepen, open_from, screen
from plans.folds.job import FabricJob
from plans.folds.levels import Level, level_for
from plans.folds.outcome import FoldFailure, FoldResult, Outcome
from plans.workers.screening import screening_pool

LESS_MM = 1e-6
"""A layout must be shorter by this to take another's place."""

NO_CLOTH = Fabric(name="", title="", width=0.0)

OnStep = Callable[[int, int], None]
"""Told how many steps of how many are done."""

OnCell = Callable[[int, Cell, Outcome], None]
"""Told what a cell holds from now on, before it is known which are best."""

Pool = Callable[..., Iterator[tuple[int, Any]]]


def compare(
    questions: list[Question],
    effort: str,
    store: ResultCache | None = None,
    executor: Executor | None = None,
    on_step: OnStep | None = None,
    every_cloth: bool = False,
    on_cell: OnCell | None = None,
) -> tuple[tuple[Cell, ...], bool]:
    """Fill every cell; return the cells and whether the user interrupted.

    Parameters
    ----------
    questions : list of Question
    effort : str
        "quick" screens every cell. "normal" and "thorough" also search on in the cells that
        decide: the best of each set of roles and direction of nap, and those within one cutting
        step of it, until no other cell comes that near; and prove in every cell that nothing buys
        less, where a short search for a proof can.
    store : ResultCache, optional
    executor : Executor, optional
        Processes of this machine unless given.
    on_step : callable, optional
    every_cloth : bool
        Search on in the best fold of each cloth instead: each cloth is an answer of its own, and
        nothing is told of what is proved.
    on_cell : callable, optional

    Raises
    ------
    FaultError
        If a layout does not answer its own cell: a fault of ours.
    """
    filling = _Filling(questions, effort, store, on_step, every_cloth, on_cell)
    interrupted = False
    try:
        filling.run(executor)
        # Bounds are worked out here: a wish to end that comes now is one for these cells, too.
        filling.cells()
    except KeyboardInterrupt:
        interrupted = True
        filling.pass_on()
    return with_best(filling.cells()), interrupted


def screening(level: Level) -> str:
    """What a first look at a cell was: it tells kept answers apart."""
    return f"screened {level.screen} {level.glance}"


class _Filling:
    def __init__(
        self,
        questions: list[Question],
        effort: str,
        store: ResultCache | None,
        on_step: OnStep | None,
        every_cloth: bool,
        on_cell: OnCell | None,
    ) -> None:
        self.questions = questions
        self.effort = effort
        self.level: Level = level_for(effort)
        self.store = store
        self.on_step = on_step
        self.every_cloth = every_cloth
        self.on_cell = on_cell
        self.outcomes: dict[int, Outcome] = {}
        self.deepened: set[int] = set()
        self.done = self.total = 0
        self.known: dict[int, tuple[Outcome, Cell]] = {}
        self.proofs: dict[int, tuple[FoldResult, float]] = {}

    def run(self, executor: Executor | None) -> None:
        """Look in the cache, screen what is missing, pass layouts on, and search where it decides.

        Screening finds the same whichever cells were kept, so that the rest does, too.
        """
        wanted = range(len(self.questions))
        for k in wanted:
            self._recall(k)
        missing = [k for k in wanted if k not in self.outcomes]
        self.total = 2 * len(missing)
        with screening_pool(2 * len(self.questions), executor) as run:
            if missing:
                self._screen(run, missing)
            self.pass_on()
            if self.level.refine is not None:
                self._refine(run, self.level.refine)
                if not self.every_cloth:
                    self._prove(run, self.level.refine)

    def cells(self) -> list[Cell]:
        """All cells, each layout checked against the demands of its own."""
        for k, outcome in self.outcomes.items():
            if isinstance(outcome, FoldResult) and not holds(self.questions[k].job, outcome):
                question = self.questions[k]
                raise FaultError(
                    f"the layout of '{question.job.fabric.name}' ({question.fold.value}) does not "
                    "answer its own question"
                )
        return [self._cell(k) for k in range(len(self.questions))]

    def _cell(self, k: int) -> Cell:
        outcome = self.outcomes.get(k)
        if outcome is None:
            return cell_of(self.questions[k], None)
        known = self.known.get(k)
        if known is None or known[0] is not outcome:
            proof = self.proofs.get(k)
            proved = proof[1] if proof is not None and proof[0] is outcome else 0.0
            known = self.known[k] = (outcome, cell_of(self.questions[k], outcome, proved))
        return replace(known[1], effort=self.effort if k in self.deepened else "quick")

    def _recall(self, k: int) -> None:
        kept = self._kept(k, screening(self.level))
        if kept is not None:
            self._put(k, kept)

    def _kept(self, k: int, work: str, start: Outcome | None = None) -> Outcome | None:
        if self.store is None:
            return None
        return self.store.get(self.questions[k].job, self.questions[k].fold, work, start)

    def _keep(self, k: int, work: str, outcome: Outcome, start: Outcome | None = None) -> None:
        if self.store is not None:
            question = self.questions[k]
            self.store.put(question.job, question.fold, work, outcome, start)

    def _screen(self, run: Pool, missing: list[int]) -> None:
        self._round(run, missing, Effort.GLANCE, keep=False)
        found = [k for k in missing if isinstance(self.outcomes[k], FoldResult)]
        self.done = 2 * len(missing) - len(found)
        for k in set(missing).difference(found):
            self._keep(k, screening(self.level), self.outcomes[k])
        self._round(run, found, self.level.screen, keep=True)

    def _round(self, run: Pool, wanted: list[int], effort: Effort, keep: bool) -> None:
        tasks = [
            (k, (self.questions[k].job, self.questions[k].fold, effort, self.level.glance))
            for k in wanted
        ]
        for k, outcome in run(screen, tasks):
            # Better work takes the place of a glance, whatever that gave: so says the cache, too.
            self._put(k, outcome)
            if keep:
                self._keep(k, screening(self.level), outcome)
            self._step()

    def _refine(self, run: Pool, effort: Effort) -> None:
        """Search on in the cells that decide until no other cell comes near them."""
        work = f"{effort} from a start"
        while wanted := sorted(self._deciding() - self.deepened):
            starts = {k: self.outcomes[k] for k in wanted}
            kept = {k: self._kept(k, work, start) for k, start in starts.items()}
            tasks = [
                (k, (self.questions[k].job, starts[k], effort)) for k in wanted if kept[k] is None
            ]
            self.total += len(tasks)
            for k, outcome in kept.items():
                self._offer(k, outcome)
            for k, outcome in run(deepen, tasks):
                self._keep(k, work, outcome, starts[k])
                self._offer(k, outcome)
                self._step()
            self.deepened.update(wanted)
            self.pass_on()

    def _prove(self, run: Pool, effort: Effort) -> None:
        """Prove what it takes at least where that is not known to be what is bought."""
        asked: dict[int, tuple[FabricJob, FoldResult, Care]] = {}
        for k, outcome in self.outcomes.items():
            cell = self._cell(k)
            if isinstance(outcome, FoldResult) and cell.buy is not None and not cell.proved:
                care = care_of(effort, k in self.deepened)
                asked[k] = self.questions[k].job, outcome, care
        tasks = []
        for k, task in asked.items():
            length = None if self.store is None else self.store.get_proof(*_proof_key(*task))
            if length is None:
                tasks.append((k, task))
            else:
                self._take_proof(k, task[1], length)
        self.total += len(tasks)
        for k, length in run(proof_of, tasks):
            if self.store is not None:
                self.store.put_proof(*_proof_key(*asked[k]), length)
            self._take_proof(k, asked[k][1], length)
            self._step()

    def _take_proof(self, k: int, result: FoldResult, length: float) -> None:
        self.proofs[k] = result, length
        self.known.pop(k, None)

    def _deciding(self) -> set[int]:
        """Cells in which more work may change the answer."""
        if not self.every_cloth:
            return deciding([self._cell(k) for k in range(len(self.questions))])
        found = set()
        for group in self._clothes().values():
            outcomes = ((self.outcomes.get(k), k) for k in group)
            lengths = [(o.bought, o.length, k) for o, k in outcomes if isinstance(o, FoldResult)]
            if lengths and not self.deepened.intersection(group):
                found.add(min(lengths)[2])
        return found

    def _clothes(self) -> dict[tuple[object, ...], list[int]]:
        """Cells by what is made and of which cloth."""
        groups: dict[tuple[object, ...], list[int]] = {}
        for k, question in enumerate(self.questions):
            job = question.job
            groups.setdefault((job.roles, job.demands, job.fabric), []).append(k)
        return groups

    def _step(self) -> None:
        self.done += 1
        if self.on_step is not None:
            self.on_step(self.done, max(self.done, self.total))

    def _offer(self, k: int, outcome: Outcome | None) -> None:
        """Take an outcome if it is the first of its cell, or shorter."""
        if outcome is None:
            return
        present = self.outcomes.get(k)
        if isinstance(present, FoldResult) and (
            isinstance(outcome, FoldFailure) or outcome.length >= present.length - LESS_MM
        ):
            return
        self._put(k, outcome)

    def _put(self, k: int, outcome: Outcome) -> None:
        self.outcomes[k] = outcome
        if self.on_cell is not None:
            self.on_cell(k, self._cell(k), outcome)

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
        works = [_work(question.job) for question in self.questions]
        givers: dict[Hashable, list[tuple[int, int]]] = {}
        for position, k in enumerate(ranked):
            question = self.questions[k]
            alike = (works[k], question.fold), (works[k], question.job.fabric)
            # Of all that went before only these may have something for it: many cells are quick.
            offers = {one for key in alike for one in givers.get(key, ())}
            for _, other in sorted(offers):
                self._pass(other, k)
            for key in alike:
                givers.setdefault(key, []).append((position, k))

    def _pass(self, giver: int, taker: int) -> None:
        given = self.outcomes.get(giver)
        if not isinstance(given, FoldResult):
            return
        source, target = self.questions[giver], self.questions[taker]
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


def _proof_key(job: FabricJob, result: FoldResult, care: Care) -> tuple[FabricJob, str, FoldResult]:
    """What tells a kept proof apart."""
    return job, f"{care.name} proof", result


def _work(job: FabricJob) -> Hashable:
    """What is cut, and how: jobs with the same differ in their cloth at most.

    What cloth changes in a demand (whether hands matter, which turns are in vain) is left out: the
    layout is validated against the demands of the taker.
    """
    pieces = tuple((d.key, d.piece, d.cut, d.wanted.total) for d in job.demands)
    return replace(job, fabric=NO_CLOTH, demands=()), pieces


def _usable(fabric: Fabric) -> float:
    """Width (mm) between the selvages of the washed cloth."""
    return fabric.width_cut - 2.0 * fabric.selvage_cut

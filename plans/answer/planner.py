"""The planner: from an order to a plan that every copy of which has been validated."""

from __future__ import annotations

from concurrent.futures import Executor
from dataclasses import replace
from functools import partial

from fabrics.buying import purchase, sold_in
from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from layout.bounds.best import Care
from layout.layout import EndedBy
from pieces.drafting.garment import Garment
from plans.answer.assemble import assemble
from plans.answer.cautions import cautions_for
from plans.answer.deepening import deepen_folds
from plans.answer.whose import told_apart
from plans.choice.fold_choice import choose
from plans.choice.repeat_cost import repeat_note
from plans.choice.second_goal import with_second_goal
from plans.choice.tracing import with_less_tracing
from plans.errors import ContradictionError, NothingFitsError
from plans.folds.bound import bound_of
from plans.folds.fold_search import deepen, screen
from plans.folds.job import FabricJob
from plans.folds.jobs import jobs_for
from plans.folds.levels import Level, level_for, members_for
from plans.folds.on_hand import Shortage, ShortageError, fits, shortage_of
from plans.folds.outcome import FoldFailure, FoldResult, Outcome
from plans.folds.sketching import sketch_of
from plans.order import OnProgress, Order, PlanProgress
from plans.plan import FabricPlan, FoldReport, Plan
from plans.problem.joins import MOST_PARTS, can_split
from plans.workers.screening import screening_pool


def plan_garment(
    order: Order, on_progress: OnProgress | None = None, executor: Executor | None = None
) -> Plan:
    """Plan every fabric of an order.

    Interrupted (Ctrl-C), it returns what is finished with the missing roles named.

    Raises
    ------
    ContradictionError
        If a role has no cloth, cloth has no role, or the fold asked for cannot be on this cloth.
    NothingFitsError
        If no layout exists for a fabric in any fold that was asked for.
    ShortageError
        If there is too little of the cloth on hand; `plans.rescue` tells what would help.
    KeyboardInterrupt
        If it is interrupted before any fabric is finished.
    """
    return plan_jobs(order, jobs_for(order), on_progress, executor)


def plan_jobs(
    order: Order,
    jobs: list[FabricJob],
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
) -> Plan:
    """Plan the given jobs of an order; raises as `plan_garment`."""
    members = members_for(order.effort, order.members)
    level = level_for(order.effort, members)
    tell = _Teller(on_progress)
    outcomes, interrupted = _screen_all(jobs, order.fold, level, executor, tell)
    fabrics: list[FabricPlan] = []
    missing: list[str] = []
    short: list[Shortage] = []
    for index, job in enumerate(jobs):
        # Whichever screening finished first: from here on the order is that of the folds.
        results = {fold: outcomes[index][fold] for fold in Fold if fold in outcomes[index]}
        if interrupted and not _is_enough(job, results):
            missing += job.roles
            continue
        _require_result(job, order.fold, results)
        if not interrupted:
            interrupted = _refine(job, results, level, executor, tell)
        shortage = shortage_of(job, order, results)
        if shortage is not None and not interrupted and _in_more_parts(job, results, level):
            shortage = None
        if shortage is not None:
            short.append(shortage)
            continue
        try:
            fabrics.append(_finish(job, order, results, interrupted, level, tell))
        except KeyboardInterrupt:
            if interrupted:
                raise
            interrupted = True
            fabrics.append(_finish(job, order, results, interrupted, level, tell))
    if short:
        raise ShortageError(tuple(short))
    if not fabrics:
        raise KeyboardInterrupt
    plan = Plan(
        garment=order.garment.name,
        title=title_of(order.garment),
        makes=order.makes,
        fabrics=tuple(fabrics),
        missing_roles=tuple(missing),
        cautions=cautions_for(order.garment),
        members=members,
    )
    return told_apart(plan, order)


def _in_more_parts(job: FabricJob, results: dict[Fold, Outcome], level: Level) -> bool:
    """Where cloth on hand is short, cut joinable strips in as many parts as they permit.

    Takes the first fold in which that fits into `results`, the single layer before others.
    """
    if not any(can_split(demand, 2) for demand in job.demands):
        return False
    patient = replace(job, more_parts=MOST_PARTS)
    for fold in sorted(results, key=lambda fold: fold is not Fold.OPEN):
        found = screen(patient, fold, level.screen, level.glance)
        if isinstance(found, FoldResult):
            if level.refine is not None and not fits(job, found):
                found = deepen(patient, found, level.refine)
            if fits(job, found):
                results[fold] = found
                return True
    return False


def title_of(garment: Garment) -> str:
    """Title of a plan: the garment's, with its size if it has several."""
    return f"{garment.title}, size {garment.size}" if garment.size else garment.title


def _screen_all(
    jobs: list[FabricJob], fold: str, level: Level, executor: Executor | None, tell: _Teller
) -> tuple[dict[int, dict[Fold, Outcome]], bool]:
    """Screen every fabric in every fold that may be chosen; return whether the user interrupted.

    The work of one fold does not depend on the others, so that their order does not matter; those
    that take longest begin first, so that no core idles while one of them ends.
    """
    folds = sorted(Fold, key=lambda f: -f.rank) if fold == "auto" else [Fold.named(fold)]
    tasks = [
        (index, (job, kind, level.screen, level.glance))
        for kind in folds
        for index, job in enumerate(jobs)
    ]
    outcomes: dict[int, dict[Fold, Outcome]] = {index: {} for index in range(len(jobs))}

    def take(index: int, outcome: Outcome) -> None:
        outcomes[index][outcome.fold] = outcome
        if isinstance(outcome, FoldResult):
            tell.found(jobs[index], outcome)

    tell.stage(_what_is_tried(jobs, folds))
    with screening_pool(len(tasks), executor, tell.beat) as run:
        try:
            for index, outcome in run(screen, tasks):
                take(index, outcome)
                if _is_interrupted(outcome):
                    return outcomes, True
        except KeyboardInterrupt:
            for index, outcome in run.rest():
                take(index, outcome)
            return outcomes, True
    return outcomes, False


def _what_is_tried(jobs: list[FabricJob], folds: list[Fold]) -> str:
    names = ", ".join(job.fabric.name for job in jobs)
    ways = taught_name(folds[0]) if len(folds) == 1 else f"{len(folds)} ways to fold"
    return f"laying out on {names}: trying {ways}"


def _is_interrupted(outcome: Outcome) -> bool:
    return isinstance(outcome, FoldResult) and outcome.layout.ended_by is EndedBy.INTERRUPT


def _is_enough(job: FabricJob, results: dict[Fold, Outcome]) -> bool:
    """Whether any fold was laid, and on the cloth that there is."""
    return any(isinstance(r, FoldResult) and fits(job, r) for r in results.values())


def _require_result(job: FabricJob, fold: str, results: dict[Fold, Outcome]) -> None:
    if any(isinstance(outcome, FoldResult) for outcome in results.values()):
        return
    failures = [outcome for outcome in results.values() if isinstance(outcome, FoldFailure)]
    if fold != "auto" and failures[0].contradiction:
        raise ContradictionError(failures[0].reason)
    # Open asks least of the cloth: what does not fit there fits nowhere.
    last = next((f for f in failures if f.fold is Fold.OPEN), failures[-1])
    raise NothingFitsError(f"fabric '{job.fabric.name}' ({', '.join(job.roles)}): {last.reason}")


def _refine(
    job: FabricJob,
    results: dict[Fold, Outcome],
    level: Level,
    executor: Executor | None,
    tell: _Teller,
) -> bool:
    """Search on in the folds that matter; return whether the user interrupted."""

    def begun(fold: Fold) -> None:
        tell.stage(f"searching on in {job.fabric.name}, {taught_name(fold)}")

    try:
        return deepen_folds(job, results, level, executor, begun, partial(tell.found, job))
    except KeyboardInterrupt:
        return True


def _finish(
    job: FabricJob,
    order: Order,
    results: dict[Fold, Outcome],
    interrupted: bool,
    level: Level,
    tell: _Teller,
) -> FabricPlan:
    found = {f: r for f, r in results.items() if isinstance(r, FoldResult)}
    chosen = found[choose(found, job)]
    if not interrupted:
        chosen = with_less_tracing(job, chosen, level.tidy)
        interrupted = _is_interrupted(chosen)
    if level.refine is not None and not interrupted:
        chosen = with_second_goal(job, chosen, level.refine)
    if interrupted:
        chosen = replace(chosen, layout=chosen.layout.with_ending(EndedBy.INTERRUPT))
    others = tuple(
        _fold_report(job, outcome) for fold, outcome in results.items() if fold is not chosen.fold
    )
    if order.prove and not interrupted:
        tell.stage(f"proving that no layout on {job.fabric.name} spread so is shorter")
    care = Care.CLOSE if level.refine is None else Care.PROVED
    entry = assemble(job, chosen, others, 0.0 if interrupted else order.prove, care)
    if interrupted:
        return entry
    return replace(entry, notes=(*entry.notes, *repeat_note(job, chosen, level)))


def _fold_report(job: FabricJob, outcome: Outcome) -> FoldReport:
    if isinstance(outcome, FoldFailure):
        return FoldReport(outcome.fold, None, None, outcome.reason)
    if outcome.needless:
        return FoldReport(outcome.fold, None, None, outcome.needless)
    length = outcome.length + job.beyond
    bought = purchase(length, sold_in(job.fabric, job.system), job.margin).bought
    return FoldReport(outcome.fold, bought, length, outcome.remark)


def _bound(job: FabricJob, result: FoldResult) -> float:
    """Length (mm) that no layout of a result's variant is shorter than, as it is told."""
    return min(result.length, bound_of(job, result.variant).length) + job.beyond


class _Teller:
    """Tells whoever wants to hear what is going on."""

    def __init__(self, on_progress: OnProgress | None) -> None:
        self._on_progress = on_progress

    def _tell(self, progress: PlanProgress) -> None:
        if self._on_progress is not None:
            self._on_progress(progress)

    def found(self, job: FabricJob, result: FoldResult) -> None:
        """A better layout was found in some fold."""
        length = result.length + job.beyond
        sketch = partial(sketch_of, job, result)
        bound = partial(_bound, job, result)
        self._tell(
            PlanProgress(job.fabric.name, result.fold.value, length, "", sketch, bound, job.roles)
        )

    def stage(self, text: str) -> None:
        """A stage begins."""
        self._tell(PlanProgress(stage=text))

    def beat(self) -> None:
        """Others are at work."""
        self._tell(PlanProgress())

"""Planning on what there is: leftovers, then bolts on hand, and only the rest is bought."""

from __future__ import annotations

from concurrent.futures import Executor
from contextlib import suppress
from dataclasses import dataclass, replace

from shapely.geometry import Polygon

from fabrics.spread import Fold
from fabrics.stash.records import Bolt, LeftoverRecord
from layout.effort import Effort
from plans.answer.allowances import allowances_of
from plans.answer.cautions import cautions_for
from plans.answer.planner import plan_jobs, title_of
from plans.answer.whose import told_apart
from plans.errors import NothingFitsError
from plans.folds.fold_search import screen
from plans.folds.job import FabricJob
from plans.folds.jobs import jobs_for
from plans.folds.leftovers import find_leftovers
from plans.folds.levels import members_for
from plans.folds.on_hand import needed
from plans.folds.outcome import FoldResult
from plans.leftover_use.assignment import Assignment, assign, job_for_rest
from plans.leftover_use.bolts import bolt_note, bolts_for, bolts_like, unused_note
from plans.leftover_use.laying import LeftoverLay
from plans.order import OnProgress, Order
from plans.plan import FabricPlan, LeftoverCopy, LeftoverCut, Plan, Saving

ROUGH = 1.25
"""A bolt is not searched further if a rough layout needs more than this times what is on it."""


@dataclass(frozen=True)
class _Answer:
    """How one fabric is cut: what lies on leftovers, what on cloth, and what that saves."""

    planned: tuple[FabricPlan, ...]
    cuts: tuple[LeftoverCut, ...] = ()
    savings: tuple[Saving, ...] = ()


def plan_with_leftovers(
    order: Order,
    leftovers: list[LeftoverRecord],
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
    bolts: list[Bolt] | None = None,
) -> Plan:
    """Plan an order on what there is: leftovers first, then bolts on hand, then the shop.

    Each fabric is planned without leftovers first; they are used where less is taken with them, or
    where the cloth on hand is too short without. What is still wanted is laid on the shortest bolt
    of the same fabric that holds enough, in the state that it is in; only where none does, it is
    bought. Raises as `plan_garment`.
    """
    answers: list[_Answer] = []
    missing: list[str] = []
    there = list(leftovers)
    named = {fabric.bolt for fabric in order.cloth.values()}
    free = [bolt for bolt in bolts or [] if bolt.tag not in named]
    kept = [bolt for bolt in bolts or [] if bolt.tag in named]
    jobs = jobs_for(order)
    for index, job in enumerate(jobs):
        mine = [one for one in there if one.fabric.name == job.fabric.name]
        try:
            answer = _answer(order, job, mine, free, on_progress, executor)
            answer = _told(answer, job, mine, free, kept)
        except KeyboardInterrupt:
            # What is finished is kept; nothing finished, nothing kept.
            if not answers:
                raise
            missing = [role for late in jobs[index:] for role in late.roles]
            break
        answers.append(answer)
        gone = {cut.tag for cut in answer.cuts} | {entry.fabric.bolt for entry in answer.planned}
        there = [one for one in there if one.tag not in gone]
        free = [bolt for bolt in free if bolt.tag not in gone]
    plan = Plan(
        garment=order.garment.name,
        title=title_of(order.garment),
        makes=order.makes,
        fabrics=tuple(entry for answer in answers for entry in answer.planned),
        missing_roles=tuple(missing),
        cautions=cautions_for(order.garment),
        on_leftovers=tuple(cut for answer in answers for cut in answer.cuts),
        savings=tuple(saving for answer in answers for saving in answer.savings),
        members=members_for(order.effort, order.members),
    )
    return told_apart(plan, order)


def _answer(
    order: Order,
    job: FabricJob,
    leftovers: list[LeftoverRecord],
    bolts: list[Bolt],
    on_progress: OnProgress | None,
    executor: Executor | None,
) -> _Answer:
    """Plan one fabric on the first cloth that holds enough: bolts on hand, then the shop."""
    spare = sum(one.region.area for one in leftovers)
    for bolt in bolts_for(job, bolts, spare):
        on_bolt = replace(job, fabric=bolt.as_fabric())
        if not leftovers and _is_hopeless(order, on_bolt):
            continue
        with suppress(NothingFitsError):
            found = _on_one_cloth(order, on_bolt, leftovers, on_progress, executor)
            taken = tuple(_off_the_bolt(job, entry) for entry in found.planned)
            return replace(found, planned=taken)
    return _on_one_cloth(order, job, leftovers, on_progress, executor)


def _told(
    answer: _Answer,
    job: FabricJob,
    leftovers: list[LeftoverRecord],
    bolts: list[Bolt],
    named: list[Bolt],
) -> _Answer:
    """Add why nothing of the stash is used where something is bought that it holds some of."""
    if answer.cuts or job.fabric.on_hand is not None:
        return answer
    tags = [[bolt.tag for bolt in bolts_like(job, listed)] for listed in (bolts, named)]
    note = unused_note([one.tag for one in leftovers], *tags)
    if not note or any(entry.fabric.bolt for entry in answer.planned):
        return answer
    planned = tuple(replace(entry, notes=(note, *entry.notes)) for entry in answer.planned)
    return replace(answer, planned=planned)


def _is_hopeless(order: Order, job: FabricJob) -> bool:
    """Whether a rough layout needs so much more than there is that no search would mend it."""
    rough = [
        needed(job, outcome)
        for fold in _folds(order, None)
        if isinstance(outcome := screen(job, fold, Effort.GLANCE, Effort.GLANCE), FoldResult)
    ]
    return not rough or min(rough) > ROUGH * (job.fabric.on_hand or 0.0)


def _off_the_bolt(job: FabricJob, entry: FabricPlan) -> FabricPlan:
    """Say that nothing is bought."""
    note = bolt_note(entry.fabric, entry.purchase.bought, job.system)
    return replace(entry, notes=(note, *entry.notes))


def _on_one_cloth(
    order: Order,
    job: FabricJob,
    leftovers: list[LeftoverRecord],
    on_progress: OnProgress | None,
    executor: Executor | None,
) -> _Answer:
    """Plan one fabric on its cloth, with leftovers where they save some of it."""
    entry, failure = _without(order, job, on_progress, executor)
    found = assign(job, leftovers, _folds(order, entry), order.effort) if leftovers else None
    planned = None if found is None else _rest(order, job, found, on_progress, executor)
    if found is None or planned is None or not _saves(planned, entry):
        if entry is None:
            raise failure or NothingFitsError(f"fabric '{job.fabric.name}': nothing fits")
        return _Answer((entry,))
    saved = () if entry is None else (_saving(entry, planned),)
    return _Answer(tuple(planned), tuple(_cut(job, lay) for lay in found.lays), saved)


def _without(
    order: Order, job: FabricJob, on_progress: OnProgress | None, executor: Executor | None
) -> tuple[FabricPlan | None, NothingFitsError | None]:
    """Plan a fabric without leftovers, or say why that cannot be."""
    try:
        return plan_jobs(order, [job], on_progress, executor).fabrics[0], None
    except NothingFitsError as error:
        return None, error


def _folds(order: Order, entry: FabricPlan | None) -> tuple[Fold, ...]:
    """Folds in which the rest is judged: the one that was chosen, and open."""
    if order.fold != "auto":
        return (Fold.named(order.fold),)
    if entry is None:
        return (Fold.LENGTHWISE, Fold.OPEN)
    return tuple(dict.fromkeys((entry.fold, Fold.OPEN)))


def _rest(
    order: Order,
    job: FabricJob,
    found: Assignment,
    on_progress: OnProgress | None,
    executor: Executor | None,
) -> list[FabricPlan] | None:
    """Plan what is still wanted: empty if nothing is, None if what is on hand is too short."""
    if not found.rest:
        return []
    try:
        rest = plan_jobs(order, [job_for_rest(job, found.rest)], on_progress, executor)
    except NothingFitsError:
        return None
    return list(rest.fabrics)


def _saves(planned: list[FabricPlan], entry: FabricPlan | None) -> bool:
    if entry is None:
        return True
    bought = sum(rest.purchase.bought for rest in planned)
    return bought < entry.purchase.bought - 1e-6


def _saving(entry: FabricPlan, planned: list[FabricPlan]) -> Saving:
    bought = sum(rest.purchase.bought for rest in planned)
    cost = None
    if entry.purchase.cost is not None:
        cost = entry.purchase.cost - sum(rest.purchase.cost or 0.0 for rest in planned)
    return Saving(
        entry.roles, entry.fabric, entry.purchase.bought, bought, cost, entry.purchase.currency
    )


def _cut(job: FabricJob, lay: LeftoverLay) -> LeftoverCut:
    """Describe what is cut from one leftover, and what will be left of it."""
    cloth = lay.leftover.region
    region = Polygon(cloth.outline, cloth.holes)
    copies = sorted(lay.copies, key=_reading_order)
    outlines = [Polygon(copy.outline) for copy in copies]
    left = find_leftovers(region, outlines, job.gap, job.leftover_neck, job.leftover_size)
    return LeftoverCut(
        tag=lay.leftover.tag,
        roles=tuple(role for role in job.roles if any(copy.role == role for copy in copies)),
        fabric=lay.leftover.fabric,
        outline=cloth.outline,
        holes=cloth.holes,
        gap=job.gap,
        copies=tuple(replace(copy, number=k) for k, copy in enumerate(copies, start=1)),
        left=left,
        allowances=allowances_of(d for d in job.demands if any(c.key == d.key for c in copies)),
    )  # fmt: skip


def _reading_order(copy: LeftoverCopy) -> tuple[float, float]:
    x1, y1, _, _ = Polygon(copy.outline).bounds
    return round(x1, 3), round(y1, 3)

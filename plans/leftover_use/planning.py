"""Planning with leftovers first: what lies on them, and only the rest on cloth to be bought."""

from __future__ import annotations

from concurrent.futures import Executor

from shapely.geometry import Polygon

from fabrics.spread import Fold
from fabrics.stash.records import LeftoverRecord
from plans.allowances import allowances_of
from plans.cautions import cautions_for
from plans.errors import NothingFitsError
from plans.fold_search import FabricJob
from plans.jobs import jobs_for
from plans.leftover_use.assignment import Assignment, assign, job_for_rest
from plans.leftover_use.laying import LaidCopy, LeftoverLay
from plans.leftovers import find_leftovers
from plans.order import OnProgress, Order
from plans.plan import FabricPlan, LeftoverCopy, LeftoverCut, Plan, Saving
from plans.planner import plan_jobs, title_of


def plan_with_leftovers(
    order: Order,
    leftovers: list[LeftoverRecord],
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
) -> Plan:
    """Plan an order, laying on leftovers of each fabric what saves cloth.

    Each fabric is planned without leftovers first; they are used where less is bought with them, or
    where the cloth on hand is too short without. Raises as `plan_garment`.
    """
    cuts: list[LeftoverCut] = []
    savings: list[Saving] = []
    fabrics: list[FabricPlan] = []
    missing: list[str] = []
    there = list(leftovers)
    jobs = jobs_for(order)
    for index, job in enumerate(jobs):
        try:
            entry, failure = _without(order, job, on_progress, executor)
            mine = [one for one in there if one.fabric.name == job.fabric.name]
            found = assign(job, mine, _folds(order, entry), order.effort) if mine else None
            planned = None if found is None else _rest(order, job, found, on_progress, executor)
        except KeyboardInterrupt:
            # What is finished is kept; nothing finished, nothing kept.
            if not fabrics and not cuts:
                raise
            missing = [role for late in jobs[index:] for role in late.roles]
            break
        if found is None or planned is None or not _saves(planned, entry):
            if entry is None:
                raise failure or NothingFitsError(f"fabric '{job.fabric.name}': nothing fits")
            fabrics.append(entry)
            continue
        fabrics += planned
        cuts += [_cut(job, lay) for lay in found.lays]
        there = [one for one in there if one.tag not in {lay.leftover.tag for lay in found.lays}]
        if entry is not None:
            savings.append(_saving(entry, planned))
    return Plan(
        garment=order.garment.name,
        title=title_of(order.garment),
        makes=order.makes,
        fabrics=tuple(fabrics),
        missing_roles=tuple(missing),
        cautions=cautions_for(order.garment),
        on_leftovers=tuple(cuts),
        savings=tuple(savings),
    )


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
        return (Fold(order.fold),)
    if entry is None:
        return (Fold.LENGTHWISE, Fold.OPEN)
    return tuple(dict.fromkeys((Fold(entry.fold), Fold.OPEN)))


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
    region = Polygon(lay.leftover.outline, lay.leftover.holes)
    copies = sorted(lay.copies, key=_reading_order)
    outlines = [Polygon(copy.outline) for copy in copies]
    left = find_leftovers(region, outlines, job.gap, job.leftover_neck, job.leftover_size)
    return LeftoverCut(
        tag=lay.leftover.tag,
        roles=tuple(role for role in job.roles if any(copy.role == role for copy in copies)),
        fabric=lay.leftover.fabric,
        outline=lay.leftover.outline,
        holes=lay.leftover.holes,
        gap=job.gap,
        copies=tuple(
            LeftoverCopy(
                number, copy.piece, copy.role, copy.label, copy.hand, copy.face_down,
                copy.outline, copy.grain,
            )
            for number, copy in enumerate(copies, start=1)
        ),
        left=left,
        allowances=allowances_of(d for d in job.demands if any(c.key == d.key for c in copies)),
    )  # fmt: skip


def _reading_order(copy: LaidCopy) -> tuple[float, float]:
    x1, y1, _, _ = Polygon(copy.outline).bounds
    return round(x1, 3), round(y1, 3)

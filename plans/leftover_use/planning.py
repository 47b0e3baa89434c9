"""Planning with leftovers first: what lies on them, and only the rest on cloth to be bought."""

from __future__ import annotations

from concurrent.futures import Executor
from dataclasses import replace

from shapely.geometry import Polygon

from fabrics.spread import Fold
from fabrics.stash.records import LeftoverRecord
from plans.fold_search import FabricJob
from plans.jobs import jobs_for
from plans.leftover_use.assignment import Assignment, assign, job_for_rest
from plans.leftover_use.laying import LaidCopy, LeftoverLay
from plans.leftovers import find_leftovers
from plans.order import OnProgress, Order
from plans.plan import FabricPlan, LeftoverCopy, LeftoverCut, Plan, Saving
from plans.planner import plan_garment, plan_jobs


def plan_with_leftovers(
    order: Order,
    leftovers: list[LeftoverRecord],
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
) -> Plan:
    """Plan an order, laying on leftovers of each fabric what saves cloth.

    The plan without leftovers is made first; leftovers are used where less is bought with them.
    Raises as `plan_garment`.
    """
    without = plan_garment(order, on_progress, executor)
    if not without.complete:
        return without
    by_roles = {entry.roles: entry for entry in without.fabrics}
    cuts: list[LeftoverCut] = []
    savings: list[Saving] = []
    fabrics: list[FabricPlan] = []
    there = list(leftovers)
    for job in jobs_for(order):
        entry = by_roles[job.roles]
        mine = [one for one in there if one.fabric.name == job.fabric.name]
        found = assign(job, mine, _folds(order, entry), order.effort) if mine else None
        planned = None if found is None else _rest(order, job, found, on_progress, executor)
        if found is None or planned is None or not _saves(planned, entry):
            fabrics.append(entry)
            continue
        fabrics += planned
        cuts += [_cut(job, lay) for lay in found.lays]
        there = [one for one in there if one.tag not in {lay.leftover.tag for lay in found.lays}]
        savings.append(_saving(entry, planned))
    return replace(
        without, fabrics=tuple(fabrics), on_leftovers=tuple(cuts), savings=tuple(savings)
    )


def _folds(order: Order, entry: FabricPlan) -> tuple[Fold, ...]:
    """Folds in which the rest is judged: the one that was chosen, and open."""
    if order.fold != "auto":
        return (Fold(order.fold),)
    return tuple(dict.fromkeys((Fold(entry.fold), Fold.OPEN)))


def _rest(
    order: Order,
    job: FabricJob,
    found: Assignment,
    on_progress: OnProgress | None,
    executor: Executor | None,
) -> list[FabricPlan]:
    """Plan what is still wanted; empty if nothing is."""
    if not found.rest:
        return []
    return list(plan_jobs(order, [job_for_rest(job, found.rest)], on_progress, executor).fabrics)


def _saves(planned: list[FabricPlan], entry: FabricPlan) -> bool:
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
    left = find_leftovers(region, [Polygon(copy.outline) for copy in copies], job.gap)
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
    )  # fmt: skip


def _reading_order(copy: LaidCopy) -> tuple[float, float]:
    x1, y1, _, _ = Polygon(copy.outline).bounds
    return round(x1, 3), round(y1, 3)

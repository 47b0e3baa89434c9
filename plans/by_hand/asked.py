"""From a plan to the order behind it, and to the plan that keeps some of it where it lies."""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import Executor
from dataclasses import replace
from functools import partial
from pathlib import Path

from plans.by_hand.again import laid_again
from plans.by_hand.changed import changed_plan
from plans.by_hand.named import pieces_named
from plans.by_hand.reopened import OpenLay, opened
from plans.order import OnProgress, Order, PlanProgress
from plans.orders.asked import request_behind
from plans.orders.making import Load, load_by_name, order_without_cloth
from plans.orders.request import Request
from plans.plan import FabricPlan, Plan


def asked_behind(plan: Plan, file: Path, **typed: object) -> Request:
    """What a plan answers, with what somebody wants otherwise now (fields that are not None).

    Raises
    ------
    NothingAskedError, InputError
        As `plans.orders.asked.request_behind`.
    """
    request = request_behind(plan, file)
    changes = {"members": plan.members} | {k: v for k, v in typed.items() if v is not None}
    return replace(request, **changes)  # type: ignore[arg-type]


def order_behind(plan: Plan, request: Request, load: Load = load_by_name) -> Order:
    """The order that a plan answers: its garments as they are now, on the cloth of the plan.

    Raises
    ------
    InputError, OutfitError
        If a garment cannot be read any more.
    """
    order = order_without_cloth(request, load)
    cloth = {role: entry.fabric for entry in plan.fabrics for role in entry.roles}
    return replace(order, cloth=cloth)


def lay_of(plan: Plan, at: int, order: Order) -> OpenLay:
    """Open one fabric of a plan (by its index); raises as `opened`."""
    return opened(plan.fabrics[at], order, on_leftovers=bool(plan.on_leftovers))


def plan_again(
    plan: Plan,
    order: Order,
    names: Iterable[str],
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
) -> Plan:
    """Keep some pieces of a plan where they lie, and lay the rest of their fabrics again.

    Parameters
    ----------
    plan : Plan
    order : Order
        See `order_behind`.
    names : iterable of str
        What is kept: see `pieces_named`.
    on_progress : callable, optional
    executor : Executor, optional

    Raises
    ------
    NoSuchPieceError
        If a name is none of the plan's.
    ChangedGarmentError
        If the garment is no longer what it was.
    NotValidError
        If what is kept cannot stay as it lies.
    NothingFitsError
        If the rest finds no place around it.
    """
    kept = pieces_named(plan, names)
    lays = {}
    for at, indices in kept.items():
        tell = partial(_tell, on_progress, plan.fabrics[at])
        lays[at] = laid_again(lay_of(plan, at, order), indices, order, tell, executor)
    return changed_plan(plan, lays, order, kept)


def _tell(on_progress: OnProgress | None, entry: FabricPlan, length: float) -> None:
    if on_progress is not None:
        on_progress(PlanProgress(entry.fabric.name, entry.fold.value, length))

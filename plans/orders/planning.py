"""From an order file, or any request, to its plan."""

from __future__ import annotations

from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

from fabrics.stash.records import Bolt, LeftoverRecord
from plans.answer.planner import plan_garment
from plans.order import OnProgress, Order
from plans.orders.asked import with_request
from plans.orders.making import order_of
from plans.orders.order_file import read_order_file
from plans.orders.request import Request
from plans.plan import Plan


def plan_order_file(
    path: Path,
    stash: Path | None = None,
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
    folder: Path | None = None,
) -> Plan:
    """Plan what an order file asks for; see `plan_order`, and `order_of` for what it raises."""
    request = read_order_file(path)
    return plan_order(request, order_of(request, stash), stash, on_progress, executor, folder)


def plan_order(
    request: Request,
    order: Order,
    stash: Path | None = None,
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
    folder: Path | None = None,
) -> Plan:
    """Plan the order that was made of a request, on leftovers of the stash if it says so.

    The plan says what it answers; files are named from the folder that it will stand in (the
    present one unless given).

    Raises
    ------
    PlanError
        As `plan_garment`.
    StashError
        If the stash cannot be read.
    """
    plan = plan_with(order, at_hand(request, stash), on_progress, executor)
    return with_request(plan, request, folder or Path.cwd())


@dataclass(frozen=True)
class AtHand:
    """What is in the stash, to be used first."""

    leftovers: tuple[LeftoverRecord, ...]
    bolts: tuple[Bolt, ...]


def at_hand(request: Request, stash: Path | None = None) -> AtHand | None:
    """Return what is in the stash if a request says that it is used; None if it does not.

    Raises
    ------
    StashError
        If the stash cannot be read.
    """
    if not request.leftovers:
        return None
    from fabrics.stash.place import default_stash_path
    from fabrics.stash.store import Stash

    with Stash(stash or default_stash_path(), system=request.system) as base:
        return AtHand(tuple(base.leftovers()), tuple(base.bolts()))


def plan_with(
    order: Order,
    stash: AtHand | None,
    on_progress: OnProgress | None = None,
    executor: Executor | None = None,
) -> Plan:
    """Plan an order, on what is in the stash if that is used; raises as `plan_garment`."""
    if stash is None:
        return plan_garment(order, on_progress, executor)
    from plans.leftover_use.planning import plan_with_leftovers

    leftovers, bolts = list(stash.leftovers), list(stash.bolts)
    return plan_with_leftovers(order, leftovers, on_progress, executor, bolts=bolts)

"""The lays of a plan, opened for somebody to move pieces; kept open while its file is the same."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from starlette.requests import Request as Asking

from pieces.lengths import System
from plans.by_hand.asked import asked_behind, lay_of, order_behind
from plans.by_hand.reopened import OpenLay
from plans.order import Order
from plans.orders.request import Request
from plans.outputs.folder import PLAN_FILE, read_plan
from plans.page.names import NotThereError, plan_folder
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.plan import Plan

MOST_OPEN = 8
"""Plans that are kept open; one more closes the one that was looked at longest ago."""


@dataclass(frozen=True)
class Table:
    """A plan on the table: what it answers, and one of its lays.

    `at` is the index of the fabric.
    """

    folder: Path
    plan: Plan
    request: Request
    order: Order
    at: int
    lay: OpenLay

    @property
    def system(self) -> System:
        """Units of whoever moves the pieces."""
        return self.order.system


def table(asking: Asking, at: int) -> Table:
    """Open one fabric of the plan that an address names.

    Raises
    ------
    NotThereError
        If there is no such plan, or fabric of it.
    NothingAskedError, ChangedGarmentError, InputError
        If it cannot be opened, with the reason.
    """
    folder = plan_folder(surroundings(asking).plans, asking.path_params["name"])
    return opened_table(folder, at, units(asking))


def opened_table(folder: Path, at: int, system: System) -> Table:
    """Open one fabric of the plan in a folder; raises as `table`."""
    stamp = (folder / PLAN_FILE).stat()
    return _opened(folder, at, system, stamp.st_mtime_ns, stamp.st_size)


@lru_cache(maxsize=MOST_OPEN)
def _opened(folder: Path, at: int, system: System, _: int, __: int) -> Table:
    plan = read_plan(folder)
    if not 0 <= at < len(plan.fabrics):
        raise NotThereError(f"the plan '{folder.name}' has no fabric {at + 1}")
    request = asked_behind(plan, folder / PLAN_FILE, system=system)
    order = replace(order_behind(plan, request), system=system)
    return Table(folder, plan, request, order, at, lay_of(plan, at, order))

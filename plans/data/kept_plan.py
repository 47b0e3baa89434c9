"""The plan that was kept with a cut."""

from __future__ import annotations

from typing import Any

from fabrics.stash.errors import StashError
from fabrics.stash.exchange.files import plan_data
from fabrics.stash.store import Stash


def kept_plan(base: Stash, number: int) -> Any:
    """Return the plan that was kept with a cut, as plain data.

    Raises
    ------
    StashError
        If there is no such cut, or its plan is damaged.
    """
    found = next((cut for cut in base.cuts() if cut.number == number), None)
    if found is None:
        raise StashError(f"cut {number}: there is none of that number")
    data = plan_data(found.plan)
    if data is None:
        raise StashError(f"cut {number}: the plan that was kept with it is damaged")
    return data

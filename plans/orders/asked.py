"""What was asked for, carried by the plan that answers it, so that it can be searched again."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

from pieces.findings import Finding, InputError
from plans.errors import PlanError
from plans.orders.order_file import request_from
from plans.orders.order_text import order_data
from plans.orders.request import Request
from plans.plan import Plan

SAYS_NOTHING = (
    "does not say what was asked for, as plans of earlier versions do not; plan it once more"
)


class NothingAskedError(PlanError):
    """A plan that does not say what it answers."""


def asked_for(request: Request, folder: Path) -> dict[str, Any]:
    """A request as the data of an order file; files are named from a folder."""
    return order_data(request, folder)


def with_request(plan: Plan, request: Request, folder: Path) -> Plan:
    """A plan that says what it answers.

    Parameters
    ----------
    plan : Plan
    request : Request
    folder : Path
        Where the plan will stand: files are named from there, so that both may move together.
    """
    return replace(plan, asked=asked_for(request, folder))


def request_behind(plan: Plan, file: Path) -> Request:
    """What a plan answers.

    Parameters
    ----------
    plan : Plan
    file : Path
        The file that it was read from; garments and cloth are looked for beside it.

    Raises
    ------
    NothingAskedError
        If the plan does not say it.
    InputError
        With every fault of what it says, a garment file that is not there any more among them.
    """
    if plan.asked is None:
        raise NothingAskedError(f"{file}: {SAYS_NOTHING}")
    try:
        json.dumps(plan.asked, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError as error:
        # Half of a surrogate pair is no text: it names no file, and no answer can hold it.
        raise InputError([Finding(str(file), "holds half of a sign", field="asked")]) from error
    return request_from(plan.asked, file)

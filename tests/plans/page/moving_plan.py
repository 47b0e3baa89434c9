"""A small plan in the plans folder of a page: an apron on 90 cm, quickly found."""

from __future__ import annotations

import json
from pathlib import Path

from plans.orders.making import order_of
from plans.orders.planning import plan_order
from plans.orders.request import GarmentAsked, Request
from plans.outputs.folder import write_plan_file
from plans.plan import Plan
from tests.plans.orders.aprons import write_apron


def keep_apron(folder: Path, name: str = "apron-plan", fold: str = "open", makes: int = 2) -> Plan:
    """Write an apron's garment file, and its plan into the folder of plans beside it."""
    write_apron(folder)
    place = folder / "plans" / name
    place.mkdir(parents=True, exist_ok=True)
    request = Request(
        (GarmentAsked(str(folder / "apron.toml"), "M"),), {"main": "90cm"}, fold=fold, makes=makes,
        effort="quick",
    )  # fmt: skip
    plan = plan_order(request, order_of(request), folder=place)
    write_plan_file(plan, place)
    return plan


def without_request(folder: Path, name: str = "apron-plan") -> None:
    """Make the plan one of an earlier version."""
    file = folder / "plans" / name / "plan.json"
    data = json.loads(file.read_text())
    del data["asked"]
    file.write_text(json.dumps(data))

"""A plan says what it answers, and keeps saying it where it is read again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pieces.findings import InputError
from pieces.lengths import System
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.orders.asked import NothingAskedError, request_behind
from plans.orders.making import order_of
from plans.orders.planning import plan_order
from plans.orders.request import GarmentAsked, Request
from plans.outputs.folder import read_plan, write_plan_file
from plans.plan import Plan
from tests.plans.orders.aprons import write_apron


@pytest.fixture
def plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Plan:
    monkeypatch.chdir(tmp_path)
    write_apron(tmp_path)
    request = Request(
        (GarmentAsked("apron.toml", "M"),), {"main": "90cm"}, fold="open", effort="quick", seed=5,
        system=System.IMPERIAL,
    )  # fmt: skip
    (tmp_path / "my-plan").mkdir()
    return plan_order(request, order_of(request), folder=tmp_path / "my-plan")


def test_what_was_asked_for_is_read_back(plan: Plan, tmp_path: Path) -> None:
    """Files are named from the plan's folder, so that both may be moved."""
    folder = tmp_path / "my-plan"
    write_plan_file(plan, folder)
    assert json.loads((folder / "plan.json").read_text())["asked"]["garment"] == [
        {"name": "../apron.toml", "size": "M"}
    ]
    request = request_behind(read_plan(folder), folder / "plan.json")
    assert (request.seed, request.fold, request.system) == (5, "open", System.IMPERIAL)
    again = Request((GarmentAsked("apron.toml", "M"),), {"main": "90cm"})
    assert order_of(request).garment.pieces == order_of(again).garment.pieces
    moved = tmp_path / "elsewhere"
    moved.mkdir()
    folder.rename(moved / "my-plan")
    with pytest.raises(InputError, match=r"plan\.json.*there is no file '.*apron\.toml'"):
        request_behind(plan, moved / "my-plan" / "plan.json")


def test_plans_of_earlier_versions_say_so(plan: Plan) -> None:
    """They are read; what they answer is not known."""
    data = plan_to_json(plan)
    del data["asked"]
    with pytest.raises(NothingAskedError, match="does not say what was asked for"):
        request_behind(plan_from_json(data), Path("plan.json"))

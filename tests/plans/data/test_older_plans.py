"""Plans that earlier versions of the program wrote are read as those of today."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from fabrics.lay_edges import EdgeName
from plans.data.plan_json import PlanFileError, plan_from_json, plan_to_json
from plans.plan import Plan
from tests.plans.demo import demo_plan


def older(plan: Plan) -> dict[str, Any]:
    """The plan as an early version of the program would have written it."""
    data: dict[str, Any] = json.loads(json.dumps(plan_to_json(plan)))
    del data["on_leftovers"], data["savings"]
    for entry in data["fabrics"]:
        del entry["slide_mm"], entry["laid_mm"]
        details = entry["details"]
        del details["warnings"], details["allowances"]
        for field in ("name", "width_mm", "selvage_mm", "one_way", "currency"):
            del details["fabric"][field]
        for field in ("shrinkage_known", "own_step", "bolt", "source", "lot"):
            del details["fabric"][field]
        for placed in entry["placements"]:
            upper, opened = placed.pop("upper_only"), placed.pop("opened")
            words = ["upper ply only"] * upper + ["opened out"] * opened
            placed["note"] = "; ".join(words)
            placed["pin_edge"] = placed.pop("pin_edges")[0]
            del placed["match"]
    return data


def test_a_plan_of_an_early_version_is_read() -> None:
    """What it lacks is empty or as it was meant; what notes told is told by fields."""
    plan = demo_plan("trousers")
    entry = plan.fabrics[0]
    first = replace(entry.placements[0], upper_only=True, opened=True)
    plan = replace(
        plan, fabrics=(replace(entry, placements=(first, *entry.placements[1:])), *plan.fabrics[1:])
    )
    back = plan_from_json(older(plan))
    read = back.fabrics[0]
    assert (back.on_leftovers, back.savings) == ((), ())
    assert (read.fabric.name, read.fabric.width) == (entry.fabric.name, entry.fabric.width)
    assert (read.fabric.source, read.fabric.shrinkage_known, read.slide) == ("", True, 0.0)
    assert read.laid == read.length
    assert (read.warnings, read.allowances) == ((), ())
    assert (read.placements[0].upper_only, read.placements[0].opened) == (True, True)
    assert not any(one.upper_only or one.opened for one in read.placements[1:])
    for one in read.placements:
        edges = {pin.edge for pin in one.pins}
        assert len(edges) == 1
        assert edges <= set(EdgeName)
        assert one.match == ()


def test_a_fault_in_one_place_hides_none_elsewhere() -> None:
    """A section that cannot be spread, a ply beside it, a share: all in one message."""
    data = json.loads(json.dumps(plan_to_json(demo_plan("trousers"))))
    entry = data["fabrics"][0]
    entry["details"]["fabric"]["price"] = "dear"
    entry["details"]["fabric"]["selvage_mm"] = 1e5
    entry["scrap_share"] = 1.0
    entry["leftover_share"] = 1.0
    entry["placements"][0]["copies"][0]["outline"] = [[0, 0], [1, 1], [2, 2]]
    entry["placements"][0]["pin_edges"] = ["fold"]
    with pytest.raises(PlanFileError) as caught:
        plan_from_json(data, "plan.json")
    said = str(caught.value)
    for place in (
        "fabrics[0].details.fabric.price: ",
        "fabrics[0].details.fabric.selvage_mm: two selvages",
        "fabrics[0].scrap_share: ",
        "fabrics[0].placements[0].copies[0].outline: it has no area",
        "fabrics[0].placements[0].pin_edges: is no pair",
    ):
        assert place in said

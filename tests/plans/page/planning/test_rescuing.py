"""Cloth that is too short, on the page: what would help is laid by a click."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from plans.orders.asked import request_behind
from plans.orders.request import GarmentAsked, Request
from plans.outputs.folder import read_plan
from plans.page.planning.searching import changed
from tests.page import Client, client
from tests.plans.page.planning.small import begun, news, shelved

__all__ = ["client"]


def test_an_idea_is_laid_by_a_click(client: Client, tmp_path: Path) -> None:
    """Those that options ask for; the same search goes on with that alone changed."""
    shelved(tmp_path)
    fields = {"onhand-main": "1.63 m washed", "fold": "open", "gap": "5 mm", "makes": "2"}
    work = begun(client, **fields)
    (told,) = news(client, work)[-1][1]["short"]
    ideas = [idea for group in told["groups"] for idea in group["ideas"]]
    assert [idea["number"] for idea in ideas] == list(range(1, len(ideas) + 1))
    assert not any(idea["asks"] for idea in ideas if "fits with" not in idea["words"])
    ends = next(idea for idea in ideas if idea["asks"] == {"ends": 10.0})
    assert ends["words"].startswith("squaring off with 1 cm")
    assert {"makes": 1} in [idea["asks"] for idea in ideas]
    to = f"/new/plan/changed/{work}"
    answer = client.send(to, cloth=0, idea=ends["number"])
    assert answer.status_code == 200, answer.text
    new = answer.json()["work"]
    assert answer.json()["go"] == f"/plans?work={new}"
    kind, done = news(client, new)[-1]
    assert (kind, done["go"]) == ("done", "/plans/bag-plan")
    plan = read_plan(tmp_path / "plans" / "bag-plan")
    again = request_behind(plan, tmp_path / "plans" / "bag-plan" / "plan.json")
    assert (again.ends, again.gap, again.fold, again.makes) == (10.0, 5.0, "open", 2)
    for idea in ideas:
        if not idea["asks"]:
            refused = client.send(to, cloth=0, idea=idea["number"])
            assert (refused.status_code, refused.json()["field"]) == (422, "idea")
    assert client.send(to, cloth=1, idea=1).json()["field"] == "cloth"
    assert client.send(to, cloth=0, idea=len(ideas) + 1).json()["field"] == "idea"
    assert client.send(f"/new/plan/changed/{new}", cloth=0, idea=1).json()["field"] == "idea"
    assert client.send("/new/plan/changed/none", cloth=0, idea=1).status_code == 404


def test_fewer_of_one_garment_leaves_the_others(client: Client, tmp_path: Path) -> None:
    """However often all of it was wanted."""
    shelved(tmp_path)
    wanted = Request((GarmentAsked("bag", count=2), GarmentAsked("toy-hare")), makes=3)
    less = changed(wanted, {"counts": {"bag": 4}, "gap": 0.0})
    assert [(one.name, one.count) for one in less.garments] == [("bag", 4), ("toy-hare", 3)]
    assert (less.makes, less.gap) == (1, 0.0)
    assert changed(wanted, {"makes": 2}) == replace(wanted, makes=2)

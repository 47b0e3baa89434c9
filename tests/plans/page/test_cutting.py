"""I cut this: what will change is told beforehand, recorded as on the command line, and undone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from fabrics.region import Region
from fabrics.shelf import find_fabric
from fabrics.stash.records import NewLeftover
from fabrics.stash.store import Stash
from pieces.lengths import System
from plans.cli.main import front_door
from plans.outputs.folder import write_plan_file
from plans.page.cutting.sheet import NothingLeftError, sheet_task
from plans.plan import LeftoverCut, Plan
from tests.page import Client, client
from tests.plans.demo import demo_plan

__all__ = ["client"]


@pytest.fixture
def plan(client: Client, tmp_path: Path) -> Plan:
    """The plan of a demo toy, kept as 'hare'."""
    made = demo_plan("toy-hare")
    keep(made, tmp_path, "hare")
    return made


def keep(plan: Plan, folder: Path, name: str) -> None:
    """Write a plan where the page finds it."""
    (folder / "plans" / name).mkdir()
    write_plan_file(plan, folder / "plans" / name)


def bolt(tmp_path: Path, length: float = 4000.0) -> str:
    """A bolt of the plan's velveteen."""
    with Stash(tmp_path / "stash.db") as base:
        return base.add_bolt(find_fabric("demo-velveteen"), length, False).tag


def seen(client: Client) -> str:
    """What the form remembers of the plan."""
    return str(client.get("/plans/hare/cut").text.split('data-seen="')[1].split('"')[0])


def stash(tmp_path: Path) -> tuple[Any, ...]:
    """All that a stash holds, but for times."""
    with Stash(tmp_path / "stash.db") as base:
        bolts = [(one.tag, one.length) for one in base.bolts()]
        return bolts, [one.tag for one in base.leftovers()], len(base.cuts())


def test_looking_tells_what_recording_does_and_changes_nothing(
    client: Client, plan: Plan, tmp_path: Path
) -> None:
    """The same figures and tags, before and after."""
    tag = bolt(tmp_path)
    before = stash(tmp_path)
    page = client.get("/plans/hare/cut").text
    assert f'<option value="{tag}"' in page
    looked = client.get(f"/plans/hare/cut/look?bolt-0={tag}&keep=true").json()
    assert stash(tmp_path) == before
    assert looked["lines"][0].startswith("40 cm off ")
    assert f"off {tag}, 3.6 m left on it" in looked["lines"][0]
    answer = client.send("/plans/hare/cut", seen=seen(client), keep=True, **{"bolt-0": tag})
    assert answer.status_code == 200, answer.text
    tags = [one["tag"] for one in looked["left"]]
    assert tags
    bolts, left, cuts = stash(tmp_path)
    assert left == tags
    assert cuts == 1
    assert bolts == [(tag, 3600.0)]
    again = client.get(f"/plans/hare/cut/look?bolt-0={tag}&keep=true&again=true")
    assert again.status_code == 200


def test_a_plan_that_was_cut_says_so_with_tags_and_undo(
    client: Client, plan: Plan, tmp_path: Path
) -> None:
    """Whether the page or the command line recorded it."""
    tag = bolt(tmp_path)
    asked = ["cut", str(tmp_path / "plans/hare"), "--from", f"plush={tag}"]
    done = CliRunner().invoke(front_door, [*asked, "--sheet", str(tmp_path / "sheet.pdf")])
    assert done.exit_code == 0, done.output
    page = client.get("/plans/hare/cut").text
    assert "Recorded as cut 1" in page
    assert '<span class="tag">L1</span>' in page
    refused = client.send("/plans/hare/cut", seen=seen(client), keep=True)
    assert "was recorded as cut 1 already" in refused.json()["lines"][0]
    said = client.send("/cuts/undo", number=1).json()["well"]
    assert said.startswith("cut 1 is undone: ")
    assert stash(tmp_path)[0] == [(tag, 4000.0)]
    assert "Recorded as cut 1" not in client.get("/plans/hare/cut").text
    assert "(undone" in client.get("/cloth/changes").text


def test_the_same_plan_can_be_cut_once_more(client: Client, plan: Plan, tmp_path: Path) -> None:
    """When that is said."""
    for again in (False, True):
        answer = client.send("/plans/hare/cut", seen=seen(client), keep=False, again=again)
        assert answer.status_code == 200, answer.text
    assert stash(tmp_path)[2] == 2
    page = client.get("/plans/hare/cut").text
    assert "Recorded as cut 1" in page
    assert "Recorded as cut 2" in page


def test_what_lay_on_a_leftover_that_is_gone_cannot_be_cut_once_more(
    client: Client, plan: Plan, tmp_path: Path
) -> None:
    """The page says so, and asks nothing that would be refused."""
    ring = ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0))
    fabric = find_fabric("demo-linen")
    with Stash(tmp_path / "stash.db") as base:
        tag = base.add_leftover(
            NewLeftover(fabric, Region(ring, (), 120_000.0, (0.0, 0.0, 400.0, 300.0)))
        ).tag
    used = LeftoverCut(tag, ("main",), fabric, ring, (), 3.0, (), ())
    write_plan_file(replace(plan, on_leftovers=(used,)), tmp_path / "plans" / "hare")
    assert 'id="cut"' in client.get("/plans/hare/cut").text
    assert client.send("/plans/hare/cut", seen=seen(client)).status_code == 200
    after = client.get("/plans/hare/cut").text
    assert f"cannot be cut once more: {tag}" in after
    assert 'id="cut"' not in after


def test_without_a_stash_looking_makes_none(client: Client, plan: Plan, tmp_path: Path) -> None:
    """Yet it tells the tags that leftovers would get."""
    looked = client.get("/plans/hare/cut/look?keep=true").json()
    assert looked["left"][0]["tag"] == "L1"
    assert client.get("/plans/hare/cut/look").json()["left"] == []
    assert not (tmp_path / "stash.db").exists()


def test_a_planned_bolt_without_a_stash_is_told_and_looking_makes_none(
    client: Client, plan: Plan, tmp_path: Path
) -> None:
    """Its file was moved, say: the bolt is not there, and a GET changes nothing."""
    first, *others = plan.fabrics
    off_bolt = replace(first, fabric=replace(first.fabric, bolt="B7"))
    on_bolt = replace(plan, fabrics=(off_bolt, *others))
    write_plan_file(on_bolt, tmp_path / "plans" / "hare")
    looked = client.get("/plans/hare/cut/look?keep=true")
    assert looked.status_code == 422
    assert "B7" in looked.text
    assert not (tmp_path / "stash.db").exists()


def test_a_bolt_that_is_too_short_is_told_beforehand(
    client: Client, plan: Plan, tmp_path: Path
) -> None:
    """In the words of the stash, in the units that were chosen, with nothing changed."""
    tag = bolt(tmp_path, 100.0)
    client.send("/settings", units="imperial")
    looked = client.inner.get(
        f"/plans/hare/cut/look?bolt-0={tag}", headers={"Accept": "application/json"}
    )
    assert looked.status_code == 422
    assert "it has 3 15/16 in" in looked.json()["lines"][0]
    wrong = client.send("/plans/hare/cut", seen=seen(client), **{"bolt-0": "B9"})
    assert wrong.status_code == 422
    assert stash(tmp_path) == ([(tag, 100.0)], [], 0)


def test_a_plan_that_changed_since_is_not_recorded(
    client: Client, plan: Plan, tmp_path: Path
) -> None:
    """What was looked at is what is recorded."""
    before = seen(client)
    write_plan_file(replace(plan, title="another"), tmp_path / "plans" / "hare")
    answer = client.send("/plans/hare/cut", seen=before, keep=True)
    assert "another since you looked at it" in answer.json()["lines"][0]
    assert not (tmp_path / "stash.db").exists()


def test_an_incomplete_plan_is_not_recorded(client: Client, plan: Plan, tmp_path: Path) -> None:
    """The view says what to do."""
    keep(replace(plan, missing_roles=("lining",)), tmp_path, "half")
    page = client.get("/plans/half/cut").text
    assert "not complete: lining has no layout" in " ".join(page.split())
    answer = client.inner.get("/plans/half/cut/look", headers={"Accept": "application/json"})
    assert "is not complete (lining missing)" in answer.json()["lines"][0]


def test_the_sheet_of_leftovers_is_drawn_beside_the_plan(
    client: Client, plan: Plan, tmp_path: Path
) -> None:
    """As a PDF with a name that tells the cut; not before there is anything to draw."""
    client.send("/plans/hare/cut", seen=seen(client), keep=True)
    address = "/plans/hare/cut/1/leftovers.pdf"
    assert client.get(address).status_code == 404
    path = tmp_path / "plans/hare/leftovers-cut-1.pdf"
    found = sheet_task(lambda said: None, str(tmp_path / "stash.db"), 1, str(path), "metric")
    assert found["drawn"] == len(stash(tmp_path)[1])
    answer = client.get(address)
    assert answer.content.startswith(b"%PDF")
    assert 'filename="leftovers-cut-1.pdf"' in answer.headers["content-disposition"]
    with pytest.raises(NothingLeftError):
        sheet_task(lambda said: None, str(tmp_path / "stash.db"), 2, str(path), "metric")
    assert client.send("/plans/hare/cut/2/sheet").status_code == 404
    assert client.send("/cuts/undo", number=1).status_code == 200
    assert client.send("/plans/hare/cut/1/sheet").status_code == 404


@pytest.mark.parametrize("name", ["..", "%2e%2e", "..%2fplans", "none", "<b>", "x" * 400])
def test_plans_that_are_none_are_not_found(client: Client, plan: Plan, name: str) -> None:
    """No name leads out of the folder of plans."""
    assert client.get(f"/plans/{name}/cut").status_code == 404
    assert client.get(f"/plans/{name}/cut/look").status_code == 404
    assert client.send(f"/plans/{name}/cut", seen="").status_code == 404
    assert client.get(f"/plans/{name}/cut/1/leftovers.pdf").status_code == 404


@pytest.mark.parametrize("number", [0, -1, "one", 10**30, None, 1.5, True])
def test_numbers_of_cuts_that_are_none_are_refused(client: Client, number: Any) -> None:
    """Huge ones, too."""
    assert client.send("/cuts/undo", number=number).status_code == 422


def test_titles_are_never_markup(client: Client, plan: Plan, tmp_path: Path) -> None:
    """A plan may be called anything."""
    title = "<img src=x onerror=alert(1)> ‮🧵"
    keep(replace(plan, title=title, garment=title), tmp_path, "odd 🧵")
    assert "<img" not in client.get("/plans/odd 🧵/cut").text
    code = client.get("/plans/odd 🧵/cut").text.split('data-seen="')[1].split('"')[0]
    answer = client.send("/plans/odd 🧵/cut", seen=code, keep=True)
    assert answer.json()["go"] == "/plans/odd%20%F0%9F%A7%B5/cut"
    assert "<img" not in client.get("/plans/odd 🧵/cut").text
    assert "<img" not in client.get("/cloth/changes").text


def test_units_are_those_that_were_chosen(client: Client, plan: Plan) -> None:
    """Of sizes of leftovers, too."""
    client.send("/settings", units=System.IMPERIAL.value)
    size = client.get("/plans/hare/cut/look?keep=true").json()["left"][0]["size"]
    assert " in x " in size
    assert "sq yd" in size

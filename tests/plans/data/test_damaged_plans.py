"""A plan file is not trusted: whatever stands in it, it is shown, or every fault is named."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from fabrics.fabric import Repeat
from fabrics.plain import plain_fabric
from fabrics.region import Region
from fabrics.stash.records import LeftoverRecord
from pieces.lengths import System
from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code
from plans.data.plan_json import PlanFileError, plan_from_json, plan_to_json
from plans.errors import ContradictionError
from plans.leftover_use.cutting import cutting_of
from plans.leftover_use.planning import plan_with_leftovers
from plans.order import Order
from plans.outputs.folder import read_plan, write_folder
from plans.plan import Plan
from plans.words.facts import plan_text
from tests.mutations import MISSING, mutations
from tests.plans.demo import demo_plan
from tests.plans.rectangles import INCH, project, rectangle

CLOTH = replace(
    plain_fabric("80cm"), name="linen", title="linen", price=12.0, currency="EUR",
    shrink_along=0.05, repeat=Repeat(100.0, 0.0), flaws=(((900.0, 0.0), (950.0, 0.0),
    (950.0, 50.0)),),
)  # fmt: skip


@lru_cache(maxsize=1)
def small_plan() -> Plan:
    """Two kinds of rectangles, one of them on a leftover with a hole."""
    garment = project(
        rectangle("panel", 500.0 / INCH, 400.0 / INCH, 2),
        rectangle("square", 300.0 / INCH, 300.0 / INCH, 4),
    )
    ring = ((0.0, 0.0), (800.0, 0.0), (800.0, 700.0), (0.0, 700.0))
    hole = ((700.0, 650.0), (720.0, 650.0), (720.0, 670.0))
    region = Region(ring, (hole,), 5e5, (0.0, 0.0, 700.0, 650.0))
    one = LeftoverRecord("L2", CLOTH, region, "", "today")
    plan = plan_with_leftovers(Order(garment, {"cloth": CLOTH}, effort="quick"), [one])
    assert plan.on_leftovers
    assert plan.fabrics
    return plan


def outcome(data: Any) -> Plan | None:
    """Read a plan and print it, or see it refused as it should be."""
    said = ""
    try:
        plan = plan_from_json(data, "plan.json")
    except PlanFileError as error:
        said = str(error)
    if said:
        assert said.startswith("plan.json: ")
        assert len(said.splitlines()) < 40
        return None
    for system in System:
        plan_text(plan, system).encode()
    json.dumps(plan_to_json(plan), allow_nan=False)
    try:
        cutting_of(plan, {})
    except ContradictionError:
        return None
    return plan


def test_every_value_of_a_small_plan_may_be_wrong() -> None:
    """Some thousand plans with one value replaced: shown or refused, nothing else."""
    data = json.loads(json.dumps(plan_to_json(small_plan())))
    assert outcome(data) is not None
    refused = count = 0
    for place, wrong in mutations(data, 4):
        count += 1
        try:
            refused += outcome(data) is None
        except Exception as error:
            raise AssertionError(f"{place} replaced by {wrong!r}") from error
    assert count > 1000
    assert refused > 0.75 * count
    assert outcome(data) is not None


def test_values_of_a_real_plan_may_be_wrong() -> None:
    """Curved outlines, a fold, flaws; fewer changes to each value."""
    data = json.loads(json.dumps(plan_to_json(demo_plan("trousers"))))
    for place, wrong in mutations(data, 1, seed=7):
        try:
            outcome(data)
        except Exception as error:
            raise AssertionError(f"{place} replaced by {wrong!r}") from error


def test_what_is_let_through_can_be_drawn(tmp_path: Path) -> None:
    """Changed values that pass: every output of some of them is written."""
    data = json.loads(json.dumps(plan_to_json(small_plan())))
    passed = [
        (place, plan)
        for place, _ in mutations(data, 1, seed=3)
        if (plan := outcome(data)) is not None
    ]
    assert len(passed) > 20
    for place, plan in passed[:: max(1, len(passed) // 3)]:
        try:
            write_folder(plan, tmp_path / "out", System.METRIC, "a4")
        except Exception as error:
            raise AssertionError(f"{place} was changed") from error


def refusal(change: Any, *place: str | int) -> str:
    """What is said about a plan in which one value is another."""
    data = json.loads(json.dumps(plan_to_json(small_plan())))
    holder = data
    for key in place[:-1]:
        holder = holder[key]
    if change is MISSING:
        del holder[place[-1]]
    else:
        holder[place[-1]] = change
    with pytest.raises(PlanFileError) as caught:
        plan_from_json(data, "plan.json")
    return str(caught.value)


@pytest.mark.parametrize(
    ("change", "place", "said"),
    [
        ("", ("fabrics", 0, "details", "fabric", "price"),
         'fabrics[0].details.fabric.price: "" is no number (a plain figure, without a unit)'),
        (MISSING, ("fabrics", 0, "sections", 0, "d1_mm"),
         "fabrics[0].sections[0].d1_mm: is missing"),
        (float("inf"), ("fabrics", 0, "length_mm"), "fabrics[0].length_mm: Infinity is no number"),
        ("wide", ("fabrics", 0, "fold"), "one of open, lengthwise"),
        ([[0, 0], [1, 1]], ("fabrics", 0, "placements", 0, "lay_outline"), "it has 2 entries"),
        ([[0, 0], [9, 9], [9, 0], [0, 9]], ("fabrics", 0, "placements", 0, "lay_outline"),
         "the outline crosses itself"),
        (["under"], ("fabrics", 0, "placements", 0, "plies"), "'under' is no ply of this fold"),
        (7, ("fabrics", 0, "placements", 0, "section"), "7 cannot be (from 0 to 0)"),
        (True, ("version",), "a plan of version true"),
        ("a\tb", ("fabrics", 0, "placements", 0, "piece"), "cannot be printed"),
        ([1, 2, "1e5"], ("on_leftovers", 0, "fabric", "repeat"), "is no repeat"),
        (1.5, ("makes",), "makes: 1.5 is no whole number"),
    ],
)  # fmt: skip
def test_each_fault_is_named_with_its_place(
    change: Any, place: tuple[str | int, ...], said: str
) -> None:
    """The file, the path within it, what stands there, what would be right."""
    assert said in refusal(change, *place)


def test_all_faults_are_named_at_once() -> None:
    """Two in different places, in one message."""
    data = json.loads(json.dumps(plan_to_json(small_plan())))
    data["makes"] = -1
    data["fabrics"][0]["placements"][0]["number"] = "one"
    with pytest.raises(PlanFileError) as caught:
        plan_from_json(data, "plan.json")
    assert "makes: -1" in str(caught.value)
    assert "fabrics[0].placements[0].number" in str(caught.value)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is no JSON"),
        (b"{\n", "plan.json:2: is no JSON"),
        (b"[" * 100_000, "is no JSON"),
        (b"9" * 5000, "is no JSON"),
        (b"\xff\xfe", "is not a text file in UTF-8"),
        (b"[1]", "is no plan"),
    ],
)
def test_files_that_are_no_plans(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes, said: str
) -> None:
    """Exit code 2 with a reason, for `show` and for `cut`."""
    path = tmp_path / "plan.json"
    path.write_bytes(content)
    with pytest.raises(PlanFileError, match=r"plan\.json"):
        read_plan(path)
    for command in (["show"], ["cut", "--stash", str(tmp_path / "s.sqlite")]):
        assert _code([*command, str(path)]) == ExitCode.INPUT
        assert said in capsys.readouterr().err


def test_a_folder_without_a_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is said which file is not there."""
    assert _code(["show", str(tmp_path)]) == ExitCode.INPUT
    assert "there is no such file" in capsys.readouterr().err

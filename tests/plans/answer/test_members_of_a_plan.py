"""How many search together: as asked, or as there are cores; a plan tells, to be had again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from layout import effort as efforts
from layout.effort import Effort
from plans.answer import planner
from plans.answer.planner import plan_garment
from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.folds.levels import Level, members_for
from plans.order import Order
from plans.orders.order_file import read_order_file
from tests.plans.demo import cloth_for, garment


@pytest.mark.parametrize(
    ("cores", "asked", "members"),
    [(1, None, 2), (2, None, 2), (8, None, 8), (8, 3, 3), (1, 5, 5), (500, None, 100)],
)
def test_members_grow_with_the_cores_unless_a_number_is_asked_for(
    monkeypatch: pytest.MonkeyPatch, cores: int, asked: int | None, members: int
) -> None:
    """At least two; and for a first look, in which none searches on, two whatever there is."""
    monkeypatch.setattr(efforts, "cores", lambda: cores)
    assert members_for("normal", asked) == members_for("thorough", asked) == members
    assert members_for("quick", asked) == 2


def test_a_plan_of_many_cores_is_had_again_on_few(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the number that it tells; a plan of two does not tell it, as none did before."""
    few = replace(Effort.NORMAL, evaluations=20_000)
    monkeypatch.setattr(
        planner,
        "level_for",
        lambda _, members: Level(Effort.GLANCE, Effort.QUICK, replace(few, members=members)),
    )
    order = Order(garment("wrap-skirt"), cloth_for("wrap-skirt"), fold="open")
    told = {}
    for cores in (2, 5):
        monkeypatch.setattr(efforts, "cores", lambda cores=cores: cores)
        told[cores] = plan_to_json(plan_garment(order))
    assert "members" not in told[2]
    assert told[5]["members"] == 5
    monkeypatch.setattr(efforts, "cores", lambda: 1)
    assert plan_to_json(plan_garment(order)) == told[2]
    assert plan_to_json(plan_garment(replace(order, members=5))) == told[5]
    assert plan_from_json(told[5]).members == 5
    assert plan_from_json(told[2]).members == 2


def test_a_saved_order_says_how_many_searched(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """As many as were asked for, or as there were cores here."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(efforts, "cores", lambda: 7)
    monkeypatch.setattr("plans.orders.planning.plan_garment", _interrupted)
    asked = ["plan", "wrap-skirt", "--cloth", "main=140cm"]
    for name, more, members in (("a.toml", [], 7), ("b.toml", ["--members", "3"], 3)):
        assert _code([*asked, *more, "--save-order", name]) == ExitCode.INTERRUPTED
        assert read_order_file(tmp_path / name).members == members


def _interrupted(*_: object) -> None:
    raise KeyboardInterrupt

"""`laywright plan PLAN --keep PIECE`: the rest is laid again around what is kept."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code
from plans.outputs.folder import read_plan
from tests.plans.orders.aprons import write_apron


@pytest.fixture
def folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Path:
    monkeypatch.chdir(tmp_path)
    write_apron(tmp_path)
    made = ["plan", "apron.toml:M*2", "--cloth", "main=90cm", "--effort", "quick", "--fold", "open"]
    assert _code([*made, "--json"]) == ExitCode.DONE
    (tmp_path / "mine").mkdir()
    text = capsys.readouterr().out.replace('"apron.toml"', '"../apron.toml"')
    (tmp_path / "mine" / "plan.json").write_text(text)
    return tmp_path


def test_a_piece_is_kept_and_a_folder_beside_written(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The plan that was given stays as it is; the new one says what was kept and asked for."""
    before = read_plan(folder / "mine").fabrics[0].placements[1]
    assert _code(["plan", "mine", "--keep", "2", "--seed", "4"]) == ExitCode.DONE
    told = capsys.readouterr().out
    assert f"laid again around 1 {before.piece}" in told or "laid again around 2" in told
    assert "Written to mine-again/" in told
    plan = read_plan(folder / "mine-again")
    (entry,) = plan.fabrics
    assert entry.changed is not None
    kept = entry.placements[entry.changed.kept[0] - 1]
    assert kept.piece == before.piece
    assert kept.grain[0] == pytest.approx(before.grain[0], abs=2e-6)
    assert plan.asked is not None
    assert plan.asked["seed"] == 4
    assert plan.asked["garment"][0]["name"] == "../apron.toml"
    assert _code(["show", "mine-again"]) == ExitCode.DONE


def test_what_cannot_be_is_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Misspelt pieces, cloth that the plan says itself, no plan, a garment that has changed."""
    assert _code(["plan", "mine", "--keep", "frnt"]) == ExitCode.INPUT
    assert "'frnt' is no piece of this plan; did you mean 'front'?" in capsys.readouterr().err
    assert _code(["plan", "mine", "--keep", "1", "--cloth", "main=140cm"]) == ExitCode.INPUT
    assert "--cloth: with --keep the plan says" in capsys.readouterr().err
    assert _code(["plan", "apron", "--keep", "1"]) == ExitCode.INPUT
    assert "'apron' is no folder with a plan.json" in capsys.readouterr().err
    garment = folder / "apron.toml"
    garment.write_text(garment.read_text().replace("40", "41"))
    assert _code(["plan", "mine", "--keep", "1"]) == ExitCode.INPUT
    assert "has changed since this was planned" in capsys.readouterr().err
    garment.unlink()
    assert _code(["plan", "mine", "--keep", "1"]) == ExitCode.INPUT
    assert "there is no file" in capsys.readouterr().err


def test_plans_of_earlier_versions_are_planned_once_more(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """They do not say what was asked for."""
    file = folder / "mine" / "plan.json"
    data = json.loads(file.read_text())
    del data["asked"]
    file.write_text(json.dumps(data))
    assert _code(["plan", "mine/plan.json", "--keep", "1"]) == ExitCode.INPUT
    assert "does not say what was asked for" in capsys.readouterr().err

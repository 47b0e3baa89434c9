"""`laywright batch`: what it writes and prints, and what it answers to whoever called it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code
from plans.workers import local
from tests.plans.batch.orders import write_order, write_orders


@pytest.fixture(autouse=True)
def _here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(local, "cores", lambda: 1)
    monkeypatch.chdir(tmp_path)


def test_plans_and_a_table_are_written_and_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """Beside the folder unless one is named; the same table as text, CSV and JSON."""
    write_orders(Path("class"), first="90cm", second="110cm")
    asked = ["batch", "class", "--no-drawings"]
    assert _code(asked) == ExitCode.DONE
    said = capsys.readouterr().out
    out = Path("class-plans")
    assert said == f"{(out / 'summary.txt').read_text()}\nWritten to class-plans/\n"
    assert (out / "first" / "plan.json").exists()
    rows = list(csv.DictReader(io.StringIO((out / "summary.csv").read_text())))
    assert [(row["order"], row["state"]) for row in rows] == [
        ("first", "planned"), ("second", "planned"),
    ]  # fmt: skip
    assert _code([*asked, "--csv"]) == ExitCode.DONE
    assert capsys.readouterr().out.encode() == (out / "summary.csv").read_bytes()
    assert _code([*asked, "--json"]) == ExitCode.DONE
    data = json.loads(capsys.readouterr().out)["orders"]
    assert [row["buy_mm"] for row in data] == [float(row["buy_mm"]) for row in rows]
    assert all(row["before"] for row in data)


@pytest.mark.parametrize(
    ("cloth", "more", "code"),
    [
        ("140cm", "", ExitCode.DONE),
        ("20cm", "", ExitCode.NO_LAYOUT),
        ("140cm", 'on_hand = { main = "10cm" }', ExitCode.NO_LAYOUT),
        ("no-such-cloth", "", ExitCode.INPUT),
    ],
)
def test_the_gravest_of_all_orders_is_answered(cloth: str, more: str, code: ExitCode) -> None:
    """Whatever else is done."""
    write_order(write_orders(Path("class"), first="90cm"), "second", cloth, more)
    assert _code(["batch", "class", "--no-drawings"]) == code
    assert Path("class-plans", "first", "plan.json").exists()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["nowhere"], "nowhere: cannot be read"),
        (["class", "--out", "class"], "holds other files and no batch"),
        (["class", "--json", "--csv"], "choose one"),
        (["class", "--cluster", "nonsense"], "name a scheduler as tcp://host:8786"),
        (["class", "--members", "0"], "0 is not in the range"),
    ],
)
def test_what_cannot_be_is_refused_before_anything_is_written(
    asked: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """In words, with the exit code of bad input."""
    if asked[-1] == "nonsense":
        pytest.importorskip("distributed", reason="needs the optional extra 'cluster' (Dask)")
    write_orders(Path("class"), first="90cm")
    assert _code(["batch", *asked]) == ExitCode.INPUT
    assert said in capsys.readouterr().err
    assert not Path("class-plans").exists()

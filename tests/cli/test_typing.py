"""What was typed is answered on the command line: questions, slips, noughts without a unit."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from fabrics.price import PriceError
from fabrics.spread import SpreadError
from pieces.findings import InputError
from pieces.lengths import LengthError
from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.failures import told
from plans.cli.main import front_door

SQUARE = """title = "Bag"
units = "cm"

[[piece]]
name = "side"
cut = {{ main = "{cut}" }}
drawn = "net"
allowance = "{allowance}"
fold = "left"
grain = "up"
edges = [
  {{ name = "bottom", to = [20, 0] }},
  {{ name = "right", to = [20, 30] }},
  {{ name = "top", to = [0, 30] }},
  {{ name = "left", to = [0, 0] }},
]
"""


def run(*arguments: str) -> Result:
    return CliRunner().invoke(front_door, list(arguments), standalone_mode=False)


def bag(folder: Path, cut: str = "1 on fold", allowance: str = "1 cm") -> str:
    path = folder / "bag.toml"
    path.write_text(SQUARE.format(cut=cut, allowance=allowance), encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("gap", ["0", "0 mm", "0.0"])
def test_a_gap_of_nought_needs_no_unit(tmp_path: Path, gap: str) -> None:
    """Nought is nought in every unit."""
    done = run(
        "plan", bag(tmp_path), "--cloth", "main=140cm", "--fold", "open", "--effort", "quick",
        "--gap", gap, "--ends", "0", "--json",
    )  # fmt: skip
    assert done.return_value == 0, done.exception
    assert "error" not in done.stderr
    assert "question" not in done.stderr


def test_plan_asks_its_questions_and_goes_on(tmp_path: Path) -> None:
    """On the error stream, so that what is printed stays data."""
    done = run(
        "plan", bag(tmp_path, cut="1"), "--cloth", "main=140cm", "--fold", "open", "--effort",
        "quick", "--json",
    )  # fmt: skip
    assert done.return_value == 0, done.exception
    assert "question: " in done.stderr
    assert "half alone" in done.stderr
    assert done.stdout.startswith("{")


def test_check_reads_on_after_slips(tmp_path: Path) -> None:
    """A slip, and what else is wrong, each once."""
    text = SQUARE.format(cut="twice", allowance="1 cm").replace('"1 cm"', "1,5 cm")
    path = tmp_path / "bag.toml"
    path.write_text(text, encoding="utf-8")
    done = run("check", str(path))
    assert done.return_value == 2
    assert done.output.count("error: ") == 2
    assert "bag.toml:8, piece 'side', allowance: 1,5 has a decimal comma" in done.output
    assert "2 things to mend in this garment" in done.output


def test_what_cannot_be_read_at_all_is_an_error_of_input(tmp_path: Path) -> None:
    """With the line that stands there."""
    path = tmp_path / "bag.toml"
    path.write_text('title = "Bag"\n=3\n', encoding="utf-8")
    done = run("check", str(path))
    assert isinstance(done.exception, InputError)
    assert "bag.toml:2" in str(done.exception)
    assert "'=3' cannot be read" in str(done.exception)


@pytest.mark.parametrize(("name", "meant"), [("demo-linnen", "demo-linen"), ("blose", "blouse")])
def test_check_suggests_garments_and_fabrics(name: str, meant: str) -> None:
    """Either may be meant."""
    done = run("check", name)
    assert isinstance(done.exception, InputError)
    assert f"did you mean '{meant}'?" in str(done.exception)
    assert "demo-linen" in str(done.exception)
    assert "wrap-skirt" in str(done.exception)


@pytest.mark.parametrize(
    "error", [LengthError("no length"), PriceError("no price"), SpreadError("no spread")]
)
def test_an_error_of_any_room_is_told_as_bad_input(
    error: Exception, capsys: pytest.CaptureFixture[str]
) -> None:
    """Never as a fault of ours."""
    assert told(error) == ExitCode.INPUT
    assert capsys.readouterr().err == f"error: {error}\n"

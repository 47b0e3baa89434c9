"""Several garments and order files on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code
from tests.plans.orders.aprons import write_apron

QUICK = ["--effort", "quick", "--fold", "open", "--cloth", "main=140cm"]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the garment file of the aprons is at hand."""
    write_apron(tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_an_order_that_was_saved_gives_the_same_plan(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """To the byte, also from another folder and with the order beside the garments."""
    typed = ["plan", "apron.toml:S*2", "apron.toml:L", *QUICK, "--gap", "4mm"]
    (folder / "orders").mkdir()
    assert _code([*typed, "--json", "--save-order", "orders/class.toml"]) == ExitCode.DONE
    first = capsys.readouterr().out
    assert 'name = "../apron.toml"' in (folder / "orders" / "class.toml").read_text()
    assert _code(["plan", "orders/class.toml", "--json"]) == ExitCode.DONE
    assert capsys.readouterr().out == first
    plan = json.loads(first)
    assert plan["garments"] == [{"name": "apron S", "count": 2}, {"name": "apron L", "count": 1}]


def test_an_outfit_of_one_is_the_plan_of_the_garment(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """To the byte, however its size and number are said, and from an order file.

    Only what was asked for stands in it as it was said.
    """
    ways = [
        ["plan", "apron.toml", "--size", "M", "--makes", "2", *QUICK, "--json"],
        ["plan", "apron.toml:M*2", *QUICK, "--json", "--save-order", "one.toml"],
        ["plan", "one.toml", "--json"],
    ]
    told = []
    for way in ways:
        assert _code(way) == ExitCode.DONE
        told.append(capsys.readouterr().out.partition('"asked"')[0])
    assert told[0] == told[1] == told[2]
    assert "whose" not in told[0]
    assert "garments" not in told[0]


def test_what_is_typed_beside_an_order_file_counts(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Options, and the cloth of a role; the rest is as the file says."""
    assert _code(["plan", "apron.toml:S", "apron.toml:M", *QUICK, "--save-order", "o.toml"]) == 0
    capsys.readouterr()
    assert _code(["plan", "o.toml", "--cloth", "main=110cm", "--gap", "1cm", "--json"]) == 0
    (entry,) = json.loads(capsys.readouterr().out)["fabrics"]
    assert entry["width_mm"] == 1100.0
    assert entry["gap_mm"] == 10.0
    assert entry["fold"] == "open"


def test_labels_say_whose_a_piece_is(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """On the sheet, in the tables and in the report."""
    assert _code(["plan", "apron.toml:S*3", "apron.toml:XL", *QUICK, "--out", "plan"]) == 0
    capsys.readouterr()
    report = (folder / "plan" / "report.html").read_text(encoding="utf-8")
    assert "apron S 2 of 3: pocket" in report
    assert "apron S 1 to 3 of 3: front" in report
    assert "apron XL: tie" in report
    drawn = (folder / "plan" / "140cm.svg").read_text(encoding="utf-8")
    assert "apron S 2 of 3" in drawn


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["apron.toml:Q", "apron.toml:S"], "there is no size 'Q'"),
        (["aprn", "apron.toml:S"], "aprn: is neither a garment on the shelf nor a file"),
        (["apron.toml:S*0"], "'0' is no number of garments; from 1 to 100"),
        (["apron.toml:S*-3"], "'-3' is no number of garments"),
        (["apron.toml*" + "9" * 50], "is no number of garments"),
        (["apron.toml*two"], "'two' is no number of garments"),
        (["apron.toml*"], "nothing after * is no number of garments"),
        (["apron.toml:"], "names no size"),
        (["*3"], "names no garment"),
        (["apron.toml:S", "apron.toml:S"], "'apron S' is asked for twice"),
        (["apron.toml:S*60", "apron.toml:M*60"], "120 garments in all are more than the 100"),
        (["apron.toml:S", "apron.toml:M", "--size", "S"], "--size is for one garment"),
        (["apron.toml:S", "--size", "S"], "names a size already"),
        (["apron.toml:S", "pinafore"], "garment 'pinafore': no cloth for role 'interfacing'"),
        (["apron.toml:S", "apron.toml:M", "--cloth", "lining=90cm"], "cloth for role 'lining'"),
        (["apron.toml:S", "apron.toml:M", "--grain", "up"], "is told by DRAWING.toml beside it"),
        (["apron.toml:S", "apron.toml:M", "--cloth", "main@aprn=90cm"], "is called 'aprn'"),
        (["apron.toml:S", "--save-order", "order.txt"], "does not end in .toml"),
        (["apron.toml:S", "--save-order", "none/o.toml"], "there is no folder 'none'"),
        (["apron.toml:S", "--save-order", "apron.toml"], "'apron.toml' is there already"),
        (["order.toml", "apron.toml"], "is an order file, which is planned by itself"),
        (["order.toml", "--size", "S"], "which says the sizes itself"),
        (["apron.toml:S", "--seed", "-7"], "-7 is not in the range"),
    ],
)
def test_what_is_typed_wrongly_is_told(
    folder: Path, typed: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """With exit code 2, and nothing is written."""
    (folder / "order.toml").write_text('[[garment]]\nname = "apron.toml"\n', encoding="utf-8")
    assert _code(["plan", *typed, *QUICK]) == ExitCode.INPUT
    assert said in " ".join(capsys.readouterr().err.split())
    assert sorted(path.name for path in folder.iterdir()) == ["apron.toml", "order.toml"]


def test_an_order_file_that_cannot_be_read_is_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Empty, broken, or of another kind."""
    for text, said in (
        ("", "is empty"),
        ("[[garment]]\nname =", "order.toml:2"),
        ("\x00", "control"),
    ):
        (folder / "order.toml").write_text(text, encoding="utf-8")
        assert _code(["plan", "order.toml", *QUICK]) == ExitCode.INPUT
        assert said in capsys.readouterr().err


def test_several_garments_are_compared_and_charted_together(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As one; an order file asks the same, whatever its cloth."""
    typed = ["apron.toml:S*2", "apron.toml:L"]
    order = ["plan", *typed, *QUICK, "--json", "--save-order", "order.toml"]
    assert _code(order) == ExitCode.DONE
    (planned,) = json.loads(capsys.readouterr().out)["fabrics"]
    told = []
    for garments in ([*typed, "--fold", "open", "--effort", "quick"], ["order.toml"]):
        compare = ["compare", *garments, "--width", "140cm", "--nap", "without", "--json"]
        assert _code(compare) == ExitCode.DONE
        told.append(capsys.readouterr().out)
        chart = ["chart", *garments, "--width", "140cm", "--json"]
        assert _code(chart) == ExitCode.DONE
        told.append(capsys.readouterr().out)
    assert told[:2] == told[2:]
    (cell,) = json.loads(told[0])["cells"]
    assert cell["length_mm"] == pytest.approx(planned["length_mm"], abs=0.01)
    needs = json.loads(told[1])["needs"]
    assert {need["size"] for need in needs} == {"together"}


def test_a_role_of_one_garment_is_compared_by_itself(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Named as for a plan."""
    compare = ["compare", "apron.toml:S", "apron.toml:L", "--role", "main@apron:L"]
    rest = ["--width", "140cm", "--nap", "without", "--fold", "open", "--effort", "quick"]
    assert _code([*compare, *rest, "--json"]) == ExitCode.DONE
    (cell,) = json.loads(capsys.readouterr().out)["cells"]
    assert cell["roles"] == ["main of apron L"]


def test_an_order_file_is_checked(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its own faults, then those of what it names; a sound one is told."""
    order = folder / "order.toml"
    texts = {
        '[[garment]]\nname = "apron.toml"\nsize = "Q"\n': "there is no size 'Q'",
        '[[garment]]\nname = "apron.toml"\ncount = 0\n': "garment[1].count",
        '[[garment]]\nname = "apron.toml"\n': "no cloth for role 'main'",
    }
    for text, said in texts.items():
        order.write_text(text, encoding="utf-8")
        assert _code(["check", "order.toml"]) == ExitCode.INPUT
        assert said in capsys.readouterr().out
    assert _code(["plan", "order.toml", "--effort", "quick"]) == ExitCode.INPUT
    assert "--cloth" not in capsys.readouterr().err
    order.write_text(f"cloth = {{ main = '140cm' }}\n{text}count = 2\n", encoding="utf-8")
    assert _code(["check", "order.toml"]) == ExitCode.DONE
    assert "order.toml: a sound order" in capsys.readouterr().out


@pytest.mark.parametrize("command", [["pieces"], ["show"], ["keep"]])
def test_what_takes_one_garment_says_so(
    folder: Path, command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """An order file is not read as a faulty garment."""
    (folder / "order.toml").write_text('[[garment]]\nname = "apron.toml"\n', encoding="utf-8")
    assert _code([command[0], "order.toml", *command[1:]]) == ExitCode.INPUT
    assert "order.toml: is an order file" in capsys.readouterr().err


def test_pieces_of_a_whole_order_are_drawn_and_printed(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each piece says whose it is; the order says the sizes itself."""
    text = "".join(
        f'[[garment]]\nname = "apron.toml"\nsize = "{size}"\ncount = 2\n' for size in "SL"
    )
    (folder / "order.toml").write_text(text, encoding="utf-8")
    assert _code(["draw", "order.toml", "--out", "x.svg"]) == ExitCode.DONE
    drawn = (folder / "x.svg").read_text(encoding="utf-8")
    for size in "SL":
        assert f"apron {size}: " in drawn
    asked = ["print", "order.toml", "--out", "x.pdf", "--piece", "apron L: pocket"]
    assert _code(asked) == ExitCode.DONE
    assert "the map and" in capsys.readouterr().out
    assert _code(["print", "order.toml", "--out", "y.pdf", "--size", "S"]) == ExitCode.INPUT
    assert "which says the sizes itself" in capsys.readouterr().err

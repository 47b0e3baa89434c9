"""The commands before buying and after cutting: what they print and how they end."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder, a stash and a cache of its own for each test."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("LAYWRIGHT_STASH", str(tmp_path / "stash.sqlite"))
    monkeypatch.setattr("plans.compare.results.user_cache_folder", lambda: tmp_path / "cache")
    return tmp_path


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = _code(list(arguments))
    captured = capsys.readouterr()
    assert max((len(line) for line in captured.out.splitlines()), default=0) <= 100 or (
        "--csv" in arguments or "--json" in arguments
    )
    return code, captured.out, captured.err


def test_a_stash_is_kept_searched_and_corrected(
    capsys: pytest.CaptureFixture[str], elsewhere: Path
) -> None:
    """In, list, find, show with a picture, correct, out, export, import, backup."""
    out = run(capsys, "stash", "list")[1]
    assert "is empty" in out
    assert "laywright stash bolt demo-cotton-lawn --length 3m" in out
    assert run(capsys, "stash", "find", "--colour", "red")[1] == out
    code, out, _ = run(capsys, "stash", "bolt", "demo-cotton-lawn", "--length", "3 1/4 yd")
    assert (code, out.split(":")[0]) == (0, "B1")
    assert "unwashed" in out
    run(capsys, "stash", "leftover", "demo-cotton-lawn", "--rectangle", "60x20cm")
    run(
        capsys, "stash", "leftover", "demo-sheer-voile", "--points", "0,0 20,0 20,60 0,60 cm",
        "--warp", "90", "--note", "hem",
    )  # fmt: skip
    _, out, _ = run(capsys, "stash", "find", "--size", "24 x 7 1/2 in", "--units", "imperial")
    assert "L1" not in out
    found = json.loads(run(capsys, "stash", "find", "--size", "60x20cm", "--json")[1])
    assert [one["tag"] for one in found["leftovers"]] == ["L1", "L2"]
    assert [one["tag"] for one in found["bolts"]] == ["B1"]
    lines = run(capsys, "stash", "find", "--size", "60x20cm", "--csv")[1].splitlines()
    assert [line.split(",")[1] for line in lines] == ["tag", "B1", "L1", "L2"]
    _, out, _ = run(capsys, "stash", "show", "L2", "--picture", "L2.svg")
    assert "60 cm along the grain x 20 cm across" in out
    assert (elsewhere / "L2.svg").read_text().startswith("<?xml")
    _, out, _ = run(capsys, "stash", "correct", "B1", "--length", "2.9m", "--washed")
    assert "2.9 m, washed" in out
    assert run(capsys, "stash", "backup", "copy.sqlite")[0] == 0
    assert run(capsys, "stash", "export", "stash.json")[0] == 0
    assert run(capsys, "stash", "export", "stash.csv")[0] == 0
    assert run(capsys, "stash", "out", "l1")[1].startswith("L1 is out\n")
    assert "nothing in the stash matches" in run(capsys, "stash", "find", "--colour", "red")[1]
    for name, came in (("stash.json", 3), ("stash.csv", 3)):
        code, out, _ = run(capsys, "stash", "import", name, "--stash", f"{name}.sqlite")
        assert (code, out) == (0, f"{came} put in, 0 were known already and left alone\n")
    whole = json.loads(run(capsys, "stash", "list", "--json", "--stash", "copy.sqlite")[1])
    assert len(whole["leftovers"]) == 2


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["stash", "show", "L9"], "nothing in the stash carries it"),
        (["stash", "bolt", "140cm", "--length", "0"], "'0' is too little; more than 0"),
        (["stash", "bolt", "140cm", "--length", "0 cm"], "'0 cm' is too little; more than 0"),
        (["stash", "leftover", "140cm"], "either --rectangle or --points"),
        (["stash", "leftover", "140cm", "--rectangle", "60cm"], "is not LONGxWIDE"),
        (["stash", "leftover", "140cm", "--points", "0,0 1,0 1,1"], "ends in no unit"),
        (
            ["stash", "leftover", "140cm", "--points", "0,0 9,9 9,0 0,9 cm"],
            "does not hold together",
        ),
        (["stash", "import", "nothing.json"], "does not exist"),
        (["stash", "export", "stash.txt"], "neither .json nor .csv"),
        (["cut"], "name a plan to record, or --undo NUMBER"),
        (["cut", "--undo", "3"], "none of that number"),
        (["compare", "layered-top", "--chart", "chart.bmp"], "ends in none of"),
        (["compare", "layered-top", "--role", "sleeve"], "'sleeve', which no piece"),
        (["compare", "layered-top", "--width", "wide"], "is not a length"),
        (["compare", "layered-top", "--json", "--csv"], "choose one"),
        (["chart", "wrap-skirt", "--size", "XL"], "known: S, M, L"),
        (["plan", "toy-hare", "--cloth", "plush=60cm", "--on-hand", "cotton=1m"], "has no cloth"),
        (["plan", "toy-hare", "--cloth", "plush=stash:B4"], "nothing in the stash carries it"),
    ],
)
def test_what_cannot_be_is_refused_with_a_reason(
    capsys: pytest.CaptureFixture[str], arguments: list[str], message: str
) -> None:
    """Exit code 2, and nothing on standard output."""
    code, out, err = run(capsys, *arguments)
    assert code == ExitCode.INPUT
    assert message in " ".join(err.split())
    assert not out


def test_compare_prints_its_cells_and_draws_them(
    capsys: pytest.CaptureFixture[str], elsewhere: Path
) -> None:
    """As a table with a chart, as JSON, as CSV; the second and third time from the cache."""
    question = [
        "compare", "toy-hare", "--role", "cotton", "--width", "60cm", "--width", "90cm", "--fold",
        "open", "--fold", "crosswise", "--price", "10", "--currency", "EUR",
    ]  # fmt: skip
    code, out, _ = run(capsys, *question, "--chart", "chart.png")
    assert code == 0
    assert "EUR" in out
    assert "not 60cm crosswise, 90cm crosswise" in out
    assert (elsewhere / "chart.png").stat().st_size > 5000
    cells = json.loads(run(capsys, *question, "--json")[1])["cells"]
    assert len(cells) == 8
    assert sum(cell["length_mm"] is None for cell in cells) == 2
    assert all(
        cell["cost"] == pytest.approx(cell["buy_mm"] / 100) for cell in cells if cell["buy_mm"]
    )
    assert len(run(capsys, *question, "--csv")[1].splitlines()) == 9


def test_a_chart_of_sizes_in_both_systems(
    capsys: pytest.CaptureFixture[str], elsewhere: Path
) -> None:
    """Each size and direction of nap, metres above yards."""
    code, out, _ = run(
        capsys, "chart", "wrap-skirt", "--size", "S", "--size", "L", "--width", "140cm", "--fold",
        "lengthwise", "--effort", "quick", "--out", "chart.pdf",
    )  # fmt: skip
    assert code == 0
    assert "140 cm (55 in)" in out
    assert (elsewhere / "chart.pdf").read_bytes().startswith(b"%PDF")
    data = json.loads(
        run(
            capsys, "chart", "wrap-skirt", "--size", "S", "--size", "L", "--width", "140cm",
            "--fold", "lengthwise", "--effort", "quick", "--json",
        )[1]
    )  # fmt: skip
    assert len(data["needs"]) == 4
    for need in data["needs"]:
        assert need["buy_m"] * 1000.0 >= need["length_mm"] - 0.01
        assert 0.0 <= need["buy_yd"] * 914.4 - need["length_mm"] + 0.01 <= 914.4 / 8 + 0.02
        assert (need["buy_yd"] * 8) % 1 == pytest.approx(0.0, abs=1e-5)


def test_a_plan_is_cut_from_the_stash_with_its_leftovers(
    capsys: pytest.CaptureFixture[str], elsewhere: Path
) -> None:
    """The whole round: bolt in, plan on it, cut, tags and sheet, uses, undo."""
    run(capsys, "stash", "bolt", "demo-linen", "--length", "4m", "--washed")
    code, out, err = run(
        capsys, "plan", "wrap-skirt", "--cloth", "main=stash:B1", "--fold", "lengthwise",
        "--effort", "quick",
    )  # fmt: skip
    assert code == 0, err
    assert "to take" in out
    before = set(elsewhere.iterdir())
    code, out, _ = run(capsys, "cut", "wrap-skirt-plan")
    assert code == 0
    assert "off B1" in out
    # The sheet lies with the plan's other drawings, and not wherever the command was given.
    assert set(elsewhere.iterdir()) == before
    recorded = json.loads(run(capsys, "stash", "list", "--json")[1])
    assert recorded["bolts"][0]["length_mm"] < 4000.0
    tags = [one["tag"] for one in recorded["leftovers"]]
    if tags:
        sheet = "wrap-skirt-plan/leftovers-cut-1.pdf"
        assert f"Drawn in {sheet}" in out
        assert (elsewhere / sheet).read_bytes().startswith(b"%PDF")
        assert run(capsys, "uses", tags[0], "--garment", "toy-hare", "--bias", "3cm")[0] == 0
        out = run(capsys, "uses", tags[0], "--garment", "toy-hare", "--bias", "3cm", "--csv")[1]
        assert out.splitlines()[-1].startswith("bias strip,30.0,,,")
        assert out.splitlines()[0].endswith(",joins")
    assert run(capsys, "cut", "wrap-skirt-plan")[0] == ExitCode.INPUT
    assert "back on B1" in run(capsys, "cut", "--undo", "1")[1]
    code, out, _ = run(capsys, "cut", "wrap-skirt-plan", "--again", "--sheet", "sheet.pdf")
    assert (elsewhere / "sheet.pdf").exists() is bool(tags)
    run(capsys, "cut", "--undo", "2")
    after = json.loads(run(capsys, "stash", "list", "--json")[1])
    assert after["bolts"][0]["length_mm"] == 4000.0
    assert not after["leftovers"]
    assert "undone" in run(capsys, "stash", "list", "--cuts")[1]
    assert run(capsys, "stash", "plan", "1", "--out", "kept.json")[0] == 0
    assert run(capsys, "show", "kept.json")[1] == run(capsys, "show", "wrap-skirt-plan")[1]


def test_too_short_a_cloth_ends_with_its_own_code(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 3, what is missing, no plan written."""
    code, out, err = run(
        capsys, "plan", "toy-hare", "--cloth", "plush=60cm", "--cloth", "cotton=60cm", "--on-hand",
        "cotton=5cm washed", "--fold", "open", "--effort", "quick",
    )  # fmt: skip
    assert code == ExitCode.NO_LAYOUT
    assert "5 cm on hand (washed)" in err
    assert "too little" in err
    assert not out
    assert not Path("toy-hare-plan/plan.json").exists()


def test_a_bad_row_does_not_hide_the_good_ones(
    capsys: pytest.CaptureFixture[str], elsewhere: Path
) -> None:
    """The list tells them apart and says what to do; an export warns."""
    import sqlite3
    from contextlib import closing

    for fabric in ("demo-linen", "demo-cotton-lawn"):
        run(capsys, "stash", "bolt", fabric, "--length", "3m")
    with closing(sqlite3.connect(elsewhere / "stash.sqlite")) as base, base:
        base.execute("UPDATE fabric SET body = '{}' WHERE name = 'demo-linen'")
    for command in (["list"], ["list", "--json"], ["export", "out.json"], ["export", "out.csv"]):
        code, out, err = run(capsys, "stash", *command)
        assert code == 0
        assert "fabric.width_mm: is missing" in err
        assert "laywright stash out B1" in err
        if command == ["list"]:
            assert "B2" in out
    assert run(capsys, "stash", "show", "B1")[0] == ExitCode.INPUT
    assert run(capsys, "stash", "out", "B1")[0] == 0
    assert run(capsys, "stash", "list")[2] == ""


def test_out_and_correct_are_undone(capsys: pytest.CaptureFixture[str]) -> None:
    """Each says how; the list of changes shows them."""
    assert run(capsys, "stash", "list", "--changes")[1] == "nothing was taken out or corrected\n"
    run(capsys, "stash", "bolt", "demo-linen", "--length", "3m", "--unwashed")
    out = run(capsys, "stash", "correct", "B1", "--length", "2.5m")[1]
    assert "laywright stash undo 1 takes this correction back" in out
    assert "laywright stash undo 2 brings it back" in run(capsys, "stash", "out", "B1")[1]
    assert run(capsys, "stash", "undo")[1] == "change 2 is undone: B1 back\n"
    assert run(capsys, "stash", "undo", "1")[1] == "change 1 is undone: B1 as before\n"
    assert "3 m" in run(capsys, "stash", "show", "B1")[1]
    code, _, err = run(capsys, "stash", "undo")
    assert (code, "nothing was taken out" in err) == (ExitCode.INPUT, True)
    assert run(capsys, "stash", "list", "--changes")[1].count("undone") == 2


def test_home_and_class_merge_and_tell_the_new_tags(capsys: pytest.CaptureFixture[str]) -> None:
    """Tags to write anew; the second time nothing comes."""
    run(capsys, "stash", "bolt", "demo-linen", "--length", "3m")
    run(capsys, "stash", "export", "home.csv")
    run(capsys, "stash", "bolt", "demo-velveteen", "--length", "1m", "--stash", "class.sqlite")
    _, out, _ = run(capsys, "stash", "import", "home.csv", "--stash", "class.sqlite")
    assert "1 put in" in out
    assert "B1 is B2 here, where B1 was given before; write B2 on it" in out
    assert "was B1 in home.csv" in run(capsys, "stash", "show", "B2", "--stash", "class.sqlite")[1]
    _, out, _ = run(capsys, "stash", "import", "home.csv", "--stash", "class.sqlite")
    assert out == "0 put in, 1 was known already and left alone\n"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["stash", "list", "--stash", "/dev/null"], "/dev/null: is no ordinary file"),
        (["stash", "import", "/dev/null"], "/dev/null:1: is no JSON"),
        (["stash", "bolt", "140cm", "--length", "-3m"], "negative"),
        (["stash", "leftover", "140cm", "--rectangle", "0x20cm"], "a side of no length"),
        (["stash", "leftover", "140cm", "--rectangle", "9x9cm", "--warp", "nan"], "no direction"),
        (["stash", "leftover", "140cm", "--points", "0,0 9,0 9,0 cm"], "no area"),
        (["uses", "L1", "--bias", "0cm"], "more than 0"),
        (["uses", "L1", "--gap", "-1cm"], "negative"),
        (["stash", "export", "nowhere/stash.json"], "there is no such file or folder"),
        (["stash", "backup", "nowhere/copy.sqlite"], "look whether its folder is there"),
    ],
)
def test_what_the_system_refuses_is_said_in_words(
    capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    """Exit code 2, the file or the field, and no text of SQLite or the system."""
    code, _, err = run(capsys, *arguments)
    assert code == ExitCode.INPUT
    assert said in " ".join(err.split())


def test_a_bolt_on_hand_comes_before_the_shop(capsys: pytest.CaptureFixture[str]) -> None:
    """Planned by the fabric's name with --leftovers, cut, and booked off that bolt."""
    run(capsys, "stash", "bolt", "demo-linen", "--length", "40cm", "--washed")
    run(capsys, "stash", "bolt", "demo-linen", "--length", "4m", "--unwashed")
    code, out, err = run(
        capsys, "plan", "wrap-skirt", "--cloth", "main=demo-linen", "--effort", "quick",
        "--fold", "lengthwise", "--leftovers",
    )  # fmt: skip
    assert code == 0, err
    assert "Bolt B2 of your stash holds enough" in " ".join(out.split())
    assert "Ask for" not in out
    assert "off B2" in run(capsys, "cut", "wrap-skirt-plan")[1]
    bolts = json.loads(run(capsys, "stash", "list", "--json")[1])["bolts"]
    assert bolts[0]["length_mm"] == 400.0
    assert 1000.0 < bolts[1]["length_mm"] < 3000.0

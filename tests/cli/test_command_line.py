"""The command line, driven as a process: exit codes, messages, JSON, interrupts, folders."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from functools import partial
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import COMMANDS
from tests.cli.programs import PATIENCE_S, started, wait_until

ROOT = Path(__file__).parents[2]
TOP = ["plan", "layered-top", "--cloth", "base=demo-cotton-lawn", "--cloth",
       "overlay=demo-sheer-voile", "--effort", "quick"]  # fmt: skip


def run(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "plans.cli", *arguments],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
    )


def test_help_is_instant_and_light(tmp_path: Path) -> None:
    """No heavy import on the way to --help, and every command is there."""
    code = (
        "import sys, plans.cli.main as m; "
        "code = m._code(['--help']); "
        "heavy = {'numpy', 'numba', 'matplotlib', 'shapely', 'rectpack', 'highspy'}; "
        "heavy &= set(sys.modules); "
        "print('heavy:', sorted(heavy), code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert "heavy: [] 0" in done.stdout
    for name in COMMANDS:
        assert re.search(rf"^  {name}\b", done.stdout, re.MULTILINE)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example(tmp_path: Path, name: str) -> None:
    """A sentence and a worked example each."""
    done = run(name, "-h", cwd=tmp_path)
    assert done.returncode == ExitCode.DONE
    assert re.search(r"Examples?:", done.stdout)
    assert max(len(line) for line in done.stdout.splitlines()) <= 100


def test_plan_writes_everything_and_show_reads_it_back(tmp_path: Path) -> None:
    """The demo from files to folder, twice over, and back."""
    done = run(*TOP, "--fold", "partial", cwd=tmp_path)
    assert done.returncode == ExitCode.DONE, done.stderr
    # Without a terminal, a word on what is going on and nothing else.
    said = re.compile(r"(\d+ s: )?(laying out on|demo-|no layout)")
    assert done.stderr
    assert all(said.match(line) for line in done.stderr.splitlines())
    folder = tmp_path / "layered-top-plan"
    names = {path.name for path in folder.iterdir()}
    for stem in ("demo-cotton-lawn", "demo-sheer-voile"):
        assert {f"{stem}.pdf", f"{stem}.svg", f"{stem}.png"} <= names
    assert {"plan.json", "report.html"} <= names
    shown = run("show", str(folder), cwd=tmp_path)
    assert shown.returncode == ExitCode.DONE
    assert shown.stdout in done.stdout
    again = run("show", str(folder / "plan.json"), "--out", "again", "--json", cwd=tmp_path)
    assert json.loads(again.stdout) == json.loads((folder / "plan.json").read_text())
    assert (tmp_path / "again" / "report.html").exists()


def test_json_is_all_there_is_on_standard_output(tmp_path: Path) -> None:
    """Parsed, complete, and no folder written unless it is named."""
    done = run(*TOP, "--json", "--fold", "double", cwd=tmp_path)
    assert done.returncode == ExitCode.DONE
    data = json.loads(done.stdout)
    assert data["format"] == "laywright-plan"
    assert data["complete"] is True
    assert [f["fold"] for f in data["fabrics"]] == ["double", "double"]
    for fabric in data["fabrics"]:
        for placed in fabric["placements"]:
            for copy in placed["copies"]:
                assert Polygon(copy["outline"]).is_valid
    assert list(tmp_path.iterdir()) == []


GARMENTS = {
    "bow.toml": 'title = "t"\nunits = "cm"\n[[piece]]\nname = "bow"\ncut = "2"\n'
    'drawn = "with allowance"\ngrain = "up"\n'
    'edges = [{ name = "o", to = [[10, 10], [0, 12], [10, 0], [0, 0]] }]\n',
    "open.toml": 'title = "t"\nunits = "cm"\n[[piece]]\nname = "gap"\ncut = "2"\n'
    'drawn = "with allowance"\ngrain = "up"\n'
    'edges = [{ name = "o", to = [[10, 0], [10, 12]] }]\n',
    "zero.toml": 'title = "t"\n[[piece]]\nname = "none"\ncut = "0"\n'
    'drawn = "with allowance"\nstrip = { length = "9 cm", width = "5 cm" }\n',
    "minus.toml": 'title = "t"\n[[piece]]\nname = "less"\ncut = "-3"\n'
    'drawn = "with allowance"\nstrip = { length = "9 cm", width = "5 cm" }\n',
    "huge.toml": 'title = "t"\n[[piece]]\nname = "many"\ncut = "100000"\n'
    'drawn = "with allowance"\nstrip = { length = "9 cm", width = "5 cm" }\n',
    "unit.toml": 'title = "t"\n[[piece]]\nname = "bare"\ncut = "2"\n'
    'drawn = "with allowance"\nstrip = { length = "9", width = "5 cm" }\n',
    "keys.toml": 'title = "t"\n[[piece]]\nname = "slip"\ncut = "2"\nstirp = 1\n'
    'drawn = "with allowance"\nstrip = { length = "9 cm", width = "5 cm" }\n',
    "broken.toml": 'title = "t"\n[[piece]\n',
    "empty.toml": "",
    "sail.toml": 'title = "t"\nunits = "cm"\n[[piece]]\nname = "sail"\ncut = "1"\n'
    'drawn = "with allowance"\ngrain = "up"\n'
    'edges = [{ name = "o", to = [[200, 0], [200, 90], [0, 90], [0, 0]] }]\n',
}

FABRICS = {
    "gone.toml": 'title = "t"\nwidth = "140 cm"\nshrinkage = { along = "100 %" }\n',
    "edge.toml": 'title = "t"\nwidth = "140 cm"\nselvage = "80 cm"\n',
}

BAD = [
    ("bow.toml", "140cm", (), ExitCode.INPUT, ("bow.toml", "'bow'", "crosses itself")),
    ("open.toml", "140cm", (), ExitCode.INPUT, ("open.toml", "'gap'", "outline is open")),
    ("zero.toml", "140cm", (), ExitCode.INPUT, ("'none'", "cut", "at least 1")),
    ("minus.toml", "140cm", (), ExitCode.INPUT, ("'less'", "cut", "at least 1")),
    ("huge.toml", "140cm", (), ExitCode.INPUT, ("'many'", "cut", "slip")),
    ("unit.toml", "140cm", (), ExitCode.INPUT, ("'bare'", "strip.length", "no unit")),
    ("keys.toml", "140cm", (), ExitCode.INPUT, ("'slip'", "'stirp'", "did you mean 'strip'")),
    ("broken.toml", "140cm", (), ExitCode.INPUT, ("broken.toml:2", "begins no table")),
    ("empty.toml", "140cm", (), ExitCode.INPUT, ("empty.toml", "is empty")),
    ("absent.toml", "140cm", (), ExitCode.INPUT, ("absent.toml", "no such file")),
    ("trousers", "gone.toml", (), ExitCode.INPUT, ("gone.toml", "shrinkage.along", "100 %")),
    ("trousers", "edge.toml", (), ExitCode.INPUT, ("edge.toml", "selvage", "leave nothing")),
    ("trousers", "140", (), ExitCode.INPUT, ("no unit",)),
    ("trousers", "demo-velvet", (), ExitCode.INPUT, ("did you mean 'demo-velveteen'",)),
    ("trousres", "140cm", (), ExitCode.INPUT, ("did you mean 'trousers'",)),
    ("trousers", "140cm", ("--cloth", "lining=90cm"), ExitCode.INPUT, ("'lining'", "no piece")),
    (
        "layered-top",
        "140cm",
        (),
        ExitCode.INPUT,
        ("'main', which no piece", "'base'"),
    ),
    ("trousers", "demo-velveteen", ("--fold", "crosswise"), ExitCode.INPUT, ("one-way cloth",)),
    ("trousers", "140cm", ("--makes", "0"), ExitCode.INPUT, ("--makes",)),
    ("trousers", "140cm", ("--gap", "20yd"), ExitCode.INPUT, ("--gap", "at most 393 11/16 in")),
    ("trousers", "140cm", ("--gap", "3"), ExitCode.INPUT, ("--gap", "no unit")),
    ("trousers", "140cm", ("--out", "/proc/nowhere"), ExitCode.INPUT, ("/proc", "written")),
    ("trousers", "140cm", ("--out", "no/such/place"), ExitCode.INPUT, ("does not exist",)),
    (
        "sail.toml",
        "140cm",
        (),
        ExitCode.NO_LAYOUT,
        ("'sail'", "62 cm more than", "at least 202 cm"),
    ),
    ("trousers", "90cm", ("--fold", "double"), ExitCode.NO_LAYOUT, ("'front leg'", "more than")),
]


@pytest.mark.parametrize(("garment", "cloth", "more", "code", "parts"), BAD)
def test_bad_input_is_met_with_its_code_and_names(
    tmp_path: Path,
    garment: str,
    cloth: str,
    more: tuple[str, ...],
    code: ExitCode,
    parts: tuple[str, ...],
) -> None:
    """File, piece and field named; the exit code documented; nothing written."""
    for name, text in {**GARMENTS, **FABRICS}.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    before = sorted(path.name for path in tmp_path.iterdir())
    done = run(
        "plan", garment, "--cloth", f"main={cloth}", "--effort", "quick", *more, cwd=tmp_path
    )
    assert done.returncode == code, done.stderr
    assert done.stdout == ""
    for part in parts:
        assert part in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_check_lists_all_faults(tmp_path: Path) -> None:
    """Not only the first; sound files say so."""
    path = tmp_path / "bad.toml"
    path.write_text(GARMENTS["zero.toml"] + GARMENTS["minus.toml"].split("\n", 1)[1])
    done = run("check", "bad.toml", cwd=tmp_path)
    assert done.returncode == ExitCode.INPUT
    assert "'none'" in done.stdout
    assert "'less'" in done.stdout
    assert "2 things to mend" in done.stdout
    assert run("check", "trousers", cwd=tmp_path).returncode == ExitCode.DONE
    assert "a sound fabric" in run("check", "demo-linen", cwd=tmp_path).stdout


def test_shelves_are_listed_and_pieces_drawn(tmp_path: Path) -> None:
    """Names, roles, sizes; a picture of the pieces."""
    assert "layered-top" in run("pieces", cwd=tmp_path).stdout
    assert "demo-velveteen" in run("fabrics", cwd=tmp_path).stdout
    assert "3 % along" in run("fabrics", "demo-velveteen", cwd=tmp_path).stdout
    done = run("pieces", "pinafore", "--picture", "p.png", cwd=tmp_path)
    assert "cut 1 on fold" in done.stdout
    assert (tmp_path / "p.png").read_bytes().startswith(b"\x89PNG")
    bad = run("pieces", "pinafore", "--picture", "p.doc", cwd=tmp_path)
    assert bad.returncode == ExitCode.INPUT


def _ended_or_there(process: subprocess.Popen[str], folder: Path, seen: str) -> bool:
    return process.poll() is not None or bool(list(folder.glob(seen)))


def test_a_kill_in_the_middle_leaves_no_half_folder(tmp_path: Path) -> None:
    """Killed when the folder beside the target appears, or later: it is either absent or whole."""
    plan = ("plan", "trousers", "--cloth", "main=140cm", "--effort", "quick", "--fold", "open")
    for seen in (".laywright-*", ".laywright-*/*.pdf", ".laywright-*/*.png", "trousers-plan"):
        with started(tmp_path, *plan) as process:
            wait_until(
                partial(_ended_or_there, process, tmp_path, seen),
                f"there is {seen}",
            )
            process.kill()
            process.communicate(timeout=PATIENCE_S)
        target = tmp_path / "trousers-plan"
        if target.exists():
            assert {"plan.json", "report.html", "140cm.pdf"} <= {p.name for p in target.iterdir()}
            shutil.rmtree(target)
        for aside in tmp_path.glob(".laywright-*"):
            shutil.rmtree(aside)


@pytest.mark.skipif(os.name != "posix", reason="pipes that break are those of POSIX")
@pytest.mark.parametrize(
    "command",
    [
        ["fabrics"],
        ["pieces", "layered-top"],
        ["check", "nobody.toml"],
        [*TOP, "--fold", "open", "--json"],
    ],
)
def test_output_that_nobody_reads_ends_quietly_and_is_no_success(
    tmp_path: Path, command: list[str]
) -> None:
    """As a shell reports a program that SIGPIPE ended; the reader is gone before it begins."""
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "w") as nobody:
        done = subprocess.run(
            [sys.executable, "-m", "plans.cli", *command],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=nobody,
            stderr=nobody if "nobody.toml" in command else subprocess.PIPE,
            timeout=PATIENCE_S,
            text=True,
        )
    assert done.returncode == 128 + 13
    assert not [line for line in (done.stderr or "").splitlines() if "Error" in line]

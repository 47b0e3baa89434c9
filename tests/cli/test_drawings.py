"""Drawings on the command line: read and kept, planned as they are, completed by options."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click
import pytest

from pieces.drawings.loading import load_any
from pieces.readers.garment_toml import load_garment
from plans.cli.main import _code

SVG = """<svg xmlns="http://www.w3.org/2000/svg" {size}>
<title>Bag</title>
<g id="front"><path id="body" d="M0 0H200V300Q100 340 0 300Z"/>
<line id="grain" x1="100" y1="200" x2="100" y2="50"/></g>
<g id="strap"><rect x="220" width="60" height="380"/><text x="230" y="40">cut 2</text></g>
<text x="230" y="395">drawn in spring</text>
</svg>
"""

SIZED = 'width="300mm" height="400mm" viewBox="0 0 300 400"'

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(name="run")
def _run(capsys: pytest.CaptureFixture[str]) -> Run:
    def run(*arguments: str | Path) -> tuple[int, str, str]:
        code = _code([str(argument) for argument in arguments])
        told = capsys.readouterr()
        return code, click.unstyle(told.out), click.unstyle(told.err)

    return run


@pytest.fixture(name="drawing")
def _drawing(tmp_path: Path) -> Path:
    file = tmp_path / "bag.svg"
    file.write_text(SVG.format(size=SIZED))
    return file


TOLD = ("--allowance", "included", "--grain", "strap=up", "--cut", "front=base: cut 1",
        "--cut", "strap=base: 2", "--cut", "front=lining: 1")  # fmt: skip


def test_what_is_missing_is_listed_at_once_and_nothing_is_written(run: Run, drawing: Path) -> None:
    out = drawing.with_name("bag.toml")
    code, told, _ = run("read", drawing, "--out", out)
    assert code == 2
    assert not out.exists()
    for words in (
        '--cut "front=1 on fold"', "--allowance included", '--grain "strap=up"',
        "left out: text outside all pieces: 'drawn in spring'", "4 things to mend or to tell",
    ):  # fmt: skip
        assert words in told


def test_options_complete_a_drawing_and_it_is_kept(run: Run, drawing: Path) -> None:
    out = drawing.with_name("bag.toml")
    code, told, errors = run("read", drawing, *TOLD, "--out", out)
    assert (code, errors) == (0, "")
    assert "written" in told
    garment = load_garment(out)
    assert garment.title == "Bag"
    assert {(cut.role, cut.label) for cut in garment.pieces[0].cuts} == {
        ("base", "cut 1"), ("lining", "cut 1"),
    }  # fmt: skip
    before = out.read_bytes()
    code, _, errors = run("read", drawing, *TOLD, "--out", out)
    assert code == 2
    assert "is there already" in errors
    assert out.read_bytes() == before
    assert run("read", drawing, *TOLD, "--out", out, "--replace")[0] == 0


def test_a_drawing_is_accepted_where_a_garment_is(run: Run, drawing: Path, tmp_path: Path) -> None:
    code, told, errors = run("pieces", drawing, *TOLD)
    assert code == 0
    assert "front" in told
    assert "left out: text outside all pieces" in errors
    assert run("check", drawing, *TOLD)[0] == 0
    assert run("check", drawing)[0] == 2
    code, told, _ = run(
        "plan", drawing, *TOLD, "--cloth", "base=90cm", "--cloth", "lining=90cm",
        "--effort", "quick", "--out", tmp_path / "plan",
    )  # fmt: skip
    assert code == 0
    assert (tmp_path / "plan").is_dir()


def test_a_drawing_without_a_size_is_asked_about(run: Run, drawing: Path) -> None:
    drawing.write_text(SVG.format(size='viewBox="0 0 300 400"'))
    code, told, _ = run("read", drawing, *TOLD)
    assert code == 2
    assert "--length ID=26.5cm" in told
    assert run("read", drawing, *TOLD, "--length", "grain=15cm")[0] == 0
    code, told, _ = run("read", drawing, *TOLD, "--length", "grain=15cm", "--length", "strap=10cm")
    assert code == 2
    assert "'grain' is to be 15 cm and 'strap' 10 cm" in told


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--length", "5cm"), "is not ID=LENGTH"),
        (("--length", "front=soon"), "soon"),
        (("--length", "front=0cm"), "is no length of a line"),
        (("--cut", "cut 2"), "names no piece"),
        (("--cut", "front=many"), "is no cut label"),
        (("--cut", "front=2", "--cut", "front=1"), "is cut twice in role 'main'"),
        (("--grain", "front="), "says nothing"),
        (("--grain", "up", "--grain", "down"), "given twice"),
    ],
)
def test_an_option_that_is_not_understood_is_told(
    run: Run, drawing: Path, options: tuple[str, ...], words: str
) -> None:
    code, _, errors = run("read", drawing, *options)
    assert code == 2
    assert words in errors


def test_options_for_drawings_are_refused_for_garment_files(run: Run) -> None:
    code, _, errors = run("pieces", "toy-hare", "--length", "ear=5cm")
    assert code == 2
    assert "for drawings only" in errors


def test_read_takes_drawings_only(run: Run, tmp_path: Path) -> None:
    assert "ends in .svg" in run("read", tmp_path / "a.toml")[2]
    assert "cannot be read" in run("read", tmp_path / "a.svg")[2]


def test_the_garment_file_and_the_drawing_are_one_garment(run: Run, drawing: Path) -> None:
    beside = drawing.with_name("bag.svg.toml")
    beside.write_text(
        'units = "cm"\n[all]\nallowance = 1\n[pieces.front]\ncut = { base = "1" }\n'
        '[pieces.strap]\ngrain = "up"\n'
    )
    out = drawing.with_name("kept.toml")
    assert run("read", drawing, "--out", out)[0] == 0
    assert load_garment(out).pieces == load_any(drawing).pieces

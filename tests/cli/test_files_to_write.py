"""Files that cannot be written are refused before anything is searched or recorded."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from plans import whole_files
from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code
from plans.compare import chart_search, search, size_chart
from plans.compare.chart_search import needs_before, search_needs
from plans.compare.cloths import plain_cloths
from plans.compare.size_chart import check_pages, note
from plans.errors import PlanError
from plans.order import Order
from tests.plans.demo import garment

CHART = ["chart", "wrap-skirt", "--out"]
COMPARE = ["compare", "wrap-skirt", "--chart"]


@pytest.fixture(autouse=True)
def nothing_is_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search would fail the test."""

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a search began")

    monkeypatch.setattr(chart_search, "compare", refuse)
    monkeypatch.setattr(search, "compare", refuse)


def refusal(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """What is said on standard error, and nothing else."""
    code = _code(list(arguments))
    out, err = capsys.readouterr()
    assert code == ExitCode.INPUT
    assert not out
    return " ".join(err.split())


@pytest.mark.parametrize("command", [CHART, COMPARE, ["print", "toy-hare", "--out"]])
def test_a_folder_that_is_not_there(
    command: list[str], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """It is named, with the option."""
    told = refusal(capsys, *command, str(tmp_path / "none" / "chart.pdf"))
    assert f"{command[-1]} " in told
    assert f"the folder {tmp_path / 'none'} does not exist; make it first" in told


@pytest.mark.parametrize("command", [CHART, COMPARE])
def test_an_ending_that_nobody_knows(
    command: list[str], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """With those that are known."""
    told = refusal(capsys, *command, str(tmp_path / "chart.bmp"))
    assert "chart.bmp' ends in none of" in told
    assert ".png" in told


@pytest.mark.parametrize("command", [CHART, COMPARE])
def test_a_folder_that_may_only_be_read(
    command: list[str], capsys: pytest.CaptureFixture[str], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """What the system says of it is told."""
    make = os.mkdir

    def refuse(path: str, *more: object) -> None:
        if whole_files.ASIDE in str(path):
            raise PermissionError(13, "Permission denied", path)
        make(path, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "mkdir", refuse)
    told = refusal(capsys, *command, str(tmp_path / "chart.pdf"))
    assert f"{tmp_path} cannot be written: " in told
    assert "it is not permitted" in told


def test_a_picture_does_not_hold_a_chart_of_several_pages(tmp_path: Path) -> None:
    """How many they are is known before any length is."""
    orders = {str(k): Order(garment("wrap-skirt"), {}) for k in range(40)}
    cloths = plain_cloths(("140cm",))
    needs = needs_before(orders, cloths, ())
    assert len(needs) == 80
    assert all(need.length is None for need in needs)
    words = "Skirts", note(30.0, "quick")
    with pytest.raises(PlanError, match=r"has \d pages; name a .pdf"):
        check_pages(needs, *words, tmp_path / "chart.png", "a4")
    check_pages(needs, *words, tmp_path / "chart.pdf", "a4")
    check_pages(needs[:8], *words, tmp_path / "chart.png", "a4")
    with pytest.raises(AssertionError, match="a search began"):
        search_needs(orders, cloths, (), "quick")


def test_such_a_chart_is_refused_before_it_is_searched(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the command, too."""
    monkeypatch.setattr(size_chart, "_pages", lambda *_: [None, None])
    assert "the chart has 2 pages" in refusal(capsys, *CHART, str(tmp_path / "chart.png"))


def test_a_cut_is_not_recorded_whose_sheet_has_no_place(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The stash is not even opened."""
    stash, sheet = tmp_path / "stash.sqlite", tmp_path / "none" / "sheet.pdf"
    told = refusal(capsys, "cut", str(tmp_path), "--sheet", str(sheet), "--stash", str(stash))
    assert f"the folder {sheet.parent} does not exist" in told
    assert not stash.exists()

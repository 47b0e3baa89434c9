"""Screenings in worker processes: order, what an interrupt still gets, and what progress says."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from layout import stop
from plans.cli import progress
from plans.order import Order, PlanProgress
from plans.planner import plan_garment
from plans.workers import screening_pool
from tests.plans.demo import cloth_for, garment

PATIENCE_S = 300.0


def square(number: int) -> int:
    return number * number


def until_asked(folder: str) -> str:
    """Work that has something to hand over whenever it is asked to end."""
    Path(folder, str(os.getpid())).touch()
    assert stop.ASKED_TO_END.wait(PATIENCE_S)
    return "the best so far"


def nothing_yet(folder: str) -> str:
    """Work that has nothing yet when it is asked."""
    Path(folder, str(os.getpid())).touch()
    assert stop.ASKED_TO_END.wait(PATIENCE_S)
    stop.heed()
    return "never"


@pytest.fixture
def _two_cores(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 2)


@pytest.mark.parametrize("cores", [1, 2, 3])
def test_results_do_not_depend_on_workers(monkeypatch: pytest.MonkeyPatch, cores: int) -> None:
    """Every task once, whoever runs it."""
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    with screening_pool(5, None) as run:
        found = dict(run(square, [(k, (k,)) for k in range(5)]))
    assert found == {k: k * k for k in range(5)}


@pytest.mark.usefixtures("_two_cores")
def test_an_interrupt_gets_what_is_found_so_far(tmp_path: Path) -> None:
    """What runs hands over its best; what has nothing, or has not begun, is dropped."""

    def interrupt() -> None:
        if len(list(tmp_path.iterdir())) == 2:
            raise KeyboardInterrupt

    tasks = [(0, (str(tmp_path),)), (1, (str(tmp_path),)), (2, (str(tmp_path),))]
    with screening_pool(2, None, interrupt) as run:
        with pytest.raises(KeyboardInterrupt):
            list(run(until_asked, tasks))
        found = dict(run.rest())
    assert {0, 1} <= set(found)
    assert set(found.values()) == {"the best so far"}


@pytest.mark.usefixtures("_two_cores")
def test_an_interrupt_before_anything_is_found_gets_nothing(tmp_path: Path) -> None:
    """Neither an error nor a result."""

    def interrupt() -> None:
        if list(tmp_path.iterdir()):
            raise KeyboardInterrupt

    with screening_pool(1, None, interrupt) as run:
        with pytest.raises(KeyboardInterrupt):
            list(run(nothing_yet, [(0, (str(tmp_path),))]))
        assert list(run.rest()) == []


class _Clock:
    now = 0.0

    def monotonic(self) -> float:
        return self.now


def test_without_a_terminal_a_line_now_and_then(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stages at once, all else at most every ten seconds; the shortest of the fabric at work."""
    clock = _Clock()
    monkeypatch.setattr(progress, "time", clock)
    stream = io.StringIO()
    with progress.progress_line(stream, searches=False) as tell:
        tell(PlanProgress(stage="trying seven folds"))
        clock.now = 9.0
        tell(PlanProgress())
        tell(PlanProgress("linen", "open", 1500.0))
        clock.now = 12.0
        tell(PlanProgress("linen", "lengthwise", 1400.0))
        clock.now = 13.0
        tell(PlanProgress("linen", "lengthwise", 1300.0))
        tell(PlanProgress(stage="searching on"))
        clock.now = 24.0
        tell(PlanProgress())
    assert stream.getvalue().splitlines() == [
        "trying seven folds",
        "12 s: linen: shortest so far 140.0 cm (lengthwise)",
        "13 s: searching on",
        "24 s: linen: shortest so far 130.0 cm (lengthwise)",
    ]


def test_steps_without_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same for comparisons."""
    clock = _Clock()
    monkeypatch.setattr(progress, "time", clock)
    stream = io.StringIO()
    with progress.step_line(stream) as tell:
        tell(1, 9)
        clock.now = 11.0
        tell(4, 9)
        tell(5, 9)
    assert stream.getvalue() == "11 s: step 4 of 9 is done\n"


def test_the_same_plan_on_one_core_and_on_two(monkeypatch: pytest.MonkeyPatch) -> None:
    """All folds of two fabrics, one after another or side by side: equal to the last figure."""
    plans = []
    for cores in (1, 2):
        monkeypatch.setattr(os, "cpu_count", lambda cores=cores: cores)
        plans.append(
            plan_garment(Order(garment("layered-top"), cloth_for("layered-top"), effort="quick"))
        )
    assert plans[0] == plans[1]

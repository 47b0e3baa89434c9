"""Screenings in worker processes: order, what an interrupt still gets, and what progress says."""

from __future__ import annotations

import io
import multiprocessing
import os
from concurrent.futures import BrokenExecutor
from pathlib import Path

import pytest

from layout import stop
from plans.answer.planner import plan_garment
from plans.cli.common import progress
from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.failures import told
from plans.order import Order, PlanProgress
from plans.workers import local
from plans.workers.screening import screening_pool
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
    monkeypatch.setattr(local, "cores", lambda: 2)


@pytest.mark.parametrize("cores", [1, 2, 3])
def test_results_do_not_depend_on_workers(monkeypatch: pytest.MonkeyPatch, cores: int) -> None:
    """Every task once, whoever runs it."""
    monkeypatch.setattr(local, "cores", lambda: cores)
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
        "12 s: linen: shortest so far 140.0 cm (lengthwise fold)",
        "13 s: searching on",
        "24 s: linen: shortest so far 130.0 cm (lengthwise fold)",
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
        monkeypatch.setattr(local, "cores", lambda cores=cores: cores)
        plans.append(
            plan_garment(Order(garment("layered-top"), cloth_for("layered-top"), effort="quick"))
        )
    assert plans[0] == plans[1]


def test_a_system_without_semaphores_works_in_one_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in some containers: slower, not broken."""

    def refused() -> None:
        raise OSError("Function not implemented")

    monkeypatch.setattr(local, "cores", lambda: 2)
    monkeypatch.setattr(multiprocessing.get_context(), "Event", refused)
    with screening_pool(2, None) as run:
        found = dict(run(own_process, [(0, ()), (1, ())]))
    assert found == {0: os.getpid(), 1: os.getpid()}


def own_process() -> int:
    return os.getpid()


def end_itself() -> None:
    os._exit(9)


@pytest.mark.usefixtures("_two_cores")
def test_a_worker_ended_from_outside_is_told_of(capsys: pytest.CaptureFixture[str]) -> None:
    """No traceback, no talk of pools: what it was, and what to do."""
    with pytest.raises(BrokenExecutor) as broken, screening_pool(2, None) as run:
        list(run(end_itself, [(0, ()), (1, ())]))
    assert told(broken.value) == ExitCode.FAULT
    said = capsys.readouterr().err
    assert "memory" in said
    assert "pool" not in said


def ended_once(folder: str, number: int) -> int:
    """Work whose worker is ended the first time that anybody does it."""
    mark = Path(folder, str(number))
    if not mark.exists():
        mark.touch()
        os._exit(9)
    return number * number


@pytest.mark.usefixtures("_two_cores")
def test_what_a_lost_worker_was_at_is_run_again(tmp_path: Path) -> None:
    """Every result is there, as if none had been lost; each task loses a worker once."""
    with screening_pool(4, None) as run:
        found = dict(run(ended_once, [(k, (str(tmp_path), k)) for k in range(4)]))
    assert found == {k: k * k for k in range(4)}
    assert len(list(tmp_path.iterdir())) == 4


def ended_by(number: int, guilty: int) -> int:
    if number == guilty:
        os._exit(9)
    return number * number


@pytest.mark.usefixtures("_two_cores")
def test_a_task_that_ends_every_worker_is_found_and_no_other_is_blamed() -> None:
    """The others give what they give; of that one it is said what was asked to be said."""
    with screening_pool(6, None) as run:
        found = dict(run(ended_by, [(k, (k, 1)) for k in range(6)], lambda _: -1))
    assert found == {0: 0, 1: -1, 2: 4, 3: 9, 4: 16, 5: 25}


def workers_called_for() -> int:
    """A worker that screens something itself: in how many others does that run."""
    with screening_pool(2, None) as run:
        return len({pid for _, pid in run(own_process, [(0, ()), (1, ())])} - {os.getpid()})


@pytest.mark.usefixtures("_two_cores")
def test_a_worker_calls_for_no_workers() -> None:
    """The others have the other cores."""
    with screening_pool(1, None) as run:
        assert list(run(workers_called_for, [(0, ())])) == [(0, 0)]

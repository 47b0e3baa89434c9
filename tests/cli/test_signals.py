"""Ctrl-C, being told to end, a closed window, being killed: what is kept, and who ends.

No test waits for a length of time: each waits for a line of the program or for a state.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.failures import told
from plans.compare.table import NOTHING_COMPLETE
from tests.cli.programs import (
    PATIENCE_S,
    ROOT,
    is_running,
    started,
    wait_for_line,
    wait_until,
)

SEARCHING = ("plan", "trousers", "--cloth", "main=140cm", "--effort", "thorough", "--fold", "open")

ALL = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]


@pytest.mark.parametrize("number", ALL)
def test_a_signal_in_the_search_keeps_the_best(tmp_path: Path, number: signal.Signals) -> None:
    """What was found is written and marked, exit 130, whichever way it was told to end."""
    with started(tmp_path, *SEARCHING) as process:
        wait_for_line(process, "searching on in 140cm")
        os.killpg(process.pid, number)
        out, error = process.communicate(timeout=PATIENCE_S)
    assert process.returncode == ExitCode.INTERRUPTED, out + error
    assert "stopping" in error
    assert "Traceback" not in error
    data = json.loads((tmp_path / "trousers-plan" / "plan.json").read_text())
    assert data["fabrics"][0]["ended_by"] == "interrupt"
    assert data["fabrics"][0]["placements"]
    assert [path.name for path in tmp_path.iterdir()] == ["trousers-plan"]


@pytest.mark.parametrize("number", ALL)
def test_a_signal_before_anything_is_found_writes_nothing(
    tmp_path: Path, number: signal.Signals
) -> None:
    """The garment is still being read, from a pipe that nobody fills: exit 130, nothing there."""
    pipe = tmp_path / "garment.toml"
    os.mkfifo(pipe)
    plan = ("plan", pipe.name, "--cloth", "main=140cm")
    with started(tmp_path, *plan) as process, pipe.open("w"):
        # It has opened the pipe to read, and waits.
        os.killpg(process.pid, number)
        _, error = process.communicate(timeout=PATIENCE_S)
    assert process.returncode == ExitCode.INTERRUPTED, error
    assert "interrupted" in error
    assert "Traceback" not in error
    assert [path.name for path in tmp_path.iterdir()] == [pipe.name]


def test_a_second_signal_ends_at_once(tmp_path: Path) -> None:
    """While the best is handed over or written, another signal drops it; nothing half is left."""
    with started(tmp_path, *SEARCHING) as process:
        wait_for_line(process, "searching on in 140cm")
        os.kill(process.pid, signal.SIGTERM)
        wait_for_line(process, "stopping")
        while process.poll() is None:
            # Those that follow close on the first are one wish with it.
            os.kill(process.pid, signal.SIGTERM)
            try:
                process.wait(0.1)
            except subprocess.TimeoutExpired:
                continue
        # One that comes after the last line of the program ends it as the system does.
        assert process.returncode in (ExitCode.INTERRUPTED, -signal.SIGTERM)
    assert {path.name for path in tmp_path.iterdir()} <= {"trousers-plan"}


def test_an_ignored_hangup_stays_ignored(tmp_path: Path) -> None:
    """As started by nohup: a closed window does not end it."""
    code = (
        "import os, signal, sys\n"
        "signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from plans.cli.common.signals import listen\n"
        "listen()\n"
        "os.kill(os.getpid(), signal.SIGHUP)\n"
        "print('still here')\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "still here\n"


WORKING = """
import sys
from concurrent.futures import Executor
from pathlib import Path
import os, time
from plans.workers import local
from plans.workers.screening import screening_pool
local.cores = lambda: 2

def work(folder, busy):
    Path(folder, str(os.getpid())).touch()
    while True:
        # One waits, as for a long computation that holds no lock; one holds the lock all the time.
        if not busy:
            time.sleep(1000.0)

if __name__ == "__main__":
    with screening_pool(2, None) as run:
        for _ in run(work, [(0, (sys.argv[1], False)), (1, (sys.argv[1], True))]):
            pass
"""


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM])
def test_workers_end_with_their_parent(tmp_path: Path, number: signal.Signals) -> None:
    """However it died: waiting or computing, none is left behind."""
    program, pids = tmp_path / "working.py", tmp_path / "pids"
    program.write_text(WORKING)
    pids.mkdir()
    process = subprocess.Popen(
        [sys.executable, str(program), str(pids)], env={**os.environ, "PYTHONPATH": str(ROOT)}
    )
    wait_until(lambda: len(list(pids.iterdir())) == 2, "both workers are at work")
    workers = [int(path.name) for path in pids.iterdir()]
    os.kill(process.pid, number)
    process.wait(PATIENCE_S)
    wait_until(lambda: not any(map(is_running, workers)), "both workers have ended")


def test_a_killed_plan_leaves_nothing_running(tmp_path: Path) -> None:
    """The program itself, killed while its workers screen: its whole session is gone."""
    plan = ("plan", "trousers", "--cloth", "main=140cm", "--makes", "40", "--effort", "quick")
    with started(tmp_path, *plan) as process:
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children")
        if not children.exists():
            pytest.skip("this system does not list the children of a process")
        wait_until(lambda: bool(children.read_text().split()), "there are workers")
        workers = [int(pid) for pid in children.read_text().split()]
        process.kill()
        process.communicate(timeout=PATIENCE_S)
    wait_until(lambda: not any(map(is_running, workers)), "the workers have ended")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("table", [(), ("--json",)])
def test_a_comparison_that_is_ended_before_anything_is_found_says_so(
    tmp_path: Path, table: tuple[str, ...]
) -> None:
    """To people; whoever reads cells gets none that are not there."""
    pipe = tmp_path / "garment.toml"
    os.mkfifo(pipe)
    compared = ("compare", pipe.name, "--width", "140cm", *table)
    with started(tmp_path, *compared) as process, pipe.open("w"):
        os.killpg(process.pid, signal.SIGINT)
        out, error = process.communicate(timeout=PATIENCE_S)
    assert process.returncode == ExitCode.INTERRUPTED, error
    assert out == ("" if table else f"{NOTHING_COMPLETE}\n")


def test_what_fails_after_a_signal_is_an_interrupt(monkeypatch: pytest.MonkeyPatch) -> None:
    """One that comes in the middle of an import makes the next fail: no fault of ours."""
    odd = KeyError("half there")
    monkeypatch.delenv("LAYWRIGHT_DEBUG", raising=False)
    assert told(odd) == ExitCode.FAULT
    monkeypatch.setattr("plans.cli.common.failures.was_told_to_end", lambda: True)
    assert told(odd) == ExitCode.INTERRUPTED
    monkeypatch.setenv("LAYWRIGHT_DEBUG", "1")
    assert told(odd) == ExitCode.FAULT

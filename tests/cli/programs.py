"""Driving the program as a process: start it, wait for what it says, send it signals."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]

PATIENCE_S = 300.0
"""Only so that a test that hangs fails at last; nothing is judged by time."""


@contextmanager
def started(
    folder: Path, *arguments: str, variables: Mapping[str, str] | None = None
) -> Iterator[subprocess.Popen[str]]:
    """Start the command line in a folder, in a session of its own; nothing of it is left after."""
    process = subprocess.Popen(
        [sys.executable, "-m", "plans.cli", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), **(variables or {})},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    with process:
        try:
            yield process
        finally:
            process.kill()


def wait_for_line(process: subprocess.Popen[str], part: str) -> None:
    """Read standard error until a line holds a text."""
    assert process.stderr is not None
    for line in process.stderr:
        if part in line:
            return
    raise AssertionError(f"it ended ({process.wait()}) without having said '{part}'")


def wait_until(is_so: Callable[[], bool], what: str) -> None:
    """Look again and again until something is so."""
    begun = time.monotonic()
    while not is_so():
        if time.monotonic() - begun > PATIENCE_S:
            raise AssertionError(f"waited in vain until {what}")
        time.sleep(0.02)


def is_running(pid: int) -> bool:
    """Whether a process lives (one that is dead, but not yet fetched by its parent, does not)."""
    stat = Path(f"/proc/{pid}/stat")
    if stat.parent.parent.exists() and sys.platform == "linux":
        try:
            return stat.read_text().rpartition(")")[2].split()[0] not in ("Z", "X")
        except OSError:
            return False
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True

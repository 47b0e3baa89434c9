"""Processes of this machine that work side by side, one a core.

They leave signals to their parent: interrupted, it asks them for the best that they have. They end
within two seconds of its death, however it died.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing.synchronize import Event
from typing import Any, TypeVar

from layout.cores import cores
from layout.stop import ASKED_TO_END
from plans.workers.where import AT_WORK, Workers

T = TypeVar("T")

GRACE_S = 5.0
"""How long workers may take to hand over the best that they have."""

WATCH_S = 0.25
"""How often a worker looks for its parent."""


class LocalWorkers(Workers):
    """So many processes, and others for those that were lost."""

    def __init__(self, count: int, asked: Event) -> None:
        self.count = count
        # One more than there are workers, so that none waits for its next task.
        self.room = count + 1
        self._asked = asked
        self._pool = self._new_pool()

    def _new_pool(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(
            self.count, initializer=_begin_worker, initargs=(os.getpid(), self._asked)
        )

    def submit(self, fn: Callable[..., T], /, *args: Any, **kwargs: Any) -> Future[T]:
        """Run it in one of the processes."""
        return self._pool.submit(fn, *args, **kwargs)

    def renew(self) -> bool:
        """Begin with new processes; one that was lost takes the others along."""
        self._pool.shutdown(wait=True, cancel_futures=True)
        self._pool = self._new_pool()
        return True

    def ask_to_end(self) -> bool:
        """Ask what is at work for the best that it has."""
        self._asked.set()
        return True

    def end(self) -> None:
        """Let what is at work finish."""
        self._pool.shutdown(wait=True)

    def end_at_once(self) -> None:
        """Leave nothing running."""
        processes = list((self._pool._processes or {}).values())
        self._pool.shutdown(wait=False, cancel_futures=True)
        for process in processes:
            process.kill()


@contextmanager
def local_workers(tasks: int) -> Iterator[LocalWorkers | None]:
    """Give workers for so many tasks; None where there is one core, or no room for more processes.

    Whatever still runs when the context is left is ended.
    """
    count = cores()
    asked = _event() if count > 1 else None
    if asked is None:
        yield None
        return
    workers = LocalWorkers(max(1, min(count, tasks)), asked)
    finished = False
    try:
        yield workers
        finished = not asked.is_set()
    finally:
        if finished:
            workers.end()
        else:
            workers.end_at_once()


def _event() -> Event | None:
    """What workers hear their parent by; None where the system grants no shared semaphores."""
    try:
        return multiprocessing.get_context().Event()
    except (OSError, ImportError):
        return None


def _begin_worker(parent: int, asked: Event) -> None:
    """Leave signals to the parent, hear what it asks, and end when it does."""
    AT_WORK.set(True)
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_IGN)
    end_with_parent(parent, asked)


def end_with_parent(parent: int, asked: Event | None = None) -> None:
    """Have this process end with its parent, and hear what the parent asks if it has an event."""
    if sys.platform == "linux":
        _be_killed_with_parent()
    threading.Thread(target=_watch, args=(parent, asked), daemon=True).start()


def _be_killed_with_parent() -> None:
    """Have Linux kill this process with its parent, even while it holds the interpreter's lock."""
    import ctypes

    set_death_signal = 1  # PR_SET_PDEATHSIG of prctl(2)
    try:
        ctypes.CDLL(None).prctl(set_death_signal, signal.SIGKILL)
    except (OSError, AttributeError):
        return  # The watcher does without.


def _watch(parent: int, asked: Event | None) -> None:
    """End with the parent: its place is then taken by another, or its sentinel is ready."""
    process = multiprocessing.parent_process()
    # A server of forks may stand between the two; the parent's sentinel tells then.
    own_child = os.getppid() == parent
    while not (own_child and os.getppid() != parent) and (process is None or process.is_alive()):
        if asked is None or ASKED_TO_END.is_set():
            time.sleep(WATCH_S)
        elif asked.wait(WATCH_S):
            ASKED_TO_END.set()
    os._exit(1)

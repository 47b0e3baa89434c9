"""Running independent screenings over the cores, in any order, and stopping at once.

Workers leave signals to their parent: interrupted, it asks them for the best that they have. They
end within two seconds of its death, however it died.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from multiprocessing.synchronize import Event
from typing import Any, Generic, TypeVar

from layout.stop import ASKED_TO_END

T = TypeVar("T")
Task = tuple[int, tuple[Any, ...]]

BEAT_S = 1.0
"""How often one who waits for workers hears that they still work."""

GRACE_S = 5.0
"""How long workers may take to hand over the best that they have."""

WATCH_S = 0.25
"""How often a worker looks for its parent."""


class Screening(Generic[T]):
    """Runs tasks in an executor, or here if there is none; yields (index, result) as they finish.

    `on_beat` is called about once a second while others work.
    """

    def __init__(
        self, executor: Executor | None, ask: Callable[[], None], on_beat: Callable[[], None] | None
    ) -> None:
        self._executor = executor
        self._ask = ask
        self._on_beat = on_beat
        self._futures: dict[Future[T], int] = {}

    def __call__(
        self, function: Callable[..., T], tasks: Sequence[Task]
    ) -> Iterator[tuple[int, T]]:
        """Run tasks of (index, arguments)."""
        if self._executor is None:
            for index, arguments in tasks:
                yield index, function(*arguments)
            return
        for index, arguments in tasks:
            self._futures[self._executor.submit(function, *arguments)] = index
        while self._futures:
            done, _ = wait(self._futures, BEAT_S, FIRST_COMPLETED)
            for future in done:
                yield self._futures.pop(future), future.result()
            if self._on_beat is not None:
                self._on_beat()

    def rest(self) -> Iterator[tuple[int, T]]:
        """After an interrupt: ask for what is in work to end, and yield what it has found.

        What has not begun is dropped, as is what does not answer in time or has nothing yet.
        """
        self._ask()
        running = [future for future in self._futures if not future.cancel()]
        wait(running, GRACE_S)
        for future in running:
            if future.done() and future.exception() is None:
                yield self._futures[future], future.result()
        self._futures = {}


@contextmanager
def screening_pool(
    tasks: int, executor: Executor | None, on_beat: Callable[[], None] | None = None
) -> Iterator[Screening[Any]]:
    """Give a `Screening` for so many tasks.

    Uses the executor given, or local processes where there is more than one core. Whatever still
    runs when the context is left is ended.
    """
    cores = os.cpu_count() or 1
    asked = _event() if executor is None and cores > 1 else None
    if asked is None:
        yield Screening(executor, lambda: None, on_beat)
        return
    with ProcessPoolExecutor(
        max(1, min(cores, tasks)), initializer=_begin_worker, initargs=(os.getpid(), asked)
    ) as pool:
        finished = False
        try:
            yield Screening(pool, asked.set, on_beat)
            finished = not asked.is_set()
        finally:
            if not finished:
                _stop(pool)


def _event() -> Event | None:
    """What workers hear their parent by; None where the system grants no shared semaphores."""
    try:
        return multiprocessing.get_context().Event()
    except (OSError, ImportError):
        return None


def _begin_worker(parent: int, asked: Event) -> None:
    """Leave signals to the parent, hear what it asks, and end when it does."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_IGN)
    if sys.platform == "linux":
        _end_with_parent()
    threading.Thread(target=_watch, args=(parent, asked), daemon=True).start()


def _end_with_parent() -> None:
    """Have Linux kill this process with its parent, even while it holds the interpreter's lock."""
    import ctypes

    set_death_signal = 1  # PR_SET_PDEATHSIG of prctl(2)
    try:
        ctypes.CDLL(None).prctl(set_death_signal, signal.SIGKILL)
    except (OSError, AttributeError):
        return  # The watcher does without.


def _watch(parent: int, asked: Event) -> None:
    """End with the parent: its place is then taken by another, or its sentinel is ready."""
    process = multiprocessing.parent_process()
    # A server of forks may stand between the two; the parent's sentinel tells then.
    own_child = os.getppid() == parent
    while not (own_child and os.getppid() != parent) and (process is None or process.is_alive()):
        if ASKED_TO_END.is_set():
            time.sleep(WATCH_S)
        elif asked.wait(WATCH_S):
            ASKED_TO_END.set()
    os._exit(1)


def _stop(pool: ProcessPoolExecutor) -> None:
    processes = list((pool._processes or {}).values())
    pool.shutdown(wait=False, cancel_futures=True)
    for process in processes:
        process.kill()

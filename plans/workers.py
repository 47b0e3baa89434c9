"""Running independent screenings over the cores, in any order, and stopping at once."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from typing import Any, TypeVar

T = TypeVar("T")
Task = tuple[int, tuple[Any, ...]]
Run = Callable[[Callable[..., T], Sequence[Task]], Iterator[tuple[int, T]]]


@contextmanager
def screening_pool(tasks: int, executor: Executor | None) -> Iterator[Run[Any]]:
    """Give a function that runs tasks and yields (index, result) as they finish.

    Uses the executor given, or local processes where there is more than one task and one core.
    On an interrupt the tasks that still run are dropped.
    """
    cores = min(os.cpu_count() or 1, tasks)
    if executor is not None:
        yield _through(executor)
    elif cores < 2:
        yield _here
    else:
        with ProcessPoolExecutor(cores, initializer=_leave_interrupts_to_the_parent) as pool:
            try:
                yield _through(pool)
            except BaseException:
                _stop(pool)
                raise


def _here(function: Callable[..., T], tasks: Sequence[Task]) -> Iterator[tuple[int, T]]:
    for index, arguments in tasks:
        yield index, function(*arguments)


def _through(executor: Executor) -> Run[Any]:
    def run(function: Callable[..., T], tasks: Sequence[Task]) -> Iterator[tuple[int, T]]:
        futures: dict[Future[T], int] = {
            executor.submit(function, *arguments): index for index, arguments in tasks
        }
        for future in as_completed(futures):
            yield futures[future], future.result()

    return run


def _leave_interrupts_to_the_parent() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _stop(pool: ProcessPoolExecutor) -> None:
    processes = list((pool._processes or {}).values())
    pool.shutdown(wait=False, cancel_futures=True)
    for process in processes:
        process.terminate()

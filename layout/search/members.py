"""The one runner of independent searches; the members of a round do not talk to each other."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from typing import TypeVar

from layout.search.state import State

Task = TypeVar("Task")


def run_members(
    tasks: Sequence[Task],
    here: Callable[[Task, Callable[[], bool]], State],
    elsewhere: Callable[[Task], State],
    executor: Executor | None,
) -> list[State]:
    """Run one search a task and return what they find, in the order of the tasks.

    An interrupt ends those that run in this process and drops those that have not begun.

    Parameters
    ----------
    tasks : sequence
        Plain data where an executor may send them to another process.
    here : callable
        Runs a task in a thread of this process, until the second argument says that it must end.
    elsewhere : callable
        Runs a task to its end; a function of a module.
    executor : Executor, optional
        Local processes, a cluster; by default threads, for kernels run without the interpreter's
        lock.

    Raises
    ------
    KeyboardInterrupt
        Or whatever else comes out of a member.
    """
    if executor is not None:
        return _results([executor.submit(elsewhere, task) for task in tasks], lambda: None)
    ended = threading.Event()
    with ThreadPoolExecutor(len(tasks)) as pool:
        return _results([pool.submit(here, task, ended.is_set) for task in tasks], ended.set)


def _results(futures: list[Future[State]], end: Callable[[], None]) -> list[State]:
    try:
        return [future.result() for future in futures]
    except BaseException:
        end()
        for future in futures:
            future.cancel()
        raise

"""Where tasks run: an executor whose workers may be lost, whatever they are.

A task is a function of a module and plain data, so that it can be sent to another process or
another machine. Processes of this machine (`local.py`), a cluster (`cluster.py`), threads or this
very thread are executors alike; what else they have in common stands here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

T = TypeVar("T")

AT_WORK: ContextVar[bool] = ContextVar("AT_WORK", default=False)
"""Whether this is a worker: what it does it does by itself, for others fill the other cores."""

IN_FLIGHT = 500
"""Tasks that workers have been handed at one time where nothing is known of how many they are."""


class Workers(Executor):
    """An executor whose workers may be lost and replaced, and asked for the best that they have."""

    room = IN_FLIGHT
    """How many tasks it is handed at one time."""

    def is_loss(self, error: BaseException) -> bool:
        """Whether a task gave this because its worker was lost, and not because of the task."""
        return isinstance(error, BrokenExecutor)

    def renew(self) -> bool:
        """Bring in workers for those that were lost; False where none can be brought in."""
        return False

    def ask_to_end(self) -> bool:
        """Ask what is at work for the best that it has; False where nobody hears that."""
        return False

    def look(self) -> None:
        """See how the workers are, about once a second while they work."""
        return


class Others(Workers):
    """An executor that somebody else made, threads for example."""

    def __init__(self, executor: Executor) -> None:
        self._executor = executor

    def submit(self, fn: Callable[..., T], /, *args: Any, **kwargs: Any) -> Future[T]:
        """Hand it on."""
        return self._executor.submit(fn, *args, **kwargs)


@contextmanager
def at_work() -> Iterator[None]:
    """Within this, no workers of one's own are called for."""
    before = AT_WORK.set(True)
    try:
        yield
    finally:
        AT_WORK.reset(before)

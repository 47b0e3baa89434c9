"""The process of one task: it tells how far it is, and hands over its best when it is asked to end.

A task is a function of a module, `task(tell, *arguments)`: it tells of its progress in plain data
and returns plain data. Asked to end it gets a `KeyboardInterrupt`, as on the command line.
"""

from __future__ import annotations

import os
import pickle
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from types import FrameType
from typing import Any

from layout.stop import ASKED_TO_END
from plans.errors import PlanError
from plans.workers.local import end_with_parent

Tell = Callable[[dict[str, Any]], None]
"""Takes what a task has to say while it works."""

Task = Callable[..., dict[str, Any]]
"""`task(tell, *arguments)`."""

NICE = 5
"""How much a task stands back behind the server, so that views answer at once (nice(2))."""


class NothingFoundError(PlanError):
    """A task was ended before it had anything."""


def run_task(to_parent: Connection, parent: int, task: Task, arguments: tuple[Any, ...]) -> None:
    """Do one task and tell whoever began it; the main function of a process."""
    _stand_back()
    end_with_parent(parent)
    signal.signal(signal.SIGINT, _end_with_the_best)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)

    def tell(said: dict[str, Any]) -> None:
        # Half of what is said would be taken for something else.
        within = _FINISHING.is_set()
        with finishing():
            asked_before = ASKED_TO_END.is_set()
            to_parent.send(("progress", said))
        if not (within or asked_before) and ASKED_TO_END.is_set():
            raise KeyboardInterrupt

    def end(kind: str, data: Any) -> None:
        with finishing():
            to_parent.send((kind, data))

    try:
        _let_interrupts_in()
        end("done", task(tell, *arguments))
    except KeyboardInterrupt:
        end("failed", NothingFoundError("ended before anything was complete"))
    except Exception as error:
        end("failed", _portable(error))
    finally:
        to_parent.close()


@contextmanager
def interrupts_waiting() -> Iterator[None]:
    """Begin a process in here: being asked to end it hears only when it can answer.

    Until then the interrupt would end Python itself while it starts, and nobody would be told.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    # It is begun with the first process, and lets interrupts in where it was.
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _let_interrupts_in() -> None:
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})


def _stand_back() -> None:
    if hasattr(os, "setsid"):
        # Ctrl-C in the terminal is for the server, which asks in its own time.
        os.setsid()
    if hasattr(os, "nice"):
        os.nice(NICE)


_FINISHING = threading.Event()


@contextmanager
def finishing() -> Iterator[None]:
    """Finish what is done in here although whoever waits wants no more of it: writing, say."""
    within = _FINISHING.is_set()
    _FINISHING.set()
    try:
        yield
    finally:
        if not within:
            _FINISHING.clear()


def _end_with_the_best(_: int, __: FrameType | None) -> None:
    if ASKED_TO_END.is_set():
        return
    ASKED_TO_END.set()
    if not _FINISHING.is_set():
        raise KeyboardInterrupt


def _portable(error: Exception) -> Exception:
    """An error that survives the way to another process."""
    try:
        pickle.loads(pickle.dumps(error))
    except Exception:
        return RuntimeError(f"{type(error).__name__}: {error}")
    return error

"""Independent searches on one model, in whatever executor there is; the best one counts.

The members are fixed and do not talk, so that the result does not depend on how many workers run
them. A member that could not be run elsewhere runs here.
"""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import dataclass

from layout.effort import Effort
from layout.geometry.nofit import NoFitTable
from layout.search.model import Model
from layout.search.state import State
from layout.stop import Stop

MEMBERS = 2
"""Searches of one portfolio."""


@dataclass(frozen=True)
class MemberTask:
    """Everything that one member needs; plain data, so that it can be sent to a worker."""

    model: Model
    state: State
    evaluations: int
    seed: int
    enough: float
    """Extent (mm) that is good enough."""
    seconds: float | None


def run_member(task: MemberTask) -> State:
    """Run one search to the end of its work."""
    return _explore(task, lambda _state, extent: extent <= task.enough)


def _explore(task: MemberTask, on_better: Callable[[State, float], bool]) -> State:
    from layout.search.explore import Explorer
    from layout.search.pack import pack

    begun = time.monotonic()
    packed = pack(task.model, NoFitTable(task.model.bases, task.model.gap))

    def late() -> bool:
        return task.seconds is not None and time.monotonic() - begun >= task.seconds

    return Explorer(packed, task.state, task.evaluations, task.seed, late, on_better).run()


def separate_section(
    model: Model,
    state: State,
    effort: Effort,
    seed: int,
    stop: Stop,
    executor: Executor | None,
    enough: float,
    offer: Callable[[State], bool],
) -> None:
    """Run the portfolio on one section and offer what is better, as it is found or at the end."""
    remaining = stop.remaining()
    tasks = [
        MemberTask(model, state, effort.evaluations, seed * 1000 + member, enough, remaining)
        for member in range(MEMBERS)
    ]
    if executor is not None:
        for future in [executor.submit(run_member, task) for task in tasks]:
            offer(future.result())
        return
    if (os.cpu_count() or 1) < 2:
        for task in tasks:
            if _run_here(task, offer):
                return
        return
    _in_processes(tasks, offer)


def _run_here(task: MemberTask, offer: Callable[[State], bool]) -> bool:
    return offer(_explore(task, lambda found, extent: offer(found) or extent <= task.enough))


def _in_processes(tasks: list[MemberTask], offer: Callable[[State], bool]) -> None:
    """Run the first member here, where its progress shows, and the others beside it."""
    with ProcessPoolExecutor(len(tasks) - 1, initializer=_ignore_interrupts) as pool:
        others = [pool.submit(run_member, task) for task in tasks[1:]]
        try:
            _run_here(tasks[0], offer)
            for future in others:
                offer(future.result())
        except BaseException:
            for process in list((pool._processes or {}).values()):
                process.terminate()
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _ignore_interrupts() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)

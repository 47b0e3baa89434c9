"""Independent searches on one model; the best one counts.

The members are fixed and do not talk, so that the result does not depend on how many workers run
them. By default they are threads of this process: kernels run without the interpreter's lock, and
threads share the no-fit polygons and start at once. An executor given instead (local processes, a
cluster's) gets each member as a task of plain data.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from concurrent.futures import Executor
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
    """Run one search to the end of its work, in whatever process this is."""
    from layout.search.explore import Explorer
    from layout.search.pack import pack

    begun = time.monotonic()

    def late() -> bool:
        return task.seconds is not None and time.monotonic() - begun >= task.seconds

    def good_enough(_: State, extent: float) -> bool:
        return extent <= task.enough

    packed = pack(task.model, NoFitTable(task.model.bases, task.model.gap))
    return Explorer(
        packed, task.state, task.evaluations, task.seed, late, good_enough
    ).run()  # fmt: skip


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
    """Run the portfolio on one section and offer what is better, as it is found.

    Parameters
    ----------
    model, state : Model, State
        The section and its start.
    effort, seed : Effort, int
        Work and seed of the portfolio.
    stop : Stop
        Its time limit counts.
    executor : Executor, optional
    enough : float
        Extent (mm) that is good enough.
    offer : callable
        Takes each better state; returns whether it is good enough.
    """
    tasks = [
        MemberTask(model, state, effort.evaluations, seed * 1000 + member, enough, stop.remaining())
        for member in range(MEMBERS)
    ]
    if executor is None:
        _Threads(tasks, stop, offer).run()
        return
    for future in [executor.submit(run_member, task) for task in tasks]:
        offer(future.result())


class _Threads:
    """The members as threads, on one set of no-fit polygons."""

    def __init__(self, tasks: list[MemberTask], stop: Stop, offer: Callable[[State], bool]) -> None:
        self.tasks = tasks
        self.stop = stop
        self.offer = offer
        self.ended = threading.Event()
        self.lock = threading.Lock()
        self.failure: BaseException | None = None

    def run(self) -> None:
        """Run all members; the first in this thread, so that an interrupt reaches it."""
        from layout.search.pack import pack

        model = self.tasks[0].model
        packed = pack(model, NoFitTable(model.bases, model.gap))
        threads = [
            threading.Thread(target=self._guarded, args=(packed, task)) for task in self.tasks[1:]
        ]
        for thread in threads:
            thread.start()
        try:
            self._member(packed, self.tasks[0])
            for thread in threads:
                thread.join()
        except BaseException:
            self.ended.set()
            for thread in threads:
                thread.join()
            raise
        if self.failure is not None:
            raise self.failure

    def _guarded(self, packed: object, task: MemberTask) -> None:
        try:
            self._member(packed, task)
        except BaseException as error:
            self.failure = error

    def _member(self, packed: object, task: MemberTask) -> None:
        from layout.search.explore import Explorer
        from layout.search.pack import Packed

        if not isinstance(packed, Packed):
            raise TypeError("members search packed models")

        def over() -> bool:
            return self.ended.is_set() or self.stop.late()

        def better(state: State, extent: float) -> bool:
            with self.lock:
                self.offer(state)
            # Only what this member found itself ends it: members do not talk.
            return extent <= task.enough

        Explorer(packed, task.state, task.evaluations, task.seed, over, better).run()

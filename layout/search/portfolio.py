"""Independent searches on one model, in two rounds; the best one counts.

First all members explore, each with its own seed; then all compress the best layout found. Within
a round members do not talk, and rounds end by counted work, so that the result does not depend on
how many workers run them. By default members are threads of this process: kernels run without the
interpreter's lock, and threads share the no-fit polygons and start at once. An executor given
instead (local processes, a cluster's) gets each member as a task of plain data.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from layout.geometry.nofit import NoFitTable
from layout.search.compaction.compact import compacted
from layout.search.explore import Explorer, Phase
from layout.search.members import run_members
from layout.search.model import Model
from layout.search.pack import Packed, pack
from layout.search.state import State
from layout.stop import Stop

EXPLORE_SHARE = 0.75
"""Share of the work (or of a time limit) that exploration gets."""

SEARCH_SHARE = 0.98
"""Share of its time limit that a member searches; then it moves together what it has."""


@dataclass(frozen=True)
class MemberTask:
    """Everything that one member needs; plain data, so that it can be sent to a worker.

    `enough` is the extent (mm) that is good enough, `seconds` a time limit.
    """

    model: Model
    state: State
    phase: Phase
    evaluations: int
    seed: int
    enough: float
    seconds: float | None


def run_member(task: MemberTask) -> State:
    """Run one search to the end of its work, in whatever process this is."""
    packed = pack(task.model, NoFitTable(task.model.bases, task.model.gap))
    return _search(packed, task, time.monotonic(), lambda: False, lambda _: False)


def _search(
    packed: Packed,
    task: MemberTask,
    begun: float,
    ended: Callable[[], bool],
    offer: Callable[[State], bool],
) -> State:
    def over(share: float = 1.0) -> bool:
        late = task.seconds is not None and time.monotonic() - begun >= share * task.seconds
        return late or ended()

    def explored() -> bool:
        return over(SEARCH_SHARE)

    def better(state: State, extent: float) -> bool:
        offer(state)
        # Only what this member found itself ends it: members do not talk.
        return extent <= task.enough

    explorer = Explorer(packed, task.state, task.evaluations, task.seed, explored, better)
    return compacted(packed.model, explorer.run(task.phase), over)


def separate_section(
    model: Model,
    state: State,
    evaluations: int,
    seed: int,
    members: int,
    stop: Stop,
    executor: Executor | None,
    enough: float,
    offer: Callable[[State], bool],
) -> State:
    """Run both rounds on one section, offer what is better as it is found; return the best.

    Of states of one length the one of the first member is returned, whichever was offered first.

    Parameters
    ----------
    model, state : Model, State
        The section and its start.
    evaluations, seed : int
        Positions that each member evaluates, and the seed of the portfolio.
    members : int
        How many search.
    stop : Stop
        Its time limit counts.
    executor : Executor, optional
    enough : float
        Extent (mm) that is good enough.
    offer : callable
        Takes each better state; returns whether it is good enough.
    """
    explore = int(EXPLORE_SHARE * evaluations)
    shares = ((Phase.EXPLORE, explore), (Phase.COMPRESS, evaluations - explore))
    threads = _Here(model, offer)
    for number, (phase, work) in enumerate(shares):
        seconds = stop.remaining()
        if seconds is not None and phase is Phase.EXPLORE:
            seconds *= EXPLORE_SHARE
        task = MemberTask(model, state, phase, work, 0, enough, seconds)
        tasks = [
            replace(task, seed=1000 * seed + 10 * member + number) for member in range(members)
        ]
        found = run_members(tasks, threads.run, run_member, executor)
        for one in found:
            offer(one)
        state = min([state, *found], key=lambda one: one.extent(model))
        if state.extent(model) <= enough or stop.late():
            break
    return state


class _Here:
    """The members of a round as threads, on one set of no-fit polygons."""

    def __init__(self, model: Model, offer: Callable[[State], bool]) -> None:
        self.model = model
        self.packed: Packed | None = None
        self.offer = offer
        self.lock = threading.Lock()

    def run(self, task: MemberTask, ended: Callable[[], bool]) -> State:
        """Run one member, until `ended`; whoever comes first makes the polygons."""
        begun = time.monotonic()
        with self.lock:
            if self.packed is None:
                self.packed = pack(self.model, NoFitTable(self.model.bases, self.model.gap))
        return _search(self.packed, task, begun, ended, self._offer)

    def _offer(self, state: State) -> bool:
        with self.lock:
            return self.offer(state)

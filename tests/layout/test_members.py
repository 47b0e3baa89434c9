"""The runner of independent searches: results in order; an interrupt ends all of them."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Any

import numpy as np
import pytest

from layout.effort import Effort
from layout.layout import EndedBy
from layout.problem import Problem
from layout.search.members import run_members
from layout.search.state import State
from layout.solver import solve
from tests.layout.test_leftovers import puzzle
from tests.layout.test_solver import many


class Interrupted(Executor):
    """An executor whose first task is interrupted while the others wait."""

    def __init__(self) -> None:
        self.futures: list[Future[Any]] = []

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Take a task and never run it; the first one ends as Ctrl-C ends it."""
        future: Future[Any] = Future()
        if not self.futures:
            future.set_exception(KeyboardInterrupt())
        self.futures.append(future)
        return future


def state_of(number: int) -> State:
    """A state that can be told from others."""
    return State(np.array([number], dtype=np.int32), np.zeros(1), np.zeros(1))


def test_results_come_in_the_order_of_their_tasks() -> None:
    """Whichever member ends first."""
    first_may_end = threading.Event()

    def here(task: int, ended: Callable[[], bool]) -> State:
        assert not ended()
        if task == 0:
            first_may_end.wait(60.0)
        else:
            first_may_end.set()
        return state_of(task)

    found = run_members((0, 1), here, state_of, None)
    assert [int(state.choice[0]) for state in found] == [0, 1]


def test_an_interrupt_ends_the_other_threads() -> None:
    """A member that would go on for ever is told to end."""

    def here(task: int, ended: Callable[[], bool]) -> State:
        if task == 0:
            raise KeyboardInterrupt
        while not ended():
            threading.Event().wait(0.001)
        return state_of(task)

    with pytest.raises(KeyboardInterrupt):
        run_members((0, 1), here, state_of, None)


@pytest.mark.parametrize("problem", [many(), puzzle(9, 0.97)], ids=["strip", "bounded"])
def test_an_interrupt_drops_what_has_not_begun_elsewhere(problem: Problem) -> None:
    """On a strip as on a leftover: the best so far comes back, and no task is left waiting."""
    executor = Interrupted()
    layout = solve(problem, Effort.BRISK, executor=executor)
    assert layout.ended_by is EndedBy.INTERRUPT
    assert layout.placements
    assert len(executor.futures) == Effort.BRISK.members
    assert all(future.done() for future in executor.futures)
    assert all(future.cancelled() for future in executor.futures[1:])

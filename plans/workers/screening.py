"""Running independent tasks over workers, in any order, and stopping at once.

A worker that is lost loses nothing but time: what it was at is run again. Whatever was at work when
that happened is suspected and goes last, one at a time, so that a task which ends every worker
(for want of memory, say) is found, and no other is blamed for it.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from contextlib import contextmanager
from typing import Any, Generic, TypeVar

from plans.workers.local import GRACE_S, local_workers
from plans.workers.where import AT_WORK, Others, Workers

T = TypeVar("T")
Task = tuple[int, tuple[Any, ...]]

BEAT_S = 1.0
"""How often one who waits for workers hears that they still work."""

LOSSES = 3
"""How many workers may be lost over one task before it is given up."""

Lost = Callable[[int], T]


class Screening(Generic[T]):
    """Runs tasks on workers, or here if there are none; yields (index, result) as they finish.

    `on_beat` is called about once a second while others work.
    """

    def __init__(self, workers: Workers | None, on_beat: Callable[[], None] | None) -> None:
        self._workers = workers
        self._on_beat = on_beat
        self._at_work: dict[Future[T], Task] = {}

    def __call__(
        self,
        function: Callable[..., T],
        tasks: Sequence[Task],
        on_loss: Lost[T] | None = None,
    ) -> Iterator[tuple[int, T]]:
        """Run tasks of (index, arguments).

        Parameters
        ----------
        function : callable
            A function of a module.
        tasks : sequence
        on_loss : callable, optional
            What a task gives that ended every worker which began it.

        Raises
        ------
        BrokenExecutor
            For such a task, if nothing is said of it, or where no other workers can be had.
        """
        if self._workers is None:
            for index, arguments in tasks:
                yield index, function(*arguments)
            return
        todo, suspects, losses = deque(tasks), deque[Task](), Counter[int]()
        while todo or suspects or self._at_work:
            self._hand_out(self._workers, function, todo, suspects)
            done, _ = wait(self._at_work, BEAT_S, FIRST_COMPLETED)
            lost = []
            for future in done:
                task = self._at_work.pop(future)
                error = None if future.cancelled() else future.exception()
                if error is not None and self._workers.is_loss(error):
                    lost.append((task, error))
                else:
                    yield task[0], future.result()
            if lost:
                yield from self._without_lost(self._workers, lost, suspects, losses, on_loss)
            self._workers.look()
            if self._on_beat is not None:
                self._on_beat()

    def _hand_out(
        self,
        workers: Workers,
        function: Callable[..., T],
        todo: deque[Task],
        suspects: deque[Task],
    ) -> None:
        while todo and len(self._at_work) < workers.room:
            self._submit(workers, function, todo.popleft())
        if suspects and not self._at_work:
            self._submit(workers, function, suspects.popleft())

    def _submit(self, workers: Workers, function: Callable[..., T], task: Task) -> None:
        try:
            future = workers.submit(function, *task[1])
        except BrokenExecutor as error:
            # Its workers were lost since they were looked at last.
            future = Future()
            future.set_exception(error)
        self._at_work[future] = task

    def _without_lost(
        self,
        workers: Workers,
        lost: list[tuple[Task, BaseException]],
        suspects: deque[Task],
        losses: Counter[int],
        on_loss: Lost[T] | None,
    ) -> Iterator[tuple[int, T]]:
        """Bring in other workers and put what was lost last, or give it up."""
        if not workers.renew():
            raise lost[0][1]
        # Who did not end yet was handed to the same workers: all of it is handed out anew.
        for task, error in [*lost, *self._taken_back(workers, lost[0][1])]:
            losses[task[0]] += 1
            if losses[task[0]] < LOSSES:
                suspects.append(task)
            elif on_loss is None:
                raise BrokenExecutor(f"task {task[0]} ended {LOSSES} workers") from error
            else:
                yield task[0], on_loss(task[0])

    def _taken_back(
        self, workers: Workers, error: BaseException
    ) -> Iterator[tuple[Task, BaseException]]:
        for future in [f for f in self._at_work if f.done() and not f.cancelled()]:
            found = future.exception()
            if found is not None and workers.is_loss(found):
                yield self._at_work.pop(future), error

    def rest(self) -> Iterator[tuple[int, T]]:
        """After an interrupt: ask for what is in work to end, and yield what it has found.

        What has not begun is dropped, as is what does not answer in time or has nothing yet.
        """
        asked = self._workers is not None and self._workers.ask_to_end()
        running = [future for future in self._at_work if not future.cancel()]
        wait(running, GRACE_S if asked else 0.0)
        for future in running:
            if future.done() and not future.cancelled() and future.exception() is None:
                yield self._at_work[future][0], future.result()
        self._at_work = {}


@contextmanager
def screening_pool(
    tasks: int, executor: Executor | None, on_beat: Callable[[], None] | None = None
) -> Iterator[Screening[Any]]:
    """Give a `Screening` for so many tasks.

    Uses the executor given, or processes of this machine where there is more than one core (a
    worker itself calls for none). Whatever of these still runs when the context is left is ended.
    """
    if executor is not None:
        yield Screening(executor if isinstance(executor, Workers) else Others(executor), on_beat)
    elif AT_WORK.get():
        yield Screening(None, on_beat)
    else:
        with local_workers(tasks) as workers:
            yield Screening(workers, on_beat)

"""A batch from beginning to end: what is done is skipped, the rest is planned by workers."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from pathlib import Path

from layout.effort import LEAST_MEMBERS
from plans.batch.answer import Answer, OrderTask, State, answer_order
from plans.batch.found import Found, Reader
from plans.batch.records import Records
from plans.orders.asked import asked_for
from plans.program import fingerprint
from plans.workers.screening import screening_pool

OnStep = Callable[[int, int], None]
"""Told how many orders of how many are done."""

GIVEN_UP = (
    "its worker was ended each time that it was tried, as systems do when memory runs out; plan it "
    "by itself, with fewer makes"
)

EARLIER = "the plan that is there is of an earlier order"


@dataclass(frozen=True)
class Entry:
    """An order by its name, and what came of it; `before` if that was known from an earlier run."""

    name: str
    answer: Answer
    before: bool = False


@dataclass(frozen=True)
class Outcome:
    """What came of a batch: of every order, in their order; whether it was interrupted.

    `on_stash` names orders that use the stash: each counts on all of it, as if there were no other.
    """

    entries: tuple[Entry, ...]
    interrupted: bool
    on_stash: tuple[str, ...] = ()


@dataclass(frozen=True)
class Wanted:
    """How all orders of a batch are answered, whatever they say; None leaves it to them.

    An order that says nothing of it is searched by as many members as on the smallest machine: the
    other cores have other orders.
    """

    effort: str | None = None
    members: int | None = None
    paper: str = "a4"
    drawings: bool = True

    def task(self, found: Found, folder: Path) -> OrderTask | None:
        """What a worker is to do for a plan's folder; None for an order at fault."""
        if found.order is None or found.request is None:
            return None
        order = replace(
            found.order,
            effort=self.effort or found.order.effort,
            members=self.members or found.order.members or LEAST_MEMBERS,
        )
        asked = asked_for(replace(found.request, effort=order.effort), folder)
        return OrderTask(order, found.stash, self.paper, asked, self.drawings)


def run_batch(
    orders: tuple[Path, ...],
    out: Path,
    wanted: Wanted,
    stash: Path | None = None,
    executor: Executor | None = None,
    on_step: OnStep | None = None,
) -> Outcome:
    """Answer every order.

    Parameters
    ----------
    orders : tuple of Path
        Order files.
    out : Path
        Folder that gets a folder for each plan.
    wanted : Wanted
    stash : Path, optional
        File of the stash that orders may use.
    executor : Executor, optional
        Processes of this machine unless given.
    on_step : callable, optional

    Raises
    ------
    FolderError
        If nothing can be written there, or another batch writes there.
    """
    with Records(out) as records:
        batch = _Batch(orders, out, records, wanted, stash, on_step)
        interrupted = False
        try:
            batch.run(executor)
        except KeyboardInterrupt:
            interrupted = True
        return Outcome(batch.entries(), interrupted, tuple(batch.on_stash))


class _Batch:
    def __init__(
        self,
        orders: tuple[Path, ...],
        out: Path,
        records: Records,
        wanted: Wanted,
        stash: Path | None,
        on_step: OnStep | None,
    ) -> None:
        self.orders = orders
        self.out = out
        self.records = records
        self.wanted = wanted
        self.stash = stash
        self.on_step = on_step
        self.known: dict[int, Entry] = {}
        self.on_stash: list[str] = []

    def run(self, executor: Executor | None) -> None:
        """Read all orders, and have planned what is not known."""
        todo = self._read()
        keys = {k: key for k, key, _ in todo}
        with screening_pool(len(todo), executor) as run:
            tasks = [(k, (task,)) for k, _, task in todo]
            for k, answer in run(answer_order, tasks, lambda _: Answer(State.LOST, "", GIVEN_UP)):
                name = self.orders[k].stem
                self._take(k, Entry(name, self.records.put(name, keys[k], answer)))

    def _read(self) -> list[tuple[int, str, OrderTask]]:
        reader = Reader(self.stash)
        todo = []
        for k, path in enumerate(self.orders):
            found = reader.read(path)
            task = self.wanted.task(found, self.out / found.name)
            if task is None:
                self._take(k, Entry(found.name, Answer(State.FAULTY, "", found.fault)))
                continue
            if found.uses_stash:
                self.on_stash.append(found.name)
            key = fingerprint(task)
            kept = self.records.get(found.name, key)
            if kept is None:
                todo.append((k, key, task))
            else:
                self._take(k, Entry(found.name, kept, before=True))
        return todo

    def _take(self, k: int, entry: Entry) -> None:
        self.known[k] = entry
        if self.on_step is not None:
            self.on_step(len(self.known), len(self.orders))

    def entries(self) -> tuple[Entry, ...]:
        """Every order with what came of it, so far."""
        return tuple(
            self._remarked(self.known.get(k) or Entry(path.stem, Answer(State.NOT_REACHED)))
            for k, path in enumerate(self.orders)
        )

    def _remarked(self, entry: Entry) -> Entry:
        """Say if a plan stands there that is not that of the order."""
        answer = entry.answer
        if answer.state is State.PLANNED or not self.records.has_plan(entry.name):
            return entry
        reason = f"{answer.reason}; {EARLIER}" if answer.reason else EARLIER
        return replace(entry, answer=replace(answer, reason=reason))

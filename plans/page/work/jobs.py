"""Jobs: tasks at work in their processes, and everyone who waits for them.

Everything here happens in the thread of the server's loop; views, which run in threads of their
own, come in by `begin`, `ask_to_end` and `of`.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import secrets
import signal
import threading
import time
from collections import deque
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from enum import Enum
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from anyio.from_thread import run_sync as run_in_loop

from plans.errors import PlanError
from plans.page.work.process import Task, interrupts_waiting, run_task
from plans.words.failure_words import Failure, failure_of

MOST_AT_WORK = 2
"""Tasks at one time; each takes all the cores that it gets. Others wait for their turn."""

MOST_KEPT = 50
"""Finished jobs that are still told of to whoever opens their page again."""

END_S = 60.0
"""How long a task may take to write the best that it has."""


class State(Enum):
    """How far a job is."""

    WAITING = "waiting"
    AT_WORK = "at work"
    ENDING = "ending"
    DONE = "done"
    FAILED = "failed"

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come."""
        return self in (State.DONE, State.FAILED)


class NoSuchJobError(PlanError):
    """No job of that name is known (any more)."""


@dataclass
class Job:
    """One task, and what it said last.

    `said` keeps the last of each kind of what it told (by its `kind`), so that whoever comes late
    or again sees all that there is to see.
    """

    title: str
    task: Task
    arguments: tuple[Any, ...]
    subject: str
    name: str = field(default_factory=lambda: secrets.token_hex(8))
    state: State = State.WAITING
    said: dict[str, tuple[int, dict[str, Any]]] = field(default_factory=dict)
    version: int = 1
    result: dict[str, Any] = field(default_factory=dict)
    failure: Failure | None = None
    begun: float = field(default_factory=time.monotonic)
    changed: asyncio.Event = field(default_factory=asyncio.Event)
    process: BaseProcess | None = None

    def change(self) -> None:
        """Wake whoever waits."""
        self.version += 1
        self.changed.set()
        self.changed = asyncio.Event()


class Jobs:
    """All jobs of a server."""

    def __init__(self) -> None:
        self._jobs: dict[str, Job] = {}
        self._waiting: deque[Job] = deque()
        self._at_work: set[str] = set()
        self._loop: asyncio.AbstractEventLoop | None = None
        self.ending = False

    def listen(self) -> None:
        """Begin, in the loop that all this happens in."""
        self._loop = asyncio.get_running_loop()

    def begin(self, title: str, subject: str, task: Task, *arguments: Any) -> Job:
        """Begin a task as soon as there is room; call it in a view's thread.

        Parameters
        ----------
        title : str
            What it is, for a person.
        subject : str
            Which view it belongs to.
        task : Task
            A function of a module.
        arguments
            Plain data.
        """
        job: Job = run_in_loop(self._add, title, subject, task, arguments)
        return job

    def of(self, name: str) -> Job:
        """Return a job by its name.

        Raises
        ------
        NoSuchJobError
        """
        if name not in self._jobs:
            raise NoSuchJobError("this work is not known any more; begin it again")
        return self._jobs[name]

    def all(self) -> list[Job]:
        """All jobs, the latest first."""
        return list(self._jobs.values())[::-1]

    def ask_to_end(self, name: str) -> None:
        """Ask for the best that a job has; call it in a view's thread. Raises as `of`."""
        run_in_loop(self._ask, self.of(name))

    def ending_soon(self) -> None:
        """Begin to end: nothing new begins, and who waits is told. A signal may call this."""
        self._call(self.ask_all_to_end)

    def ask_all_to_end(self) -> None:
        """Ask all for the best that they have; no other begins."""
        self.ending = True
        for job in self._jobs.values():
            self._ask(job)
            job.change()

    def end_at_once(self) -> None:
        """Leave nothing running."""
        self.ending = True
        for job in self._jobs.values():
            if job.process is not None and job.process.is_alive():
                job.process.kill()

    async def ended(self) -> None:
        """Wait until what was asked to end has ended; what takes too long is ended."""
        until = time.monotonic() + END_S
        while any(not job.state.is_over for job in self._jobs.values()):
            if time.monotonic() > until:
                self.end_at_once()
                return
            await asyncio.sleep(0.05)

    async def news(self, job: Job, seen: int = 0) -> AsyncIterator[tuple[str, int, dict[str, Any]]]:
        """Yield what a job says, as it comes, and then how it ended: kind, number and data."""
        while True:
            changed = job.changed
            fresh = sorted((n, kind, data) for kind, (n, data) in job.said.items() if n > seen)
            for number, kind, data in fresh:
                yield kind, number, data
                seen = number
            if job.state is State.DONE:
                yield "done", job.version, job.result
                return
            if job.state is State.FAILED and job.failure is not None:
                blame, lines = job.failure.blame.value, list(job.failure.lines)
                yield "failed", job.version, {"blame": blame, "lines": lines}
                return
            if self.ending:
                yield "ending", job.version, {}
                return
            try:
                await asyncio.wait_for(changed.wait(), 10.0)
            except TimeoutError:
                yield "beat", job.version, {"seconds": round(time.monotonic() - job.begun)}

    def _add(self, title: str, subject: str, task: Task, arguments: tuple[Any, ...]) -> Job:
        if self.ending:
            raise NoSuchJobError("the program is ending, so nothing new begins")
        job = Job(title, task, arguments, subject)
        over = [one.name for one in self._jobs.values() if one.state.is_over]
        for name in over[: max(0, len(self._jobs) + 1 - MOST_KEPT)]:
            del self._jobs[name]
        self._jobs[job.name] = job
        self._waiting.append(job)
        self._begin_next()
        return job

    def _begin_next(self) -> None:
        while self._waiting and len(self._at_work) < MOST_AT_WORK:
            job = self._waiting.popleft()
            if job.state is State.WAITING:
                self._start(job)

    def _start(self, job: Job) -> None:
        try:
            ours = self._begun_process(job)
        except Exception as error:
            # Who waits for it is told; whoever's turn is next is not to blame.
            job.process = None
            job.failure, job.state = failure_of(error), State.FAILED
            job.change()
            return
        job.state = State.AT_WORK
        self._at_work.add(job.name)
        job.change()
        threading.Thread(target=self._hear, args=(job, ours), daemon=True).start()

    def _begun_process(self, job: Job) -> Connection:
        """Begin the process of a job; where its news come from. Raises OSError, say."""
        # From the loop's thread, which lives as long as the server: Linux tells a child of the
        # death of the thread that began it. And anew, since a fork of threads may not go on.
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe(duplex=False)
        process = context.Process(
            target=run_task, args=(theirs, os.getpid(), job.task, job.arguments)
        )
        try:
            with interrupts_waiting():
                process.start()
        except BaseException:
            ours.close()
            raise
        finally:
            theirs.close()
        job.process = process
        return ours

    def _hear(self, job: Job, connection: Connection) -> None:
        """Pass on what a task says, until it says no more; in a thread of its own."""
        while True:
            try:
                kind, data = connection.recv()
            except (EOFError, OSError):
                kind, data = "lost", None
            self._call(self._take, job, kind, data)
            if kind != "progress":
                break
        connection.close()
        if job.process is not None:
            job.process.join()

    def _call(self, function: Any, *arguments: Any) -> None:
        try:
            if self._loop is not None:
                self._loop.call_soon_threadsafe(function, *arguments)
        except RuntimeError:
            return  # The loop is closed: nobody waits any more.

    def _take(self, job: Job, kind: str, data: Any) -> None:
        if job.state.is_over:
            return
        if kind == "progress":
            job.said[str(data.get("kind", "progress"))] = (job.version + 1, data)
        elif kind == "done":
            job.result, job.state = data, State.DONE
        else:
            error = data if isinstance(data, Exception) else ChildProcessError(LOST)
            job.failure, job.state = failure_of(error), State.FAILED
        job.change()
        if job.state.is_over:
            self._at_work.discard(job.name)
            if not self.ending:
                self._begin_next()

    def _ask(self, job: Job) -> None:
        if job.state is State.WAITING:
            job.failure = failure_of(PlanError("ended before it began"))
            job.state = State.FAILED
        elif job.state is State.AT_WORK and job.process is not None and job.process.pid:
            job.state = State.ENDING
            try:
                os.kill(job.process.pid, signal.SIGINT)
            except ProcessLookupError:
                return
        job.change()


LOST = (
    "the work was ended from outside, as systems do when memory runs out; nothing was written. "
    "Try again, with fewer makes or fewer programs at a time"
)

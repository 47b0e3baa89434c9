"""Workers of a Dask cluster that somebody runs already (the optional extra `cluster`).

Dask runs the task of a lost worker again by itself. A worker answers only if it is this very
program, so that answers are the same wherever they are found. What comes from a cluster is Python
objects: whoever controls it controls this program.
"""

from __future__ import annotations

import logging
import pickle
import time
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Future
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

from plans.errors import PlanError
from plans.program import program
from plans.workers.task import OtherProgramError, differences, packed
from plans.workers.where import Workers

if TYPE_CHECKING:
    from distributed import Client

T = TypeVar("T")

CONNECT_S = 10.0
"""How long a scheduler may take to answer."""

CLOSE_S = 2.0
"""How long is waited for a scheduler that is no longer there to say farewell."""

LOOK_S = 1.0
"""How often is looked how many workers there are."""

LEAST_ROOM = 32
"""Tasks handed out at one time while there are few workers or none."""

AHEAD = 3
"""Tasks handed out at one time for each thread of a worker."""

SHOWN = 3
"""Workers that a message names."""

NOTHING_OF_OURS = "no laywright, or another version"


class ClusterError(PlanError):
    """A cluster that cannot be used, or is no longer there; the message says why."""


class ClusterWorkers(Workers):
    """The workers of a cluster. `say` is told when there is none, and when there is one again."""

    def __init__(self, client: Client, address: str, say: Callable[[str], None]) -> None:
        self._client = client
        self._executor = client.get_executor(pure=False)
        self._unpack = _unpacking()
        self._address = address
        self._say = say
        self._there = True
        self._looked = 0.0
        self.look()

    def submit(self, fn: Callable[..., T], /, *args: Any, **kwargs: Any) -> Future[T]:
        """Send it to some worker."""
        sent: Future[bytes | str] = self._executor.submit(self._unpack, packed(fn, args, kwargs))
        found: Future[T] = Future()
        found.add_done_callback(lambda one: one.cancelled() and sent.cancel())
        sent.add_done_callback(lambda one: _hand_over(one, found))
        return found

    def is_loss(self, error: BaseException) -> bool:
        """Whether too many workers ended while they were at it, or had it before them."""
        from distributed.scheduler import KilledWorker

        return isinstance(error, KilledWorker)

    def renew(self) -> bool:
        """The cluster sees to its workers itself."""
        return True

    def look(self) -> None:
        """Hand out as much as the workers that there are can do, and say if there is none."""
        if time.monotonic() - self._looked < LOOK_S:
            return
        self._looked = time.monotonic()
        try:
            threads = sum(self._client.nthreads().values())
        except (OSError, AttributeError, TypeError):
            # It is gone, or going: whatever was handed out tells.
            return
        self.room = max(LEAST_ROOM, AHEAD * threads)
        if not threads and self._there:
            self._say(f"no worker is at {self._address}; waiting for one (Ctrl-C ends that)")
        elif threads and not self._there:
            self._say(f"a worker is at {self._address} again")
        self._there = threads > 0


def _unpacking() -> Callable[[bytes], bytes | str]:
    """What goes to a worker whole, for it may have nothing of ours: it then says so."""

    def unpack(task: bytes) -> bytes | str:
        try:
            from plans.workers.task import run_packed
        except ImportError as error:
            return str(error)
        return run_packed(task)

    return unpack


def _hand_over(sent: Future[bytes | str], found: Future[T]) -> None:
    """What came of a task is what is found, unless nobody wants it any more."""
    if sent.cancelled():
        found.cancel()
        # Whoever waits for it wakes up only now.
        found.set_running_or_notify_cancel()
        return
    if not found.set_running_or_notify_cancel():
        return
    error = sent.exception()
    if error is not None:
        found.set_exception(error)
        return
    answer = sent.result()
    if isinstance(answer, str):
        found.set_exception(OtherProgramError(f"a worker has {NOTHING_OF_OURS}"))
    else:
        found.set_result(pickle.loads(answer))


@contextmanager
def cluster_workers(address: str, say: Callable[[str], None]) -> Iterator[ClusterWorkers]:
    """Give the workers of the cluster whose scheduler is at an address, as tcp://host:8786.

    Raises
    ------
    ClusterError
        If Dask is not installed, nothing answers there, a worker is not this program, or the
        cluster goes away while it is used.
    """
    client = _connected(address)
    try:
        _require_same_program(client)
        yield ClusterWorkers(client, address, say)
    except CancelledError as error:
        raise ClusterError(
            f"the cluster at {address} went away; what was done is kept, so that the same call "
            "goes on from there"
        ) from error
    except OtherProgramError as error:
        raise ClusterError(f"--cluster {address}: {error}; {_remedy()}") from error
    finally:
        client.close(timeout=CLOSE_S)


def _connected(address: str) -> Client:
    try:
        from distributed import Client
    except ImportError as error:
        raise ClusterError(
            "--cluster needs Dask, which is not installed: pip install 'laywright[cluster]'"
        ) from error

    class Quiet(Client):  # type: ignore[misc]
        """A client that does not wait, when it is dropped, for what it never reached."""

        def start(self, **options: Any) -> None:
            try:
                super().start(**options)
            except BaseException:
                self.status = "closed"
                raise

    _silence()
    try:
        return Quiet(address, timeout=CONNECT_S, set_as_default=False)
    except ValueError as error:
        raise ClusterError(
            f"--cluster {address}: {error}; name a scheduler as tcp://host:8786"
        ) from error
    except OSError as error:
        raise ClusterError(
            f"--cluster {address}: no Dask scheduler answers there within {CONNECT_S:.0f} s; "
            "start one with 'dask scheduler', or mend the address"
        ) from error


def _silence() -> None:
    """Let nobody else write of what goes wrong: it is told by us, once."""
    for name in ("distributed", "tornado", "asyncio", *logging.root.manager.loggerDict):
        if name.split(".")[0] in ("distributed", "tornado", "asyncio"):
            logging.getLogger(name).setLevel(logging.CRITICAL + 1)


def _require_same_program(client: Client) -> None:
    """Refuse workers that would give other answers, or none."""
    ours = program()
    python = dict(ours)["Python"]
    faults = {}
    for worker, found in client.get_versions()["workers"].items():
        theirs = ".".join(str(found["host"]["python"]).split(".")[:2])
        if theirs != python:
            faults[worker] = f"Python {theirs}, not {python}"
    if not faults:
        for worker, answer in client.run(_who_are_you(), on_error="return").items():
            if isinstance(answer, (BaseException, str)):
                faults[worker] = NOTHING_OF_OURS
            elif answer != ours:
                faults[worker] = differences(ours, answer)
    if faults:
        named = [f"worker {worker} has {fault}" for worker, fault in sorted(faults.items())]
        more = f", and {len(named) - SHOWN} more" if len(named) > SHOWN else ""
        raise OtherProgramError("; ".join(named[:SHOWN]) + more)


def _who_are_you() -> Callable[[], object]:
    """A question that goes to a worker whole, for it may have nothing of ours."""

    def ask() -> object:
        try:
            from plans.program import program
        except ImportError as error:
            return str(error)
        return program()

    return ask


def _remedy() -> str:
    versions = ", ".join(f"{name} {text}" for name, text in program() if name != "code")
    return f"every worker needs the same as this machine: {versions}"

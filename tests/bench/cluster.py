"""Comparisons on one worker and on two: how much faster, and where more workers would end.

`python -m tests.bench.cluster --cells 200`; `--local` takes processes of this machine instead of a
Dask cluster's. Wall time depends on what else runs; the seconds of processors hardly do. With
`--asleep 0.3` workers sleep so long over each task and hand back what was found before: all else
is as it is, and a machine that others use, too, shows how much of the time the workers' is.
"""

from __future__ import annotations

import argparse
import json
import os
import pickle
import time
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import ExitStack
from dataclasses import dataclass, field
from typing import Any

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.compare.cells import Question
from plans.compare.questions import questions_for
from plans.compare.search import compare
from plans.order import Order
from plans.workers.cluster import cluster_workers
from plans.workers.local import LocalWorkers, _event
from plans.workers.task import packed
from plans.workers.where import Workers

FOLDS = (Fold.OPEN, Fold.LENGTHWISE, Fold.PARTIAL, Fold.DOUBLE, Fold.CROSSWISE)


@dataclass
class Counted(Workers):
    """Workers whose tasks are measured: bytes each way, processor seconds of each."""

    inner: Workers
    known: dict[Any, Any]
    asleep: float | None = None
    sent: list[int] = field(default_factory=list)
    back: list[int] = field(default_factory=list)
    busy: list[float] = field(default_factory=list)

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Send a task wrapped in a watch."""
        self.sent.append(len(packed(fn, args, kwargs)))
        found: Future[Any] = Future()

        def arrived(one: Future[Any]) -> None:
            result, seconds = one.result()
            self.busy.append(seconds)
            self.back.append(len(pickle.dumps(result, pickle.HIGHEST_PROTOCOL)))
            found.set_result(result)

        if self.asleep is None:
            sent = self.inner.submit(watched, fn, *args, **kwargs)
        else:
            sent = self.inner.submit(slept, self.asleep, self.known[args], *args)
        sent.add_done_callback(arrived)
        found.add_done_callback(lambda one: self.known.setdefault(args, one.result()))
        return found

    def look(self) -> None:
        """See to the workers, and to how much they are handed."""
        self.inner.look()
        self.room = self.inner.room


def watched(function: Callable[..., Any], *arguments: Any) -> tuple[Any, float]:
    """Run a task; return what it gives, and its processor seconds."""
    begun = time.thread_time()
    return function(*arguments), time.thread_time() - begun


def slept(seconds: float, result: Any, *_: Any) -> tuple[Any, float]:
    """Stand in for a task whose result is known."""
    time.sleep(seconds)
    return result, seconds


def questions(cells: int, garment: str, role: str) -> list[Question]:
    """So many cells of one garment: widths, both directions of nap, five folds."""
    order = Order(load_garment(find_garment(garment)), {})
    cloths = [
        plain_fabric(f"{900 + 10 * k}mm{',nap' if nap else ''}")
        for k in range(-(-cells // (2 * len(FOLDS))))
        for nap in (False, True)
    ]
    return questions_for(order, [(role,)], cloths, folds=FOLDS)[:cells]


def measured(
    asked: list[Question], count: int, local: bool, known: dict[Any, Any], asleep: float | None
) -> dict[str, Any]:
    """Fill all cells with so many workers."""
    with ExitStack() as stack:
        workers = stack.enter_context(_workers(count, local))
        # What is imported once is not measured.
        compare(asked[:2], "quick", executor=workers)
        watch = Counted(workers, known, asleep)
        begun, ours = time.monotonic(), time.process_time()
        cells, _ = compare(asked, "quick", executor=watch)
        seconds, own = time.monotonic() - begun, time.process_time() - ours
    tasks = len(watch.busy)
    return {
        "workers": count, "seconds": round(seconds, 2), "tasks": tasks,
        "task_seconds": round(sum(watch.busy) / tasks, 4),
        "bytes_sent": round(sum(watch.sent) / tasks), "bytes_back": round(sum(watch.back) / tasks),
        "own_seconds": round(own, 2), "lengths": hash(tuple(cell.length for cell in cells)),
    }  # fmt: skip


def _workers(count: int, local: bool) -> Any:
    from contextlib import contextmanager

    @contextmanager
    def made() -> Any:
        if local:
            asked = _event()
            assert asked is not None
            workers = LocalWorkers(count, asked)
            yield workers
            workers.end()
            return
        from distributed import LocalCluster

        with (
            LocalCluster(
                n_workers=count, threads_per_worker=1, processes=True, dashboard_address=None
            ) as dask,
            cluster_workers(dask.scheduler_address, print) as there,
        ):
            yield there

    return made()


def main() -> None:
    """Measure one worker and two, in turns."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--cells", type=int, default=200)
    parser.add_argument("--garment", default="blouse")
    parser.add_argument("--role", default="main")
    parser.add_argument("--turns", type=int, default=1)
    parser.add_argument("--local", action="store_true")
    parser.add_argument("--asleep", type=float)
    given = parser.parse_args()
    asked = questions(given.cells, given.garment, given.role)
    known: dict[Any, Any] = {}
    if given.asleep is not None:
        measured(asked, 2, given.local, known, None)
    for _ in range(given.turns):
        found = [measured(asked, count, given.local, known, given.asleep) for count in (1, 2)]
        for row in found:
            print(json.dumps({**row, "load": os.getloadavg()[0]}), flush=True)
        print(f"speed-up {found[0]['seconds'] / found[1]['seconds']:.2f}", flush=True)


if __name__ == "__main__":
    main()

"""Workers of a Dask cluster, where Dask is installed: two processes of this machine."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from plans.program import program
from plans.workers import cluster
from plans.workers.cluster import ClusterError, cluster_workers
from plans.workers.screening import screening_pool

distributed = pytest.importorskip(
    "distributed", reason="needs the optional extra 'cluster' (Dask): pip install '.[cluster]'"
)
config = pytest.importorskip("dask.config")
pytestmark = pytest.mark.filterwarnings("ignore")


def cluster_of(workers: int) -> Any:
    """So many workers of one thread each, as processes."""
    return distributed.LocalCluster(
        n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
    )


@pytest.fixture(scope="module")
def dask() -> Iterator[Any]:
    with cluster_of(2) as made:
        yield made


def silent(text: str) -> None:
    raise AssertionError(text)


def square(number: int) -> int:
    return number * number


def ended_by(folder: str, number: int) -> int:
    """Work of which 1 ends every worker that begins it, and 2 the first."""
    mark = Path(folder, str(number))
    if number == 1 or (number == 2 and not mark.exists()):
        mark.touch()
        os._exit(9)
    return number * number


def test_results_are_those_of_local_processes(dask: Any) -> None:
    """Every task once, more of them than are handed out at one time."""
    tasks = [(k, (k,)) for k in range(3 * cluster.LEAST_ROOM)]
    with (
        cluster_workers(dask.scheduler_address, silent) as workers,
        screening_pool(len(tasks), workers) as run,
    ):
        assert workers.room == cluster.LEAST_ROOM
        assert dict(run(square, tasks)) == {k: k * k for k in range(len(tasks))}


def test_a_lost_worker_loses_nothing_and_a_task_that_ends_every_worker_is_found(
    tmp_path: Path,
) -> None:
    """Four workers end; every other task gives what it gives, whatever it shared a worker with.

    What was at work on a worker that ended is given up by the cluster at once: it is handed out
    again from here. There are workers enough, should none be replaced.
    """
    with (
        config.set({"distributed.scheduler.allowed-failures": 0}),
        cluster_of(6) as many,
        cluster_workers(many.scheduler_address, lambda _: None) as workers,
        screening_pool(4, workers) as run,
    ):
        found = dict(run(ended_by, [(k, (str(tmp_path), k)) for k in range(6)], lambda _: -1))
    assert found == {0: 0, 1: -1, 2: 4, 3: 9, 4: 16, 5: 25}


WITHOUT = """
import sys
for name in [name for name in sys.modules if name.split('.')[0] == 'plans']:
    del sys.modules[name]
sys.modules['plans'] = None
"""
WITH_AGAIN = "import sys; del sys.modules['plans']"
OTHER = """
import plans.program, plans.workers.task
whole = plans.program.program
plans.program.whole = whole
other = lambda: (*whole()[:{kept}], ('code', 'of another day'))
plans.program.program = plans.workers.task.program = other
"""
SAME_AGAIN = """
import plans.program, plans.workers.task
plans.program.program = plans.workers.task.program = plans.program.whole
"""


@contextmanager
def changed(dask: Any, before: str, after: str) -> Iterator[str]:
    """Run code on one of the workers, whose address is given, and other code in the end."""
    with distributed.Client(dask, set_as_default=False) as client:
        one = sorted(client.nthreads())[0]
        client.run(exec, before, {}, workers=[one])
        try:
            yield one
        finally:
            client.run(exec, after, {}, workers=[one])


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (WITHOUT, WITH_AGAIN, "no laywright, or another version"),
        (OTHER.format(kept=-1), SAME_AGAIN, "another laywright under the same version"),
        (OTHER.format(kept=2), SAME_AGAIN, "numpy unknown, not"),
    ],
    ids=["none", "other code", "other libraries"],
)
def test_a_worker_that_is_another_program_is_named(
    dask: Any, before: str, after: str, said: str
) -> None:
    """With what it has and what it needs; nothing is sent to it."""
    with (
        changed(dask, before, after) as one,
        pytest.raises(ClusterError) as refused,
        cluster_workers(dask.scheduler_address, silent),
    ):
        raise AssertionError("was let in")
    assert f"worker {one} has {said}" in str(refused.value)
    assert f"laywright {dict(program())['laywright']}" in str(refused.value)


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (WITHOUT, WITH_AGAIN, "no laywright"),
        (OTHER.format(kept=-1), SAME_AGAIN, "another laywright under the same version"),
    ],
    ids=["none", "other code"],
)
def test_so_is_one_that_came_later(dask: Any, before: str, after: str, said: str) -> None:
    """No answer of it is taken."""
    with (
        pytest.raises(ClusterError, match=said),
        cluster_workers(dask.scheduler_address, silent) as workers,
        screening_pool(8, workers) as run,
        changed(dask, before, after),
    ):
        list(run(square, [(k, (k,)) for k in range(8)]))


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("nonsense", "missing port number.*tcp://host:8786"),
        ("http://127.0.0.1:8786", "unknown address scheme.*tcp://host:8786"),
        ("tcp://127.0.0.1:9", "no Dask scheduler answers there.*mend the address"),
    ],
)
def test_an_address_where_nothing_is(
    monkeypatch: pytest.MonkeyPatch, address: str, said: str
) -> None:
    """Says so, with what to do."""
    monkeypatch.setattr(cluster, "CONNECT_S", 0.2)
    with pytest.raises(ClusterError, match=said), cluster_workers(address, silent):
        raise AssertionError("was let in")


def test_a_cluster_without_workers_is_waited_for_and_one_that_goes_away_is_told_of(
    caplog: pytest.LogCaptureFixture,
) -> None:
    """First there is no worker, then there is one; then the scheduler ends. Only we say so."""
    heard: list[str] = []
    with distributed.LocalCluster(
        n_workers=0, threads_per_worker=1, processes=False, dashboard_address=None
    ) as dask:

        def hear(text: str) -> None:
            heard.append(text)
            dask.scale(1)

        with pytest.raises(ClusterError, match="went away; what was done is kept"):
            _work_until_it_is_gone(dask, hear)
    assert "no worker is at" in heard[0]
    assert not [record for record in caplog.records if record.name == "distributed.client"]


def _work_until_it_is_gone(dask: Any, hear: Any) -> None:
    with (
        cluster_workers(dask.scheduler_address, hear) as workers,
        screening_pool(1, workers) as run,
    ):
        assert list(run(square, [(0, (3,))])) == [(0, 9)]
        dask.close()
        # It may come back within a time that need not be waited for here.
        workers._client._timeout = 0.1
        list(run(square, [(0, (3,))]))

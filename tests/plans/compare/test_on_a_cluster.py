"""A comparison by workers of a cluster, one of them killed, and by processes of this machine."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fabrics.plain import plain_fabric
from plans.compare.cells import Cell
from plans.compare.results import ResultCache
from plans.compare.search import compare
from plans.workers.cluster import cluster_workers
from plans.workers.where import Workers
from tests.plans.compare.test_compare import questions

distributed = pytest.importorskip(
    "distributed", reason="needs the optional extra 'cluster' (Dask): pip install '.[cluster]'"
)
pytestmark = pytest.mark.filterwarnings("ignore")

ASKED = questions("layered-top", "overlay", [plain_fabric("90cm"), plain_fabric("112cm")])


@pytest.fixture(scope="module")
def here() -> tuple[Cell, ...]:
    cells, interrupted = compare(ASKED, "quick")
    assert not interrupted
    return cells


@pytest.fixture
def dask() -> Iterator[Any]:
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as made:
        yield made


@pytest.fixture
def workers(dask: Any) -> Iterator[Workers]:
    with cluster_workers(dask.scheduler_address, lambda _: None) as made:
        yield made


def test_one_worker_is_killed_and_nothing_is_lost(
    here: tuple[Cell, ...], dask: Any, workers: Workers
) -> None:
    """The same cells, to the last figure, and every step is told of once."""
    heard = []

    def step(done: int, total: int) -> None:
        heard.append((done, total))
        if done == 3:
            with distributed.Client(dask, set_as_default=False) as client:
                os.kill(min(client.run(os.getpid).values()), signal.SIGKILL)

    cells, interrupted = compare(ASKED, "quick", executor=workers, on_step=step)
    assert not interrupted
    assert cells == here
    assert [done for done, _ in heard] == list(range(1, len(heard) + 1))
    assert heard[-1][0] == heard[-1][1]


def test_an_interrupt_keeps_what_is_done(
    here: tuple[Cell, ...], workers: Workers, tmp_path: Path
) -> None:
    """And the next call, here, works out the rest only: no cell twice."""
    store = ResultCache(tmp_path / "kept.sqlite")

    def stop(done: int, total: int) -> None:
        if done == total - 2:
            raise KeyboardInterrupt

    cells, interrupted = compare(ASKED, "quick", store, workers, on_step=stop)
    assert interrupted
    assert sum(cell.length is not None for cell in cells) > 0
    heard: list[int] = []
    again, _ = compare(ASKED, "quick", store, on_step=lambda done, total: heard.append(total))
    assert again == here
    assert 0 < heard[-1] < 2 * len(ASKED)

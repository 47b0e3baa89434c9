"""The same call on a cluster: two local worker processes of Dask, where it is installed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.effort import Effort
from layout.solver import solve
from layout.validator import validate
from tests.layout.examples import EXAMPLES

distributed = pytest.importorskip(
    "distributed", reason="needs the optional extra 'cluster' (Dask): pip install '.[cluster]'"
)


@pytest.mark.filterwarnings("ignore")
def test_dask_workers_find_the_layout_that_threads_find() -> None:
    """`Client.get_executor()` is any other executor: one layout, whatever runs the members."""
    effort = replace(Effort.NORMAL, evaluations=200_000)
    problem = EXAMPLES["lengthwise"]()
    here = solve(problem, effort, seed=4)
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
        client.get_executor() as executor,
    ):
        there = solve(problem, effort, seed=4, executor=executor)
    assert validate(problem, there) == []
    assert there == here

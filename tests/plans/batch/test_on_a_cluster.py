"""A batch by the workers of a cluster, one of them killed: the plans of this machine."""

from __future__ import annotations

import os
import signal
from dataclasses import replace
from pathlib import Path

import pytest

from plans.batch.running import Wanted, run_batch
from plans.workers.cluster import cluster_workers
from tests.plans.batch.orders import files_of, write_orders

distributed = pytest.importorskip(
    "distributed", reason="needs the optional extra 'cluster' (Dask): pip install '.[cluster]'"
)


@pytest.mark.filterwarnings("ignore")
def test_one_worker_is_killed_and_every_plan_is_the_same(tmp_path: Path) -> None:
    """Nothing of the folders is shared with the workers: plans come back whole."""
    cloths = {f"order{k}": f"{90 + 5 * k}cm" for k in range(6)}
    orders = files_of(write_orders(tmp_path / "orders", **cloths))
    here, there = tmp_path / "here", tmp_path / "there"
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as dask,
        cluster_workers(dask.scheduler_address, lambda _: None) as workers,
    ):

        def step(done: int, _: int) -> None:
            if done == 2:
                with distributed.Client(dask, set_as_default=False) as client:
                    os.kill(min(client.run(os.getpid).values()), signal.SIGKILL)

        wanted = Wanted(drawings=False)
        far = run_batch(orders, there, wanted, executor=workers, on_step=step)
    assert not far.interrupted
    assert run_batch(orders, here, wanted) == far
    again = run_batch(orders, there, wanted).entries
    assert again == tuple(replace(entry, before=True) for entry in far.entries)
    for name in cloths:
        plan = Path(name, "plan.json")
        assert (here / plan).read_bytes() == (there / plan).read_bytes()

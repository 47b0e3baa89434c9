"""Where a command's work is done: on this machine, or by the workers of a cluster."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from plans.workers.where import Workers

cluster_option = click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Dask scheduler whose workers do the work, as tcp://host:8786; only one that you trust.  "
    "[default: this machine]",
)


@contextmanager
def workers_at(address: str | None) -> Iterator[Workers | None]:
    """Give the workers of the cluster at an address; None, for this machine, without one.

    Raises
    ------
    ClusterError
        If there is no such cluster, or none of use.
    """
    if address is None:
        yield None
        return
    from plans.workers.cluster import cluster_workers

    with cluster_workers(address, lambda text: click.echo(text, err=True)) as workers:
        yield workers

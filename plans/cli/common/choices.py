"""Options of a command taken together: what several commands ask alike is one frozen value."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pieces.lengths import GAP_MM, System
from plans.order import USUAL_ENDS_MM

if TYPE_CHECKING:
    from plans.workers.where import Workers

Command = Callable[..., Any]


def taken_into(**kinds: type) -> Callable[[Command], Command]:
    """Hand a command one value of each kind in place of the options that its fields name.

    Stands directly above the command, below its options.

    Parameters
    ----------
    kinds : type
        A frozen dataclass by the name of the parameter that takes it. No two may have a field in
        common.
    """

    def decorate(function: Command) -> Command:
        @functools.wraps(function)
        def command(*arguments: Any, **options: Any) -> Any:
            taken = {
                name: kind(**{field.name: options.pop(field.name) for field in fields(kind)})
                for name, kind in kinds.items()
            }
            return function(*arguments, **options, **taken)

        return command

    return decorate


@dataclass(frozen=True)
class CuttingChoice:
    """How many are cut, and what is lost on the way (mm)."""

    makes: int = 1
    gap: float = GAP_MM
    ends: float = USUAL_ENDS_MM
    margin: float = 0.0


@dataclass(frozen=True)
class SearchChoice:
    """How long is searched, and from which seed."""

    effort: str
    seed: int

    def asked(self) -> dict[str, Any]:
        """What answers depend on, by the names of the fields of a request."""
        return asdict(self)


@dataclass(frozen=True)
class ClusterChoice:
    """Whose workers work: a cluster's, by the address of its scheduler, or this machine's."""

    cluster: str | None

    @contextmanager
    def workers(self) -> Iterator[Workers | None]:
        """Give the workers of the cluster; None, for this machine, without one.

        Raises
        ------
        ClusterError
            If there is no such cluster, or none of use.
        """
        if self.cluster is None:
            yield None
            return
        from plans.workers.cluster import cluster_workers

        with cluster_workers(self.cluster, lambda text: click.echo(text, err=True)) as workers:
            yield workers


@dataclass(frozen=True)
class SharedSearchChoice(ClusterChoice, SearchChoice):
    """How long is searched, from which seed, and by whose workers."""

    def asked(self) -> dict[str, Any]:
        """What answers depend on; whose workers search changes none."""
        return {name: value for name, value in super().asked().items() if name != "cluster"}


@dataclass(frozen=True)
class StashChoice:
    """The file of the stash, if it is not the user's own, and the units to tell of it in."""

    stash: Path | None
    units: str

    @property
    def system(self) -> System:
        """Units that figures are shown in."""
        return System(self.units)


@dataclass(frozen=True)
class TableChoice:
    """How a table is printed: for people, unless one of these is asked for."""

    as_json: bool
    as_csv: bool

    @property
    def for_programs(self) -> bool:
        """Whether nothing but the table may go to standard output."""
        return self.as_json or self.as_csv

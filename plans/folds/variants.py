"""The variants of one kind of fold: every spread with every pairing and join worth trying."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from fabrics.spread import Fold
from layout.problem import Section
from plans.folds.job import FabricJob
from plans.folds.outcome import Variant
from plans.problem.demand import Demand
from plans.problem.joins import can_split, extra_length, split
from plans.problem.problem_builder import Misfit, Pairing
from plans.problem.spread_options import SpreadOption, spread_options

Parts = tuple[tuple[str, int], ...]
"""Strips that are cut in parts, by demand key."""

OfUse = Callable[[tuple[Demand, ...], tuple[Section, ...], Pairing], bool]
"""Whether a variant of these demands, sections and pairs is of use, asked before it is built."""


def _any(demands: tuple[Demand, ...], sections: tuple[Section, ...], pairing: Pairing) -> bool:
    return True


def variants(job: FabricJob, fold: Fold) -> Iterator[Variant | Misfit]:
    """Every spread of the kind with every pairing worth trying; misfits where nothing goes in."""
    yield from variants_of(job, spread_options(fold, job.fabric, job.demands, job.rule, job.gap))


def variants_of(
    job: FabricJob, options: Iterable[SpreadOption], wanted: OfUse = _any
) -> Iterator[Variant | Misfit]:
    """The variants of given spreads; only those built that are `wanted`."""
    for option in options:
        fitted, parts = _fitting(job, option.sections)
        if isinstance(fitted, Misfit):
            yield fitted
            continue
        joined = (_joined_more(job, parts, by) for by in range(job.more_parts + 1))
        for chosen in dict.fromkeys(joined):
            demands = split_demands(job, dict(chosen))
            joins = joins_of(job, dict(chosen))
            for pairing in job.pairings(demands, option.sections):
                if not wanted(demands, option.sections, pairing):
                    continue
                built = job.built(demands, option.sections, pairing)
                if isinstance(built, Misfit):
                    yield built
                else:
                    yield Variant(option.fold, option.sections, built, joins, demands)


def _joined_more(job: FabricJob, parts: Parts, by: int) -> Parts:
    """Cut every joinable strip in so many parts more than it needs: short parts may save cloth."""
    more = dict(parts)
    for demand in job.demands:
        least = more.get(demand.key, 1)
        count = max((n for n in range(least, least + by + 1) if can_split(demand, n)), default=1)
        if count > 1:
            more[demand.key] = count
    return tuple(more.items())


def split_demands(job: FabricJob, parts: dict[str, int]) -> tuple[Demand, ...]:
    """Cut strips in parts, by demand key."""
    demands: list[Demand] = []
    for demand in job.demands:
        count = parts.get(demand.key, 1)
        demands += split(demand, count, job.fabric, job.makes) if count > 1 else [demand]
    return tuple(demands)


def joins_of(job: FabricJob, parts: dict[str, int]) -> tuple[tuple[str, int, float], ...]:
    """Say what is cut in parts, as `Variant.joined` does."""
    return tuple(
        (demand.key, parts[demand.key], extra_length(demand, parts[demand.key]))
        for demand in job.demands
        if demand.key in parts
    )


def _fitting(
    job: FabricJob, sections: tuple[Section, ...]
) -> tuple[tuple[Demand, ...] | Misfit, Parts]:
    """Cut joinable strips in as few parts as make everything fit these sections."""
    parts: dict[str, int] = {}
    while True:
        tried = split_demands(job, parts)
        built = job.built(tried, sections, job.pairings(tried, sections)[0])
        if not isinstance(built, Misfit):
            return tried, tuple(parts.items())
        key = built.demand.part_of or built.demand.key
        owner = next((demand for demand in job.demands if demand.key == key), None)
        if owner is None or not can_split(owner, parts.get(owner.key, 1) + 1):
            return built, ()
        parts[owner.key] = parts.get(owner.key, 1) + 1

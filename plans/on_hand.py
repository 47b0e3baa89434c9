"""Whether a layout fits on the cloth that there is, and what would make it fit."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import replace

from fabrics.buying import off_the_bolt
from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from pieces.lengths import EXCESS_MM, System, format_length
from plans.demand import Demand
from plans.fold_search import FabricJob, FoldFailure, FoldResult, screen
from plans.levels import Level
from plans.spread_options import SIMPLICITY

Outcome = FoldResult | FoldFailure


def needed(job: FabricJob, result: FoldResult) -> float:
    """Length (mm) that a result takes off the cloth on hand, in its own state."""
    return off_the_bolt(result.length + job.beyond, job.fabric, job.margin)


def fits(job: FabricJob, result: FoldResult) -> bool:
    """Whether there is as much; cloth that is yet to be bought always fits."""
    on_hand = job.fabric.on_hand
    return on_hand is None or needed(job, result) <= on_hand + EXCESS_MM


def shortage(job: FabricJob, results: dict[Fold, Outcome], level: Level, nap_optional: bool) -> str:
    """Explain that nothing fits: by how much it misses, which pieces, and what would help.

    Parameters
    ----------
    job : FabricJob
        Its fabric says what is on hand.
    results : dict of Fold to outcome
        What was tried; none of it fits.
    level : Level
        Work for what is tried besides.
    nap_optional : bool
        Whether laying against the nap may be offered.
    """
    found = [result for result in results.values() if isinstance(result, FoldResult)]
    best = min(found, key=lambda result: needed(job, result))
    on_hand = job.fabric.on_hand or 0.0
    state = "washed" if job.fabric.washed else "unwashed"
    missing = needed(job, best) - on_hand
    lines = [
        f"fabric '{job.fabric.name}' ({', '.join(job.roles)}): {_tape(on_hand, job)} on hand "
        f"({state}), and the shortest layout found takes {_tape(needed(job, best), job)} "
        f"({taught_name(best.fold)}): {_tape(missing, job)} too little"
    ]
    lines += _without_pieces(job, best, level)
    remedies = list(_remedies(job, set(results), level, nap_optional))
    lines += remedies or ["no other fold makes it fit"]
    if job.fabric.one_way and not nap_optional:
        lines.append("if its nap may be ignored, --nap-optional tries that too")
    return "\n  ".join(part for line in lines for part in textwrap.wrap(line, 94))


def _tape(length: float, job: FabricJob) -> str:
    return format_length(length, job.system)


def _remedies(job: FabricJob, tried: set[Fold], level: Level, nap_optional: bool) -> Iterator[str]:
    """Other folds that were not asked for, and the same against the nap where that is allowed."""
    for fold in _folds():
        if fold not in tried:
            yield from _if_it_fits(job, fold, level, f"{taught_name(fold)}: it would fit")
    if nap_optional and job.fabric.one_way:
        free = replace(job, fabric=replace(job.fabric, one_way=False))
        for fold in _folds():
            yield from _if_it_fits(
                free, fold, level, f"laid both ways, {taught_name(fold)}: it would fit"
            )


def _folds() -> list[Fold]:
    return [fold for group in SIMPLICITY for fold in group]


def _if_it_fits(job: FabricJob, fold: Fold, level: Level, words: str) -> Iterator[str]:
    outcome = screen(job, fold, level.screen, level.glance)
    if isinstance(outcome, FoldResult) and fits(job, outcome):
        spare = (job.fabric.on_hand or 0.0) - needed(job, outcome)
        joined = "".join(f"; '{key}' joined of {n} parts" for key, n, _ in outcome.joined)
        yield f"{words}, with {_tape(spare, job)} to spare{joined}"


def _without_pieces(job: FabricJob, best: FoldResult, level: Level) -> list[str]:
    """The least that must be left out for the rest to fit, in the fold that needs least."""
    if len(job.demands) < 2:
        return []
    by_size = sorted(job.demands, key=lambda demand: demand.area * demand.wanted.total)
    # One piece after another, the smallest first; then the smallest ones together.
    tries: list[tuple[Demand, ...]] = [(demand,) for demand in by_size]
    tries += [tuple(by_size[:count]) for count in range(2, len(by_size))]
    for left_out in tries:
        keys = {demand.key for demand in left_out}
        rest = replace(job, demands=tuple(d for d in job.demands if d.key not in keys))
        outcome = screen(rest, best.fold, level.glance, level.glance)
        if isinstance(outcome, FoldResult) and fits(rest, outcome):
            names = ", ".join(f"'{demand.key}'" for demand in left_out)
            return [f"does not fit: {names}; without, the rest fits ({taught_name(best.fold)})"]
    return ["does not fit: not even one piece less makes the rest fit"]


def spare_words(on_hand: float, taken: float, washed: bool, system: System) -> tuple[str, str]:
    """How it was computed, and what is left: for a line of arithmetic."""
    state = "washed" if washed else "unwashed"
    how = f"{format_length(on_hand, system)} {state} - {format_length(taken, system)}"
    return how, format_length(max(0.0, on_hand - taken), system)

"""Building the problem of a result again: from the cache, or for cloth that is a little different.

A result is its sections (folds and depths), how many placements are cut two at a time, which strips
are joined, and where everything lies. On wider cloth the same depths leave more single cloth, so a
layout of narrower cloth is one there, too; a one-way layout is one of cloth without nap.
"""

from __future__ import annotations

from dataclasses import replace

from fabrics.spread import Fold, Spread, SpreadError, Zone, make_spread
from layout.layout import Placement
from layout.problem import Slot
from plans.errors import ContradictionError
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import joins_of, split_demands
from plans.problem.problem_builder import Misfit, Pairing
from plans.problem.spread_options import forbid, section_of

SectionSpec = tuple[str, Fold, float, float, float]
"""Name, fold and the two depths (mm) of a section, and where flaws have it folded across (mm)."""


def specs_of(result: FoldResult) -> tuple[SectionSpec, ...]:
    """What must be known of a result's sections to make them again."""
    return tuple(
        (s.name, s.spread.fold, s.spread.d1, s.spread.d2, s.fold_at) for s in result.sections
    )


def rebuilt(
    job: FabricJob,
    fold: Fold,
    specs: tuple[SectionSpec, ...],
    parts: dict[str, int],
    pairing: Pairing,
) -> Variant | None:
    """Make a variant again on the cloth of a job; None if that cannot carry it."""
    sections = []
    for name, kind, d1, d2, place in specs:
        try:
            forbid(kind, job.fabric, job.rule)
            spread = make_spread(
                kind, job.fabric.width_cut, job.fabric.selvage_cut, d1, d2, job.fabric.faces
            )
        except (SpreadError, ContradictionError):
            return None
        if job.fabric.flaws and spread.doubled and not place:
            return None
        sections.append(replace(section_of(spread, job.rule, name), fold_at=place))
    demands = split_demands(job, parts)
    if len(pairing) != len(demands):
        return None
    built = job.built(demands, tuple(sections), pairing)
    if isinstance(built, Misfit):
        return None
    return Variant(fold, tuple(sections), built, joins_of(job, parts), demands)


def remade(job: FabricJob, result: FoldResult) -> Variant | None:
    """Make the variant of a result again on the cloth of a job."""
    parts = {key: count for key, count, _ in result.joined}
    return rebuilt(job, result.fold, specs_of(result), parts, result.built.pairing)


def holds(job: FabricJob, result: FoldResult) -> bool:
    """Whether a result is a valid layout of exactly what its job demands."""
    variant = remade(job, result)
    return variant is not None and variant.is_sound(result.layout)


def transferred(job: FabricJob, result: FoldResult) -> FoldResult | None:
    """Lay the same layout on the cloth of another job: wider, or without nap.

    Returns None where it does not hold there.
    """
    variant = remade(job, result)
    if variant is None:
        return None
    items, before = variant.built.problem.items, result.built.problem.items
    if len(items) != len(before):
        return None
    placements = []
    for placement in result.layout.placements:
        slot = before[placement.item].slots[placement.slot]
        index = _same_slot(slot, placement, items[placement.item].slots)
        if index is None:
            return None
        shift = _shift(
            result.sections[slot.section].spread, variant.sections[slot.section].spread, slot.plies
        )
        if shift is None:
            return None
        placements.append(replace(placement, slot=index, y=placement.y + shift))
    return variant.laid_if_sound(job, replace(result.layout, placements=tuple(placements)))


def _same_slot(slot: Slot, placement: Placement, slots: tuple[Slot, ...]) -> int | None:
    for index, other in enumerate(slots):
        same = (
            other.section == slot.section
            and other.plies == slot.plies
            and other.shape == slot.shape
            and other.fold_edge == slot.fold_edge
        )
        if same and placement.pose in other.poses:
            return index
    return None


def _shift(before: Spread, after: Spread, plies: tuple[int, ...]) -> float | None:
    """How far a placement moves across the lay so that it keeps to its fold, or its near edge."""
    old, new = _zone(before, plies), _zone(after, plies)
    if old is None or new is None:
        return None
    at_top = any(
        edge.along and edge.side < 0 and abs(edge.at - old.y_to) < 1e-6
        for edge in before.fold_edges
    )
    return new.y_to - old.y_to if at_top else new.y_from - old.y_from


def _zone(spread: Spread, plies: tuple[int, ...]) -> Zone | None:
    """Zone that offers these plies: all of them, or one of two."""
    exact = [zone for zone in spread.zones if zone.plies == plies]
    wider = [zone for zone in spread.zones if set(plies) <= set(zone.plies)]
    return next(iter(exact + wider), None)

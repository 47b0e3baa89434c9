"""Building the problem of a result again: from the cache, or for cloth that is a little different.

A result is its sections (folds and depths), how many placements are cut two at a time, which strips
are joined, and where everything lies. On wider cloth the same depths leave more single cloth, so a
layout of narrower cloth is one there, too; a one-way layout is one of cloth without nap.
"""

from __future__ import annotations

from dataclasses import replace

from fabrics.spread import Fold, Spread, SpreadError, Zone, make_spread
from layout.layout import Layout, Placement, cloth_length
from layout.problem import Section, Slot
from plans.errors import ContradictionError
from plans.folds.fold_search import (
    FabricJob,
    FoldResult,
    bought_for,
    is_sound,
    joins_of,
    split_demands,
)
from plans.problem.demand import Demand
from plans.problem.problem_builder import BuiltProblem, Misfit, Pairing, build
from plans.problem.repeats import repeat_rule
from plans.problem.spread_options import forbid, section_of

SectionSpec = tuple[str, Fold, float, float]
"""Name, fold and the two depths (mm) of a section."""


def specs_of(result: FoldResult) -> tuple[SectionSpec, ...]:
    """What must be known of a result's sections to make them again."""
    return tuple((s.name, s.spread.fold, s.spread.d1, s.spread.d2) for s in result.sections)


def rebuilt(
    job: FabricJob,
    specs: tuple[SectionSpec, ...],
    parts: dict[str, int],
    pairing: Pairing,
) -> tuple[tuple[Section, ...], tuple[Demand, ...], BuiltProblem] | None:
    """Make sections, demands and problem on the cloth of a job; None if it cannot carry them."""
    rule = repeat_rule(job.fabric, job.demands)
    sections = []
    for name, fold, d1, d2 in specs:
        try:
            forbid(fold, job.fabric, rule)
            spread = make_spread(
                fold, job.fabric.width_cut, job.fabric.selvage_cut, d1, d2, job.fabric.faces
            )
        except (SpreadError, ContradictionError):
            return None
        sections.append(section_of(spread, rule, name))
    demands = split_demands(job, parts)
    if len(pairing) != len(demands):
        return None
    built = build(demands, tuple(sections), job.laid_cloth, job.gap, rule, pairing)
    return None if isinstance(built, Misfit) else (tuple(sections), demands, built)


def as_result(
    job: FabricJob,
    fold: Fold,
    made: tuple[tuple[Section, ...], tuple[Demand, ...], BuiltProblem],
    parts: dict[str, int],
    layout: Layout,
) -> FoldResult | None:
    """Put a layout and its problem together as a result; None if the validator refuses it."""
    sections, demands, built = made
    if not is_sound(built, layout):
        return None
    length = cloth_length(built.problem, layout.extents)
    return FoldResult(
        fold, sections, built, layout, length, bought_for(job, length), joins_of(job, parts),
        demands,
    )  # fmt: skip


def holds(job: FabricJob, result: FoldResult) -> bool:
    """Whether a result is a valid layout of exactly what its job demands."""
    parts = {key: count for key, count, _ in result.joined}
    made = rebuilt(job, specs_of(result), parts, result.built.pairing)
    return made is not None and as_result(job, result.fold, made, parts, result.layout) is not None


def transferred(job: FabricJob, result: FoldResult) -> FoldResult | None:
    """Lay the same layout on the cloth of another job: wider, or without nap.

    Returns None where it does not hold there.
    """
    parts = {key: count for key, count, _ in result.joined}
    made = rebuilt(job, specs_of(result), parts, result.built.pairing)
    if made is None:
        return None
    built = made[2]
    before = result.built.problem
    if len(built.problem.items) != len(before.items):
        return None
    placements = []
    for placement in result.layout.placements:
        item = before.items[placement.item]
        slot = item.slots[placement.slot]
        index = _same_slot(slot, placement, built.problem.items[placement.item].slots)
        if index is None:
            return None
        shift = _shift(
            result.sections[slot.section].spread, made[0][slot.section].spread, slot.plies
        )
        if shift is None:
            return None
        placements.append(replace(placement, slot=index, y=placement.y + shift))
    layout = replace(result.layout, placements=tuple(placements))
    return as_result(job, result.fold, made, parts, layout)


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

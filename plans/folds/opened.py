"""A folded layout opened out: the same copies as a single-layer layout.

It proves that open is never longer than a fold, and is the start of the search for open.
"""

from __future__ import annotations

import numpy as np
from shapely.geometry import Polygon

from layout.layout import Layout, Placement, posed
from layout.problem import Pose
from plans.folds.outcome import FoldResult
from plans.problem.demand import Demand
from plans.problem.on_cloth import copy_poses
from plans.problem.problem_builder import BuiltProblem

SAME_MM = 1e-3
"""Outlines whose corners differ by less are the same (mm)."""


def opened_out(folded: FoldResult, single: BuiltProblem) -> Layout | None:
    """Express a folded layout in a single-layer problem, or None if a copy has no place there."""
    remaining = {index: item.demand for index, item in enumerate(single.problem.items)}
    placements = []
    extent = 0.0
    for copy in copy_poses(folded.built.problem, folded.layout):
        placed = folded.layout.placements[copy.placement]
        demand = folded.built.origins[placed.item]
        item = folded.built.problem.items[placed.item]
        shape = item.slots[placed.slot].shape
        found = _place(demand, copy.pose, copy.x, copy.y, single, remaining)
        if found is None:
            return None
        remaining[found.item] -= 1
        placements.append(found)
        extent = max(extent, float(copy.outline(item, shape)[:, 0].max()))
    if any(remaining.values()):
        return None
    return Layout(tuple(placements), (extent,))


def _place(
    demand: Demand,
    pose: Pose,
    x: float,
    y: float,
    single: BuiltProblem,
    remaining: dict[int, int],
) -> Placement | None:
    target = posed(demand.whole, pose, x, y)
    low, high = target.min(axis=0), target.max(axis=0)
    for index, item in enumerate(single.problem.items):
        if not remaining[index] or single.origins[index].key != demand.key:
            continue
        for slot_index, slot in enumerate(item.slots):
            for candidate in _same_poses(pose, slot.poses, demand):
                points = posed(item.shapes[slot.shape], candidate)
                shift = low - points.min(axis=0)
                if np.abs(points.max(axis=0) + shift - high).max() <= SAME_MM:
                    return Placement(index, slot_index, candidate, float(shift[0]), float(shift[1]))
    return None


def _same_poses(pose: Pose, permitted: tuple[Pose, ...], demand: Demand) -> list[Pose]:
    """Permitted poses that give the outline of `pose`: itself, or its mirror if alike."""
    found = [p for p in permitted if p.flip == pose.flip and abs(_turn(p, pose)) < 1e-9]
    if not demand.hands_matter:
        outline = _at_origin(demand, pose)
        found += [
            p for p in permitted if p not in found and _is_same(outline, _at_origin(demand, p))
        ]
    return found


def _is_same(one: Polygon, other: Polygon) -> bool:
    """Whether outlines differ nowhere by more than twice `SAME_MM` across."""
    different = one.symmetric_difference(other)
    # What holds no larger disc has no more area than this; to look for the disc takes long.
    if different.area > SAME_MM * different.length:
        return False
    return bool(different.buffer(-SAME_MM).is_empty)


def _at_origin(demand: Demand, pose: Pose) -> Polygon:
    points = posed(demand.whole, pose)
    return Polygon(points - points.min(axis=0))


def _turn(a: Pose, b: Pose) -> float:
    return (a.angle_deg - b.angle_deg + 180.0) % 360.0 - 180.0

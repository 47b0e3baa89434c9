"""Spreads of several sections laid open: the same copies in a single layer take no more cloth.

Every copy of a layout lies on the cloth between the selvages and between its two ends, clear of all
copies of other placements, however the cloth was spread. So whatever is ruled out for a single
layer in which each copy has every pose that it can come off the cloth in, at any place, is ruled
out for all sections one after another. Their boundaries, and what a fold takes, only add to it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np

from fabrics.spread import Fold, Ply, make_spread
from layout.layout import posed
from layout.problem import Item, Pose, Section, Slot
from layout.proofs.twins import EQUAL_MM, from_corner
from layout.strip_problem import StripProblem
from pieces.geometry_types import FloatArray, Ring

AT_EDGE_MM = 1e-6
"""A zone that begins so near a fold edge begins at it."""


def laid_open(problem: StripProblem) -> StripProblem:
    """The copies of a problem in a single layer, without flaws and what is kept.

    Items are wanted as often as they have copies. Where it is known how many are of each hand, each
    hand has its poses.
    """
    spread = problem.sections[0].spread
    single = Section("laid open", make_spread(Fold.OPEN, spread.width, spread.selvage))
    items = tuple(one for item in problem.items for one in _opened(problem, item))
    gap = problem.gap if _are_kept_apart(problem) else 0.0
    return StripProblem(
        items, (single,), gap=gap, one_way=problem.one_way, faces_alike=problem.faces_alike,
        wanted=problem.wanted, grain=problem.grain,
    )  # fmt: skip


def _opened(problem: StripProblem, item: Item) -> list[Item]:
    """An item as one of wholes in a single layer, or as one of each hand."""
    alike: list[tuple[Ring, Pose, FloatArray]] = []
    for slot in item.slots:
        whole = item.whole(slot.shape)
        # What is on a fold is one copy, which its first ply tells as well as the other.
        plies = slot.plies if slot.fold_edge is None else slot.plies[:1]
        for index in plies:
            ply = problem.ply(slot, index)
            for pose in slot.poses:
                alike.append((whole, _on_cloth(pose, ply), _outline(whole, _on_cloth(pose, ply))))
    wanted = problem.wanted.get(item.key)
    told = (
        wanted is not None
        and not wanted.either
        and not problem.faces_alike
        and wanted.total == item.demand
        and Counter(one.key for one in problem.items)[item.key] == 1
    )
    if wanted is None or not told:
        return _item(problem, item, alike, item.demand)
    drawn = [one for one in alike if not one[1].flip]
    other = [one for one in alike if one[1].flip]
    return _item(problem, item, drawn, wanted.drawn) + _item(problem, item, other, wanted.other)


def _item(
    problem: StripProblem, item: Item, ways: list[tuple[Ring, Pose, FloatArray]], copies: int
) -> list[Item]:
    """So many copies that lie in any of these ways; of those that look alike the first."""
    if not copies or not ways:
        return []
    seen: list[FloatArray] = []
    shapes: list[Ring] = []
    poses: list[list[Pose]] = []
    for whole, pose, outline in ways:
        if any(_are_alike(outline, other) for other in seen):
            continue
        seen.append(outline)
        if whole not in shapes:
            shapes.append(whole)
            poses.append([])
        poses[shapes.index(whole)].append(pose)
    slots = tuple(Slot(0, 0, (0,), k, tuple(some)) for k, some in enumerate(poses))
    lines = (None,) * len(shapes)
    return [replace(item, shapes=tuple(shapes), demand=copies, slots=slots, fold_lines=lines,
                    wholes=())]  # fmt: skip


def _on_cloth(pose: Pose, ply: Ply) -> Pose:
    """The pose on the cloth of the copy that a ply gives."""
    return Pose(ply.heading_on_cloth(pose.angle_deg), pose.flip != (not ply.face_up))


def _outline(whole: Ring, pose: Pose) -> FloatArray:
    points = posed(whole, pose)
    return from_corner(points[::-1] if pose.flip else points)


def _are_alike(one: FloatArray, other: FloatArray) -> bool:
    """Whether outlines are the same but for where they lie."""
    if len(one) != len(other):
        return False
    return bool(np.abs((one - one[0]) - (other - other[0])).max() <= EQUAL_MM)


def _are_kept_apart(problem: StripProblem) -> bool:
    """Whether the two copies of each placement keep the gap, as those of two placements do."""
    return all(
        _has_clearance(problem, slot)
        for item in problem.items
        for slot in item.slots
        if len(slot.plies) > 1 and slot.fold_edge is None
    )


def _has_clearance(problem: StripProblem, slot: Slot) -> bool:
    """Whether a piece on two plies keeps half the gap from the fold between them."""
    spread = problem.spread(slot)
    zone = spread.zones[slot.zone]
    between = [edge for edge in spread.fold_edges if set(edge.plies) == set(slot.plies)]
    reached = all(
        not edge.along or abs(edge.at - (zone.y_from if edge.side > 0 else zone.y_to)) < AT_EDGE_MM
        for edge in between
    )
    return bool(between) and reached and slot.clearance >= problem.gap / 2.0 - AT_EDGE_MM

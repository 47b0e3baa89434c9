"""Where one demand may lie in one spread: the slots of its items."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fabrics.fabric import Fabric
from fabrics.folds.cloth import off_phase
from fabrics.spread import FoldEdge, Spread
from layout.hand import Hand
from layout.layout import pose_matrix, posed
from layout.problem import Lattice, OneHeading, Pose, Slot
from pieces.geometry_types import FloatArray, Ring
from plans.problem.demand import Demand
from plans.problem.repeats import CLEARLY_MM, RepeatRule

FIT_MM = 1e-6
"""A piece that is larger than what is there by no more than this still fits."""

WHOLE, HALF = 0, 1
"""Index of the shape of an item made from a demand: its whole outline, its half."""


@dataclass(frozen=True)
class PlaceRules:
    """What the slots of a problem are made for.

    `edge_clearance` is what pieces that do not lie on a fold keep from it (half the gap), so
    that the two copies do not meet there and the opened-out layout keeps the gap too.
    """

    fabric: Fabric
    edge_clearance: float
    repeat: RepeatRule


MOST_EXTENTS = 4000
"""Extents that are kept: the same few rings are asked for at every depth of every fold."""

_EXTENTS: dict[tuple[int, Pose], tuple[Ring, tuple[float, float]]] = {}


def extent(ring: Ring, pose: Pose) -> tuple[float, float]:
    """Size (along, across) of a posed ring, mm.

    Kept by identity, as arrays of rings are (`layout.layout`): a ring that is kept lives on.
    """
    kept = _EXTENTS.get((id(ring), pose))
    if kept is None:
        points = posed(ring, pose)
        size = points.max(axis=0) - points.min(axis=0)
        if len(_EXTENTS) >= MOST_EXTENTS:
            _EXTENTS.clear()
        kept = _EXTENTS[(id(ring), pose)] = (ring, (float(size[0]), float(size[1])))
    return kept[1]


def paired_slots(
    demand: Demand, section: int, spread: Spread, rules: PlaceRules
) -> tuple[Slot, ...]:
    """Slots in which one placement, cut through two plies, gives two copies.

    The plies face each other, so it gives one copy of each hand: right for pairs and for pieces
    whose hands do not matter, never for "same way".
    """
    wanted = demand.wanted
    if wanted.either < 2 and not (wanted.drawn and wanted.other):
        return ()
    if rules.fabric.one_way and not spread.heads_alike and not _heading_is_free(demand):
        return ()
    result: list[Slot] = []
    for index, zone in enumerate(spread.zones):
        if len(zone.plies) != 2:
            continue
        flips = demand.flips
        result += _free_slots(demand, section, index, zone.plies, flips, spread, rules)
    return tuple(result)


def single_slots(
    demand: Demand,
    hand: Hand,
    section: int,
    spread: Spread,
    rules: PlaceRules,
    through_double: bool,
) -> tuple[Slot, ...]:
    """Slots in which one placement gives one copy of a hand.

    With `through_double`, zones of two plies serve too: one ply is cut, the other blocked. The
    upper ply is cut, being the one that the hand can reach.
    """
    result: list[Slot] = []
    for index, zone in enumerate(spread.zones):
        if len(zone.plies) == 2 and not through_double:
            continue
        ply_index = zone.plies[-1]
        ply = spread.plies[ply_index]
        if hand is Hand.EITHER:
            flips = demand.flips
        else:
            flips = ((not ply.face_up) if hand is Hand.DRAWN else ply.face_up,)
        result += _free_slots(demand, section, index, (ply_index,), flips, spread, rules)
    return tuple(result)


def fold_slots(demand: Demand, section: int, spread: Spread, rules: PlaceRules) -> tuple[Slot, ...]:
    """Slots in which the half lies with its fold edge on a fold edge of the spread."""
    if demand.half is None or demand.fold_line is None:
        return ()
    result = []
    for edge_index, edge in enumerate(spread.fold_edges):
        zone_index = _zone_at(spread, edge)
        if zone_index is None:
            continue
        zone = spread.zones[zone_index]
        poses = tuple(
            pose
            for angle in demand.angles(rules.fabric.one_way)
            for flip in (False, True)
            if _lies_on(demand, pose := Pose(angle, flip), edge)
            and extent(demand.half, pose)[1] <= zone.height + FIT_MM
            and rules.repeat.suits_fold(demand, spread, zone.plies[0], edge, pose)
        )
        if not poses:
            continue
        lattice = rules.repeat.lattice_on_fold(demand, spread, edge)
        if not edge.along:
            span = _range(spread, zone_index, [], 0.0)
            half = demand.half
            poses = tuple(pose for pose in poses if in_phase_somewhere(half, pose, lattice, *span))
            if not poses:
                continue
        result.append(Slot(section, zone_index, zone.plies, HALF, poses, edge_index, lattice))
    return tuple(result)


def _heading_is_free(demand: Demand) -> bool:
    return demand.grain_rule().one_heading is OneHeading.FREE


def _free_slots(
    demand: Demand,
    section: int,
    index: int,
    plies: tuple[int, ...],
    flips: tuple[bool, ...],
    spread: Spread,
    rules: PlaceRules,
) -> list[Slot]:
    # A design across the cloth puts a turned-over piece in another phase: a slot of its own.
    groups = [(flip,) for flip in flips] if rules.repeat.active and demand.match else [flips]
    slots = [_free_slot(demand, section, index, plies, group, spread, rules) for group in groups]
    return [slot for slot in slots if slot is not None]


def _free_slot(
    demand: Demand,
    section: int,
    index: int,
    plies: tuple[int, ...],
    flips: tuple[bool, ...],
    spread: Spread,
    rules: PlaceRules,
) -> Slot | None:
    height = spread.zones[index].height + FIT_MM
    poses = [
        pose
        for angle in demand.angles(rules.fabric.one_way)
        for flip in flips
        if extent(demand.whole, pose := Pose(angle, flip))[1] <= height
        and rules.repeat.suits(demand, spread, plies, pose)
    ]
    if not poses:
        return None
    lattice = rules.repeat.lattice(demand, spread, plies, poses[0])
    edges = [edge for edge in spread.fold_edges if _zone_at(spread, edge) == index]
    if edges:
        along = sum(1 for edge in edges if edge.along) * rules.edge_clearance
        roomy = [
            pose
            for pose in poses
            if extent(demand.whole, pose)[1] + along <= height
            and in_phase_somewhere(
                demand.whole, pose, lattice, *_range(spread, index, edges, rules.edge_clearance)
            )
        ]
        if roomy:
            return Slot(
                section, index, plies, WHOLE, tuple(roomy), None, lattice, rules.edge_clearance
            )
    span = _range(spread, index, [], 0.0)
    poses = [pose for pose in poses if in_phase_somewhere(demand.whole, pose, lattice, *span)]
    if not poses:
        return None
    return Slot(section, index, plies, WHOLE, tuple(poses), None, lattice)


def _range(
    spread: Spread, index: int, edges: list[FoldEdge], clearance: float
) -> tuple[float, float]:
    """Lay y from and to (mm) between which a piece may lie in a zone, clear of its fold edges."""
    zone = spread.zones[index]
    low = clearance * sum(1 for edge in edges if edge.along and edge.side > 0)
    high = clearance * sum(1 for edge in edges if edge.along and edge.side < 0)
    return zone.y_from + low, zone.y_to - high


def in_phase_somewhere(
    ring: Ring, pose: Pose, lattice: Lattice | None, y_from: float, y_to: float
) -> bool:
    """Whether a posed shape has a place across between two lay y (mm) that is in phase."""
    if lattice is None or lattice.pitch_y <= 0.0:
        return True
    points = posed(ring, pose)
    low, high = y_from - float(points[:, 1].min()), y_to - float(points[:, 1].max())
    at = float(posed((lattice.point,), pose)[0, 1])
    if high - low <= FIT_MM:
        return off_phase(low + at - lattice.phase_y, lattice.pitch_y) <= CLEARLY_MM
    first = low + (lattice.phase_y - at - low + FIT_MM) % lattice.pitch_y - FIT_MM
    return first <= high + FIT_MM


def _zone_at(spread: Spread, edge: FoldEdge) -> int | None:
    """Index of the zone that begins at a fold edge."""
    for index, zone in enumerate(spread.zones):
        if len(zone.plies) != 2:
            continue
        if not edge.along:
            return index
        border = zone.y_from if edge.side > 0 else zone.y_to
        if abs(border - edge.at) < 1e-6:
            return index
    return None


def _lies_on(demand: Demand, pose: Pose, edge: FoldEdge) -> bool:
    """Whether a posed half lies along the fold edge, on the side where the cloth is."""
    if demand.half is None or demand.fold_line is None:
        return False
    matrix = pose_matrix(pose)
    a, b = (np.asarray(demand.fold_line) @ matrix.T).tolist()
    along, across = abs(b[0] - a[0]), abs(b[1] - a[1])
    off = math.degrees(math.atan2(across, along) if edge.along else math.atan2(along, across))
    if off > 0.1:
        return False
    points: FloatArray = posed(demand.half, pose)
    axis = 1 if edge.along else 0
    body = float(points[:, axis].max() + points[:, axis].min()) / 2.0
    line = (a[axis] + b[axis]) / 2.0
    return bool((body - line) * edge.side > 0)

"""What packing boxes would need: every piece as its bounding box, laid by rectpack.

The same spread, gap and basis as the layout. Each item goes into the first section and zone that
takes it. Halves stand along the fold edges one after another; what is beside them is offered to the
other boxes first, the rest of the zone after. Every result could be laid.
"""

from __future__ import annotations

import math

import numpy as np

from fabrics.spread import Spread
from layout.layout import cloth_length, posed
from layout.problem import Item, Problem, Slot, Strip

SCALE = 100
"""rectpack works on whole numbers: hundredths of a mm."""

FAR = 10**9
"""Length of the open-ended bin, in those units."""

Box = tuple[float, float]
"""Extent along and across, mm."""


def boxes_length(problem: Problem) -> float | None:
    """Cloth length (mm, without squared-off ends) that boxes need.

    None where boxes mean nothing: pieces in phase with a repeat, flaws, bounded containers.
    """
    container = problem.container
    if not isinstance(container, Strip) or container.flaws:
        return None
    if any(slot.lattice for item in problem.items for slot in item.slots):
        return None
    extents = []
    for section in range(len(container.sections)):
        spread = container.sections[section].spread
        mine = [item for item in problem.items if item.slots[0].section == section]
        by_zone: dict[int, list[Item]] = {}
        for item in mine:
            by_zone.setdefault(item.slots[0].zone, []).append(item)
        zones = [_zone_extent(items, zone, spread, problem.gap) for zone, items in by_zone.items()]
        extents.append(max(zones, default=0.0))
    return cloth_length(problem, tuple(extents))


def _zone_extent(items: list[Item], zone: int, spread: Spread, gap: float) -> float:
    height = spread.zones[zone].height
    stacked: list[Box] = []
    loose: list[Box] = []
    clearance = 0.0
    for item in items:
        slot = item.slots[0]
        box = _box(item, slot, height)
        on_line = slot.fold_edge is not None and spread.fold_edges[slot.fold_edge].along
        (stacked if on_line else loose).extend([box] * item.demand)
        clearance = max(clearance, slot.clearance)
    # Boxes that keep clear of a fold: the zone is as much narrower (and shorter) for all of them.
    across = any(not edge.along for edge in spread.fold_edges)
    room = height - (clearance if not across else 0.0)
    begin = clearance if across else 0.0
    pockets: list[tuple[float, float, float]] = []
    at = 0.0
    for along, wide in sorted(stacked, reverse=True):
        pockets.append((at, along, room - wide - gap))
        at += along + gap
    return max(at - gap if stacked else 0.0, _packed(loose, pockets, room, gap, at or begin))


def _box(item: Item, slot: Slot, height: float) -> Box:
    """Smallest box over the poses that fit."""
    best: Box | None = None
    for pose in slot.poses:
        points = posed(item.shapes[slot.shape], pose)
        along, across = (float(v) for v in np.ptp(points, axis=0))
        fits = across <= height + 1e-6
        if fits and (best is None or along * across < best[0] * best[1]):
            best = (along, across)
    return best or (0.0, 0.0)


def _packed(
    boxes: list[Box],
    pockets: list[tuple[float, float, float]],
    height: float,
    gap: float,
    begin: float,
) -> float:
    """Greatest lay x of the boxes: pockets (x, length, height) first, then the open strip."""
    if not boxes:
        return 0.0
    best = math.inf
    for sort in _sorts():
        best = min(best, _pack_once(boxes, pockets, height, gap, begin, sort))
    return best


def _sorts() -> tuple[object, ...]:
    import rectpack

    return (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_PERI)


def _pack_once(
    boxes: list[Box],
    pockets: list[tuple[float, float, float]],
    height: float,
    gap: float,
    begin: float,
    sort: object,
) -> float:
    import rectpack

    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=rectpack.MaxRectsBl,
        sort_algo=sort,
        rotation=False,
    )
    for along, across in boxes:
        packer.add_rect(_up(across + gap), _up(along + gap))
    starts = []
    for x, length, room in pockets:
        if room > 0.0:
            packer.add_bin(_down(room + gap), _down(length + gap))
            starts.append(x)
    packer.add_bin(_down(height + gap), FAR)
    starts.append(begin)
    packer.pack()
    placed = packer.rect_list()
    if len(placed) != len(boxes):
        return math.inf
    return float(max(starts[index] + (y + h) / SCALE - gap for index, _, y, _, h, _ in placed))


def _up(length: float) -> int:
    return math.ceil(length * SCALE - 1e-6)


def _down(length: float) -> int:
    return math.floor(length * SCALE + 1e-6)

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
from layout.problem import Item, Slot
from layout.strip_problem import StripProblem

SCALE = 100
"""rectpack works on whole numbers: hundredths of a mm."""

FAR = 10**9
"""Length of the open-ended bin, in those units."""

Box = tuple[float, float]
"""Extent along and across, mm."""


def boxes_length(problem: StripProblem) -> float | None:
    """Cloth length (mm, without squared-off ends) that boxes need.

    None where boxes mean nothing (pieces in phase with a repeat, flaws), on
    crosswise folds that halves must touch, and where this scheme finds no room.
    """
    if problem.flaws:
        return None
    if any(slot.lattice for item in problem.items for slot in item.slots):
        return None
    if any(_across_fold(slot, problem) for item in problem.items for slot in item.slots):
        return None
    chosen: dict[tuple[int, int], list[tuple[Slot, Box, int]]] = {}
    for item in problem.items:
        found = _first_fit(item, problem)
        if found is None:
            return None
        slot, box = found
        chosen.setdefault((slot.section, slot.zone), []).append((slot, box, item.demand))
    extents = [0.0] * len(problem.sections)
    for (section, zone), entries in chosen.items():
        spread = problem.sections[section].spread
        extent = _zone_extent(entries, zone, spread, problem.gap)
        extents[section] = max(extents[section], extent)
    length = cloth_length(problem, tuple(extents))
    return length if math.isfinite(length) else None


def _across_fold(slot: Slot, problem: StripProblem) -> bool:
    edge = problem.fold_edge(slot)
    return edge is not None and not edge.along


def _first_fit(item: Item, problem: StripProblem) -> tuple[Slot, Box] | None:
    for slot in item.slots:
        spread = problem.spread(slot)
        box = _box(item, slot, spread.zones[slot.zone].height - slot.clearance)
        if box is not None:
            return slot, box
    return None


def _zone_extent(
    entries: list[tuple[Slot, Box, int]], zone: int, spread: Spread, gap: float
) -> float:
    height = spread.zones[zone].height
    stacked: list[Box] = []
    loose: list[Box] = []
    clearance = 0.0
    for slot, box, count in entries:
        (stacked if slot.fold_edge is not None else loose).extend([box] * count)
        clearance = max(clearance, slot.clearance)
    # Boxes beside a fold, and those beside another zone that no wide selvage parts, keep clear of
    # it: the zone is as much narrower for all of them (and shorter, on a crosswise fold).
    across = any(not edge.along for edge in spread.fold_edges)
    neighbours = sum(1 for k in (zone - 1, zone + 1) if 0 <= k < len(spread.zones))
    beside = neighbours * max(0.0, gap - spread.selvage)
    room = height - (0.0 if across else clearance) - beside
    begin = clearance if across else 0.0
    if any(wide > room + 1e-6 for _, wide in loose):
        return math.inf
    if any(wide > height - beside + 1e-6 for _, wide in stacked):
        return math.inf
    pockets: list[tuple[float, float, float]] = []
    at = 0.0
    for along, wide in sorted(stacked, reverse=True):
        pockets.append((at, along, room - wide - gap))
        at += along + gap
    return max(at - gap if stacked else 0.0, _packed(loose, pockets, room, gap, at or begin))


def _box(item: Item, slot: Slot, height: float) -> Box | None:
    """Smallest box over the poses that fit, or None."""
    best: Box | None = None
    for pose in slot.poses:
        points = posed(item.shapes[slot.shape], pose)
        along, across = (float(v) for v in np.ptp(points, axis=0))
        fits = across <= height + 1e-6
        if fits and (best is None or along * across < best[0] * best[1]):
            best = (along, across)
    return best


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
    """Fill the pockets first, then the open strip with what is left; greatest lay x."""
    reach, left = begin if pockets else 0.0, boxes
    if pockets:
        rooms = [(x, length, room) for x, length, room in pockets if room > 0.0]
        left, filled = _into(left, [(r + gap, n + gap, x) for x, n, r in rooms], gap, sort)
        reach = max([0.0, *filled])
    if not left:
        return reach
    left, filled = _into(left, [(height + gap, FAR / SCALE, begin)], gap, sort)
    return math.inf if left else max([reach, *filled])


def _into(
    boxes: list[Box], bins: list[tuple[float, float, float]], gap: float, sort: object
) -> tuple[list[Box], list[float]]:
    """Pack boxes into bins (across, along, lay x, mm): what found no room, and where each ends."""
    import rectpack

    if not bins:
        return boxes, []
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=rectpack.MaxRectsBl,
        sort_algo=sort,
        rotation=False,
    )
    for number, (along, across) in enumerate(boxes):
        packer.add_rect(_up(across + gap), _up(along + gap), rid=number)
    for number, (across, along, _) in enumerate(bins):
        packer.add_bin(_down(across), _down(along), bid=number)
    packer.pack()
    placed = packer.rect_list()
    # rectpack numbers bins as it opens them, which need not be the order in which they were given.
    ends = [bins[packer[k].bid][2] + (y + h) / SCALE - gap for k, _, y, _, h, _ in placed]
    inside = {rid for *_, rid in placed}
    return [box for number, box in enumerate(boxes) if number not in inside], ends


def _up(length: float) -> int:
    return math.ceil(length * SCALE - 1e-6)


def _down(length: float) -> int:
    return math.floor(length * SCALE + 1e-6)

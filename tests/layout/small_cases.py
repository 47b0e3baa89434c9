"""Small problems on whole cells whose shortest layout is found by trying everything.

Shapes are made of cells of 50 mm. Of shapes on whole cells some shortest layout lies on whole
cells: push every placement to the cut end, then to one side, until something is in its way. With a
gap, whole cells are kept between bounding cells, so that the best found is a layout, if perhaps not
the shortest.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from fabrics.spread import Fold, Spread, make_spread
from layout.layout import posed
from layout.problem import Item, Pose, Section, Slot, Wanted
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring

CELL = 50.0

Cells = frozenset[tuple[int, int]]

SPREADS: dict[str, tuple[tuple[Fold, float | None, float | None], ...]] = {
    "open": ((Fold.OPEN, None, None),),
    "lengthwise": ((Fold.LENGTHWISE, None, None),),
    "partial": ((Fold.PARTIAL, 2.0, None),),
    "double": ((Fold.DOUBLE, 2.0, 2.0),),
    "crosswise": ((Fold.CROSSWISE, None, None),),
    "turned": ((Fold.TURNED, None, None),),
    "sectioned": ((Fold.LENGTHWISE, None, None), (Fold.OPEN, None, None)),
}
"""Folds of the sections of each kind of spread, depths in cells."""

WIDTH = {"open": 4, "lengthwise": 8, "partial": 7, "double": 9, "sectioned": 6}
"""Width of the cloth in cells; 4 elsewhere."""


def spreads_of(name: str) -> tuple[Spread, ...]:
    """The spreads of the sections."""
    width = WIDTH.get(name, 4) * CELL
    return tuple(
        make_spread(
            fold, width, 0.0, None if d1 is None else d1 * CELL, None if d2 is None else d2 * CELL
        )
        for fold, d1, d2 in SPREADS[name]
    )


def rectangle(a: int, b: int) -> Ring:
    """A rectangle of cells."""
    return ((0.0, 0.0), (a * CELL, 0.0), (a * CELL, b * CELL), (0.0, b * CELL))


def corner(a: int, b: int) -> Ring:
    """A rectangle of cells that lacks all but its first row and column: an L."""
    x, y = a * CELL, b * CELL
    return ((0.0, 0.0), (x, 0.0), (x, CELL), (CELL, CELL), (CELL, y), (0.0, y))


def random_case(name: str, seed: int) -> StripProblem:
    """A few pieces on a spread: pairs, single ones, halves with a choice, corners, turned ones."""
    rng = np.random.default_rng(seed)
    spreads = spreads_of(name)
    gap = CELL if rng.random() < 0.3 else 0.0
    items: list[Item] = []
    wanted: dict[str, Wanted] = {}
    while not items or (len(items) < 3 and rng.random() < 0.8):
        kind = int(rng.integers(4))
        a, b = (int(v) for v in rng.integers(1, 4, 2))
        ring = corner(a + 1, b + 1) if kind == 3 else rectangle(a, b)
        angles = (0.0, 90.0) if rng.random() < 0.3 else (0.0, 180.0)
        slots: list[Slot] = []
        for index, spread in enumerate(spreads):
            slots += _free(ring, angles, index, spread, paired=kind == 0)
            if kind == 2:
                slots += _on_fold(rectangle(a, b), index, spread)
        whole = rectangle(a, 2 * b)
        if kind == 2:
            slots = [slot for slot in slots if slot.fold_edge is not None]
            for index, spread in enumerate(spreads):
                slots += _free(whole, (0.0,), index, spread, paired=False)
        if not slots:
            continue
        key, count = str(len(items)), int(rng.integers(1, 3))
        if kind == 2:
            line = ((0.0, 0.0), (a * CELL, 0.0))
            items.append(Item(key, (whole, ring), count, tuple(slots), (None, line)))
        else:
            items.append(Item(key, (ring,), count, tuple(slots)))
        wanted[key] = Wanted(either=count)
    sections = tuple(Section(str(k), spread) for k, spread in enumerate(spreads))
    return StripProblem(tuple(items), sections, gap=gap, wanted=wanted)


def _free(
    ring: Ring, angles: tuple[float, ...], section: int, spread: Spread, paired: bool
) -> Iterator[Slot]:
    for z, zone in enumerate(spread.zones):
        poses = tuple(
            Pose(angle)
            for angle in angles
            if np.ptp(posed(ring, Pose(angle))[:, 1]) <= zone.height + 1e-6
        )
        if not poses:
            continue
        if paired and len(zone.plies) == 2:
            yield Slot(section, z, zone.plies, 0, poses)
        yield Slot(section, z, zone.plies[-1:], 0, poses)


def _on_fold(half: Ring, section: int, spread: Spread) -> Iterator[Slot]:
    for e, edge in enumerate(spread.fold_edges):
        for z, zone in enumerate(spread.zones):
            at_edge = edge.at in (zone.y_from, zone.y_to)
            high = float(np.ptp(np.array(half)[:, 1]))
            if edge.along and at_edge and len(zone.plies) == 2 and high <= zone.height + 1e-6:
                poses = tuple(Pose(a, f) for a, f in ((0.0, edge.side < 0), (180.0, edge.side > 0)))
                yield Slot(section, z, zone.plies, 1, poses, e)


@dataclass(frozen=True)
class _Choice:
    """One way of putting an item down at the beginning of its zone: cells, room across, copies."""

    section: int
    cells: Cells
    rows: tuple[int, ...]
    copies: int


def shortest(problem: StripProblem, copies: bool = False) -> float:
    """Least cloth length (mm) by trying everything.

    With `copies`, each item is wanted as often as it has copies, and a placement gives one for each
    ply that it is cut through, or one on a fold.
    """
    choices = [_choices(problem, item) for item in problem.items]
    wanted = tuple(item.demand for item in problem.items)
    gap = round(problem.gap / CELL)
    most = 3 * sum(wanted) * 4
    lengths = itertools.product(range(most), repeat=len(problem.sections))
    for extents in sorted(lengths, key=lambda extents: _cloth(problem, extents)):
        if _fits(problem, choices, wanted, extents, gap, copies):
            return _cloth(problem, extents)
    raise AssertionError


def _cloth(problem: StripProblem, extents: tuple[int, ...]) -> float:
    laid = problem.spans(tuple(extent * CELL for extent in extents))
    return laid[-1].end


def _choices(problem: StripProblem, item: Item) -> list[_Choice]:
    found = []
    for slot in item.slots:
        zone = problem.spread(slot).zones[slot.zone]
        low, high = round(zone.y_from / CELL), round(zone.y_to / CELL)
        for pose in slot.poses:
            cells = _cells(item.shapes[slot.shape], pose)
            tall = 1 + max(y for _, y in cells)
            rows = tuple(range(low, high - tall + 1))
            if slot.fold_edge is not None:
                edge = problem.spread(slot).fold_edges[slot.fold_edge]
                rows = (low,) if edge.side > 0 else (high - tall,)
            gives = 1 if slot.fold_edge is not None else len(slot.plies)
            found.append(_Choice(slot.section, cells, rows, gives))
    return list(dict.fromkeys(found))


def _cells(ring: Ring, pose: Pose) -> Cells:
    from shapely.geometry import Point, Polygon

    points = posed(ring, pose)
    points = points - points.min(axis=0)
    shape = Polygon(points)
    wide, tall = (round(v / CELL) for v in points.max(axis=0))
    return frozenset(
        (x, y)
        for x in range(wide)
        for y in range(tall)
        if shape.contains(Point((x + 0.5) * CELL, (y + 0.5) * CELL))
    )


def _fits(
    problem: StripProblem,
    choices: list[list[_Choice]],
    wanted: tuple[int, ...],
    extents: tuple[int, ...],
    gap: int,
    copies: bool,
) -> bool:
    height = max(round(section.spread.lay_height / CELL) for section in problem.sections) + gap
    # A placement takes its cells and, with a gap, those beyond it along and across.
    offsets = list(itertools.product(range(gap + 1), repeat=2))
    bases = [0]
    for extent in extents:
        bases.append(bases[-1] + (extent + gap) * height)

    def masks(choice: _Choice) -> Iterator[int]:
        long = 1 + max(x for x, _ in choice.cells)
        for x0 in range(extents[choice.section] - long + 1):
            for y0 in choice.rows:
                taken = {(x0 + x + i, y0 + y + j) for x, y in choice.cells for i, j in offsets}
                yield sum(1 << (bases[choice.section] + x * height + y) for x, y in taken)

    places = [
        [(mask, choice.copies if copies else 1) for choice in some for mask in masks(choice)]
        for some in choices
    ]

    @cache
    def rest(item: int, left: int, taken: int) -> bool:
        if left <= 0:
            return item + 1 == len(wanted) or rest(item + 1, wanted[item + 1], taken)
        return any(
            not mask & taken and rest(item, left - gives, taken | mask)
            for mask, gives in places[item]
            if gives <= left
        )

    return rest(0, wanted[0], 0)

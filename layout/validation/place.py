"""Every copy wholly on usable cloth; fold pieces on their fold edge, whole and symmetric."""

from __future__ import annotations

import itertools
from functools import singledispatch

import numpy as np
from shapely.geometry import Polygon, box

from fabrics.spread import Spread
from layout.bounded_problem import BoundedProblem
from layout.layout import Layout, posed
from layout.problem import Problem
from layout.strip_problem import StripProblem
from layout.validation.copies import ClothCopy
from layout.validation.violation import Code, Violation

AREA_MM2 = 0.1
"""Area that may lie where it should not (design)."""

LINE_MM = 0.01
"""How far a fold edge may lie off its line."""

Bounds = tuple[float, float, float, float]


@singledispatch
def check_place(problem: Problem, layout: Layout, copies: tuple[ClothCopy, ...]) -> list[Violation]:
    """Check usable cloth, ply ranges, sections and folds.

    Raises
    ------
    TypeError
        For a kind of problem that it knows nothing of.
    """
    raise TypeError(f"no rules of place for {type(problem).__name__}")


@check_place.register
def _(problem: BoundedProblem, layout: Layout, copies: tuple[ClothCopy, ...]) -> list[Violation]:
    region = Polygon(problem.outline)
    for hole in problem.holes:
        region = region.difference(Polygon(hole))
    return [
        Violation(Code.OUTSIDE, f"'{copy.key}' leaves the cloth", (copy.placement,))
        for copy in copies
        if copy.outline.difference(region).area > AREA_MM2
    ]


@check_place.register
def _(problem: StripProblem, layout: Layout, copies: tuple[ClothCopy, ...]) -> list[Violation]:
    return [*_on_cloth(problem, layout, copies), *_on_folds(problem, layout, copies)]


def _on_cloth(
    problem: StripProblem, layout: Layout, copies: tuple[ClothCopy, ...]
) -> list[Violation]:
    laid = problem.spans(layout.extents)
    found = []
    for copy in copies:
        spread = problem.sections[copy.section].spread
        span = laid[copy.section]
        bounds = (span.begin, spread.selvage, span.end, spread.width - spread.selvage)
        if _within(copy.outline.bounds, bounds):
            continue
        if copy.outline.difference(box(*bounds)).area > AREA_MM2:
            found.append(
                Violation(
                    Code.OUTSIDE,
                    f"'{copy.key}' leaves the usable cloth of section "
                    f"'{problem.sections[copy.section].name}'",
                    (copy.placement,),
                )
            )
    usable: dict[tuple[int, tuple[int, ...]], list[tuple[float, float]]] = {}
    for index, placement in enumerate(layout.placements):
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        spread = problem.sections[slot.section].spread
        points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
        extent = layout.extents[slot.section]
        where = (slot.section, slot.plies)
        if where not in usable:
            usable[where] = _usable(spread, slot.plies)
        for low, high in usable[where]:
            there = (0.0, low, extent, high)
            if _within((*points.min(axis=0), *points.max(axis=0)), there):
                break
            if Polygon(points).difference(box(*there)).area <= AREA_MM2:
                break
        else:
            found.append(
                Violation(
                    Code.OUTSIDE,
                    f"'{item.key}' lies where not all plies that it is cut through are usable",
                    (index,),
                )
            )
    return found


def _within(inner: Bounds, outer: Bounds) -> bool:
    """Whether what has these bounds (x and y from, x and y to) lies wholly in a rectangle."""
    return (
        inner[0] >= outer[0]
        and inner[1] >= outer[1]
        and inner[2] <= outer[2]
        and inner[3] <= outer[3]
    )


def _usable(spread: Spread, plies: tuple[int, ...]) -> list[tuple[float, float]]:
    """Ranges of lay y in which all these plies are usable and none is half covered.

    Worked out from the plies themselves: a ply is usable where its cloth is no selvage, and where
    no other ply's selvage strip lies on it.
    """
    cuts = {0.0, spread.lay_height}
    for ply in spread.plies:
        for cloth_y in (0.0, spread.selvage, spread.width - spread.selvage, spread.width):
            cuts.add((cloth_y - ply.y0) * ply.sy)
        cuts |= {ply.y_from, ply.y_to}
    levels = sorted(y for y in cuts if -1e-9 <= y <= spread.lay_height + 1e-9)
    ranges: list[tuple[float, float]] = []
    for low, high in itertools.pairwise(levels):
        middle = (low + high) / 2.0
        there = {
            k
            for k, ply in enumerate(spread.plies)
            if ply.y_from - 1e-9 <= middle <= ply.y_to + 1e-9
        }
        clean = all(
            spread.selvage
            <= spread.plies[k].y0 + spread.plies[k].sy * middle
            <= spread.width - spread.selvage
            for k in there
        )
        if high - low < 1e-9 or not clean or not set(plies) <= there:
            continue
        if ranges and abs(ranges[-1][1] - low) < 1e-9:
            ranges[-1] = (ranges[-1][0], high)
        else:
            ranges.append((low, high))
    return ranges


def _on_folds(
    problem: StripProblem, layout: Layout, copies: tuple[ClothCopy, ...]
) -> list[Violation]:
    found = []
    for copy in copies:
        placement = layout.placements[copy.placement]
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        edge = problem.fold_edge(slot)
        if edge is None:
            continue
        line = item.fold_lines[slot.shape]
        if line is None:
            found.append(Violation(Code.FOLD, f"'{item.key}' has no fold edge", (copy.placement,)))
            continue
        ends = posed(line, placement.pose, placement.x, placement.y)
        axis = 1 if edge.along else 0
        if np.abs(ends[:, axis] - edge.at).max() > LINE_MM:
            found.append(
                Violation(Code.FOLD, f"'{item.key}' lies off its fold edge", (copy.placement,))
            )
            continue
        half = Polygon(posed(item.shapes[slot.shape], placement.pose))
        whole = Polygon(posed(item.whole(slot.shape), placement.pose))
        if (
            abs(copy.outline.area - 2.0 * half.area) > AREA_MM2
            or abs(copy.outline.area - whole.area) > AREA_MM2
        ):
            found.append(
                Violation(Code.FOLD, f"'{item.key}' does not come off whole", (copy.placement,))
            )
    return found

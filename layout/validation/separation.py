"""No two copies overlap; the gap holds; one-ply cuts block the cloth under or over them."""

from __future__ import annotations

from functools import singledispatch
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import Polygon

from layout.layout import Layout, posed
from layout.problem import Problem
from layout.strip_problem import StripProblem
from layout.validation.copies import ClothCopy
from layout.validation.violation import Beside, Code, Violation

AREA_MM2 = 0.1
"""Overlap that is rounding (design)."""

GAP_MM = 0.01
"""How much a gap may be short (design)."""


def check_separation(
    problem: Problem, layout: Layout, copies: tuple[ClothCopy, ...]
) -> list[Violation]:
    """Check copies against each other, flaws, section boundaries and blocked plies."""
    return _pairs(problem, copies) + _in_the_lay(problem, layout, copies)


@singledispatch
def _in_the_lay(
    problem: Problem,
    layout: Layout,
    copies: tuple[ClothCopy, ...],
) -> list[Violation]:
    """Check what only cloth that is spread can break."""
    return []


@_in_the_lay.register
def _(problem: StripProblem, layout: Layout, copies: tuple[ClothCopy, ...]) -> list[Violation]:
    return [
        *_flaws(problem, copies),
        *_boundaries(problem, layout, copies),
        *_blocked(problem, layout),
    ]


def _pairs(problem: Problem, copies: tuple[ClothCopy, ...]) -> list[Violation]:
    found = []
    outlines = np.array([copy.outline for copy in copies])
    for i, j, distance in _near(outlines, problem.gap + 1.0):
        copy, other = copies[i], copies[j]
        both = (copy.placement, other.placement)
        if distance <= 0.0 and outlines[i].intersection(outlines[j]).area > AREA_MM2:
            found.append(Violation(Code.OVERLAP, f"'{copy.key}' and '{other.key}' overlap", both))
        elif copy.placement != other.placement and distance < problem.gap - GAP_MM:
            found.append(
                Violation(
                    Code.GAP,
                    f"'{copy.key}' and '{other.key}' are {distance:.2f} mm apart, less "
                    f"than the gap of {problem.gap:g} mm",
                    both,
                    problem.gap - distance,
                )
            )
    return found


def _near(outlines: NDArray[Any], reach: float) -> list[tuple[int, int, float]]:
    """Pairs of outlines whose bounds are no further apart than a reach, with their distance (mm).

    What is apart cannot overlap, so that only what meets needs its overlap worked out.
    """
    if not len(outlines):
        return []
    bounds = shapely.bounds(outlines) + reach * np.array([-1.0, -1.0, 1.0, 1.0])
    first, second = STRtree(outlines).query(shapely.box(*bounds.T))
    once = first < second
    first, second = first[once], second[once]
    order = np.lexsort((second, first))
    first, second = first[order], second[order]
    distances = shapely.distance(outlines[first], outlines[second])
    return list(zip(first.tolist(), second.tolist(), distances.tolist(), strict=True))


def _flaws(problem: StripProblem, copies: tuple[ClothCopy, ...]) -> list[Violation]:
    found = []
    for flaw in problem.flaws:
        outline = Polygon(flaw.outline)
        for copy in copies:
            overlap = copy.outline.intersection(outline).area
            if overlap > AREA_MM2 or copy.outline.distance(outline) < problem.gap - GAP_MM:
                found.append(_too_near(copy, "a flaw", Beside.FLAW))
    return found


def _boundaries(
    problem: StripProblem, layout: Layout, copies: tuple[ClothCopy, ...]
) -> list[Violation]:
    laid = problem.spans(layout.extents)
    used = sorted({copy.section for copy in copies})
    found = []
    for copy in copies:
        x_from, _, x_to, _ = copy.outline.bounds
        span = laid[copy.section]
        inner = []
        if copy.section != used[0]:
            inner.append(x_from - span.begin)
        if copy.section != used[-1]:
            inner.append(span.end - x_to)
        if any(distance < problem.gap - GAP_MM for distance in inner):
            found.append(_too_near(copy, "a section boundary", Beside.SECTION))
    return found


def _too_near(copy: ClothCopy, what: str, beside: Beside) -> Violation:
    message = f"'{copy.key}' is too near {what}"
    return Violation(Code.GAP, message, (copy.placement,), beside=beside)


def _blocked(problem: StripProblem, layout: Layout) -> list[Violation]:
    """Check the lay itself: on top of each other only one placement may be cut."""
    sections, shapes = [], []
    for placement in layout.placements:
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
        sections.append(slot.section)
        shapes.append(Polygon(points))
    outlines = np.array(shapes)
    return [
        Violation(Code.BLOCKED, "two placements lie on each other in the lay", (i, j))
        for i, j, distance in _near(outlines, 0.0)
        if sections[i] == sections[j]
        and distance <= 0.0
        and outlines[i].intersection(outlines[j]).area > AREA_MM2
    ]

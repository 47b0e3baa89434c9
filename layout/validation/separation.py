"""No two copies overlap; the gap holds; one-ply cuts block the cloth under or over them."""

from __future__ import annotations

from functools import singledispatch

from shapely import STRtree
from shapely.geometry import Polygon, box

from layout.layout import Layout, posed
from layout.problem import Problem
from layout.strip_problem import StripProblem
from layout.validation.copies import ClothCopy
from layout.validation.violation import Code, Violation

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
    outlines = [copy.outline for copy in copies]
    tree = STRtree(outlines)
    for i, copy in enumerate(copies):
        x1, y1, x2, y2 = outlines[i].bounds
        reach = problem.gap + 1.0
        near = tree.query(box(x1 - reach, y1 - reach, x2 + reach, y2 + reach))
        for j in sorted(int(k) for k in near):
            if j <= i:
                continue
            other = copies[j]
            both = (copy.placement, other.placement)
            if outlines[i].intersection(outlines[j]).area > AREA_MM2:
                found.append(
                    Violation(Code.OVERLAP, f"'{copy.key}' and '{other.key}' overlap", both)
                )
            elif copy.placement != other.placement:
                distance = outlines[i].distance(outlines[j])
                if distance < problem.gap - GAP_MM:
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


def _flaws(problem: StripProblem, copies: tuple[ClothCopy, ...]) -> list[Violation]:
    found = []
    for flaw in problem.flaws:
        outline = Polygon(flaw.outline)
        for copy in copies:
            overlap = copy.outline.intersection(outline).area
            if overlap > AREA_MM2 or copy.outline.distance(outline) < problem.gap - GAP_MM:
                found.append(
                    Violation(Code.GAP, f"'{copy.key}' is too near a flaw", (copy.placement,))
                )
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
            found.append(
                Violation(
                    Code.GAP, f"'{copy.key}' is too near a section boundary", (copy.placement,)
                )
            )
    return found


def _blocked(problem: StripProblem, layout: Layout) -> list[Violation]:
    """Check the lay itself: on top of each other only one placement may be cut."""
    shapes = []
    for placement in layout.placements:
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
        shapes.append((slot.section, Polygon(points)))
    found = []
    tree = STRtree([shape for _, shape in shapes])
    for i, (section, shape) in enumerate(shapes):
        for j in sorted(int(k) for k in tree.query(box(*shape.bounds))):
            if (
                j > i
                and shapes[j][0] == section
                and shape.intersection(shapes[j][1]).area > AREA_MM2
            ):
                found.append(
                    Violation(Code.BLOCKED, "two placements lie on each other in the lay", (i, j))
                )
    return found

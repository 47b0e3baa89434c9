"""Grain within a tenth of a degree; heads alike on one-way cloth."""

from __future__ import annotations

from collections.abc import Callable

from layout.layout import Layout
from layout.problem import Grain, OneHeading, Problem
from layout.validation.copies import ClothCopy
from layout.validation.violation import Code, Violation

GRAIN_DEG = 0.1
"""How far a heading may be off (design)."""


def check_direction(
    problem: Problem, layout: Layout, copies: tuple[ClothCopy, ...]
) -> list[Violation]:
    """Check every copy's heading on the cloth."""
    found = []
    same: list[ClothCopy] = []
    mirrored: dict[str, list[ClothCopy]] = {}
    for copy in copies:
        grain = problem.grain.get(copy.key, Grain())
        if grain.headings is not None and not any(
            _apart(copy.heading_deg, heading) <= GRAIN_DEG for heading in grain.headings
        ):
            found.append(
                Violation(
                    Code.GRAIN,
                    f"'{copy.key}' heads {copy.heading_deg:.1f} degrees, which it does not permit",
                    (copy.placement,),
                )
            )
        if grain.one_heading is OneHeading.SAME:
            same.append(copy)
        elif grain.one_heading is OneHeading.MIRROR:
            mirrored.setdefault(copy.key, []).append(copy)
    if not problem.one_way:
        return found
    found += _alike(same, _apart)
    for group in mirrored.values():
        found += _alike(group, _apart_mirrored)
    return found


def _alike(group: list[ClothCopy], apart: Callable[[float, float], float]) -> list[Violation]:
    if not group:
        return []
    first = group[0]
    return [
        Violation(
            Code.HEADS,
            f"'{copy.key}' heads another way than '{first.key}' on one-way cloth",
            (first.placement, copy.placement),
        )
        for copy in group[1:]
        if apart(first.heading_deg, copy.heading_deg) > GRAIN_DEG
    ]


def _apart_mirrored(a: float, b: float) -> float:
    """Difference of headings up to reflection in the warp."""
    return min(_apart(a, b), _apart(-a, b))


def _apart(a: float, b: float) -> float:
    return abs((a - b + 180.0) % 360.0 - 180.0)

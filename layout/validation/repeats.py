"""Match points in phase with the repeat within half a millimetre, on the cloth.

Copies of a match group share the phase along; across, those of one hand share it and mirrored ones
have it reflected in the axis of the design.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layout.layout import Layout, posed, spans
from layout.problem import Bounded, Problem
from layout.validation.violation import Code, Violation

PHASE_MM = 0.5
"""How far out of phase a match point may lie (design)."""


@dataclass(frozen=True)
class _Match:
    """One copy's match point on the cloth, its y as if it were not mirrored."""

    key: str
    placement: int
    x: float
    y: float
    pitch_x: float
    across: float


def check_repeats(problem: Problem, layout: Layout) -> list[Violation]:
    """Compare the match points of all copies of each group."""
    found = _off_their_lattice(problem, layout)
    groups: dict[str, list[_Match]] = {}
    for group, match in _matches(problem, layout):
        groups.setdefault(group, []).append(match)
    for matches in groups.values():
        first = matches[0]
        for match in matches[1:]:
            off = max(_off(match.x - first.x, match.pitch_x), _off(match.y - first.y, match.across))
            if off > PHASE_MM:
                found.append(
                    Violation(
                        Code.PHASE,
                        f"'{match.key}' is {off:.1f} mm out of phase with '{first.key}'",
                        (first.placement, match.placement),
                    )
                )
    return found


def _off_their_lattice(problem: Problem, layout: Layout) -> list[Violation]:
    """Placements whose match point lies off the positions that the problem states."""
    found = []
    for index, placement in enumerate(layout.placements):
        item = problem.items[placement.item]
        lattice = item.slots[placement.slot].lattice
        if lattice is None:
            continue
        at = posed((lattice.point,), placement.pose, placement.x, placement.y)[0]
        off = max(
            _off(float(at[0]) - lattice.phase_x, lattice.pitch_x),
            _off(float(at[1]) - lattice.phase_y, lattice.pitch_y),
        )
        if off > PHASE_MM:
            message = f"'{item.key}' is {off:.1f} mm out of phase with the repeat"
            found.append(Violation(Code.PHASE, message, (index,)))
    return found


def _matches(problem: Problem, layout: Layout) -> list[tuple[str, _Match]]:
    if isinstance(problem.container, Bounded):
        return []
    laid = spans(problem, layout.extents)
    result = []
    for index, placement in enumerate(layout.placements):
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        lattice = slot.lattice
        if lattice is None or not lattice.group:
            continue
        at = posed((lattice.point,), placement.pose, placement.x, placement.y)
        spread = problem.container.sections[slot.section].spread
        span = laid[slot.section]
        across = _repeat_across(problem)
        # A half on a lengthwise fold is one copy; its match point counts on the ply it lies on.
        plies = slot.plies[:1] if slot.fold_edge is not None else slot.plies
        for k in plies:
            ply = spread.plies[k]
            x, y = (float(v) for v in ply.to_cloth(at, span.lay_length, span.start)[0])
            mirrored = (ply.sx * ply.sy < 0) != placement.pose.flip
            axis = lattice.axis
            y = 0.0 if axis is None else (axis - y if mirrored else y - axis)
            result.append(
                (lattice.group, _Match(item.key, index, x, y, _pitch_along(problem), across))
            )
    return result


def _pitch_along(problem: Problem) -> float:
    """Repeat along: the pitch that the lattices of the problem state."""
    return max(
        (s.lattice.pitch_x for item in problem.items for s in item.slots if s.lattice), default=0.0
    )


def _repeat_across(problem: Problem) -> float:
    """Repeat across, likewise."""
    return max(
        (s.lattice.pitch_y for item in problem.items for s in item.slots if s.lattice), default=0.0
    )


def _off(difference: float, pitch: float) -> float:
    if pitch <= 0.0:
        return 0.0
    rest = float(np.mod(difference, pitch))
    return min(rest, pitch - rest)

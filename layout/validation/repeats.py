"""Match points in phase with the repeat within half a millimetre, on the cloth.

Copies of a match group share the phase along; across, those of one hand share it and mirrored ones
have it reflected in the axis of the design. A whole that comes of a half has both hands. Where a
bar is named, it lies at the points.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layout.layout import Layout, posed
from layout.problem import Lattice, Mark, Problem
from layout.validation.violation import Code, Violation

PHASE_MM = 0.5
"""How far out of phase a match point may lie (design)."""


@dataclass(frozen=True)
class _Match:
    """One copy's match point on the cloth.

    `y` is its distance from the axis, as if it were not mirrored; None where that does not count.
    With `both_hands` it may be taken with either sign.
    """

    key: str
    placement: int
    x: float
    y: float | None
    both_hands: bool
    bar: float | None


def check_repeats(problem: Problem, layout: Layout) -> list[Violation]:
    """Compare the match points of all copies of each group."""
    found = _off_their_lattice(problem, layout)
    groups: dict[str, list[_Match]] = {}
    for group, match in _matches(problem, layout):
        groups.setdefault(group, []).append(match)
    along, across = _pitches(problem)
    for matches in groups.values():
        placed = [match for match in matches if match.y is not None]
        first = matches[0]
        leader = next((match for match in placed if not match.both_hands), (placed or [first])[0])
        for match in matches:
            off, other = _off(match.x - first.x, along), first
            if match.y is not None and leader.y is not None:
                across_off = _least_off(match, leader.y, across)
                off, other = (across_off, leader) if across_off > off else (off, other)
            if off > PHASE_MM:
                message = f"'{match.key}' is {off:.1f} mm out of phase with '{other.key}'"
                both = (other.placement, match.placement)
                found.append(Violation(Code.PHASE, message, both, off))
            if match.bar is not None and match.y is not None:
                off = _least_off(match, match.bar, across)
                if off > PHASE_MM:
                    message = f"'{match.key}' is {off:.1f} mm off the bar named for it"
                    found.append(Violation(Code.PHASE, message, (match.placement,), off))
    return found


def _least_off(match: _Match, wanted: float, pitch: float) -> float:
    """How far a point is out of phase across (mm)."""
    y = match.y or 0.0
    off = _off(y - wanted, pitch)
    return min(off, _off(-y - wanted, pitch)) if match.both_hands else off


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
            found.append(Violation(Code.PHASE, message, (index,), off))
    return found


def _matches(problem: Problem, layout: Layout) -> list[tuple[str, _Match]]:
    laid = problem.spans(layout.extents)
    result = []
    for index, placement in enumerate(layout.placements):
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        lattice = slot.lattice
        if lattice is None or not (lattice.group or lattice.marks):
            continue
        span = laid[slot.section]
        on_fold = slot.fold_edge is not None
        # A half on a fold is one copy; its match points count on the ply it lies on.
        plies = slot.plies[:1] if on_fold else slot.plies
        axis = lattice.axis
        for k in plies:
            ply = problem.ply(slot, k)
            turned = (ply.sx * ply.sy < 0) != placement.pose.flip
            for mark in _marks(lattice):
                if on_fold and mark.mirrored:
                    continue
                at = posed((mark.point,), placement.pose, placement.x, placement.y)
                x, y = (float(v) for v in ply.to_cloth(at, span.lay_length, span.start)[0])
                mirrored = turned != mark.mirrored
                off = None
                if mark.across:
                    off = 0.0 if axis is None else (axis - y if mirrored else y - axis)
                bar = None if axis is None else mark.bar
                match = _Match(item.key, index, x, off, on_fold and axis is not None, bar)
                result.append((mark.group, match))
    return result


def _marks(lattice: Lattice) -> tuple[Mark, ...]:
    return lattice.marks or (Mark(lattice.group, lattice.point),)


def _pitches(problem: Problem) -> tuple[float, float]:
    """Repeats along and across that the lattices of the problem state."""
    lattices = [s.lattice for item in problem.items for s in item.slots if s.lattice]
    along = max((max(one.pitch_x, one.repeats[0]) for one in lattices), default=0.0)
    across = max((max(one.pitch_y, one.repeats[1]) for one in lattices), default=0.0)
    return along, across


def _off(difference: float, pitch: float) -> float:
    if pitch <= 0.0:
        return 0.0
    rest = float(np.mod(difference, pitch))
    return min(rest, pitch - rest)

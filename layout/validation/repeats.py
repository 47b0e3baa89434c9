"""Match points in phase with the repeat within half a millimetre."""

from __future__ import annotations

import numpy as np

from layout.layout import Layout, posed
from layout.problem import Problem
from layout.validation.violation import Code, Violation

PHASE_MM = 0.5
"""How far out of phase a match point may lie (design)."""


def check_repeats(problem: Problem, layout: Layout) -> list[Violation]:
    """Check every placement that has in-phase positions."""
    found = []
    for index, placement in enumerate(layout.placements):
        item = problem.items[placement.item]
        lattice = item.slots[placement.slot].lattice
        if lattice is None:
            continue
        at = posed((lattice.point,), placement.pose, placement.x, placement.y)[0]
        off = [
            _off(float(at[0]), lattice.pitch_x, lattice.phase_x),
            _off(float(at[1]), lattice.pitch_y, lattice.phase_y),
        ]
        if max(off) > PHASE_MM:
            found.append(
                Violation(
                    Code.PHASE,
                    f"'{item.key}' is {np.max(off):.1f} mm out of phase with the repeat",
                    (index,),
                )
            )
    return found


def _off(value: float, pitch: float, phase: float) -> float:
    if pitch <= 0.0:
        return 0.0
    rest = (value - phase) % pitch
    return min(rest, pitch - rest)

"""Saying which outlines were too intricate to search with, and what laying them roughly costs."""

from __future__ import annotations

import math

from layout.geometry.simplify import coarseness
from pieces.lengths import INCH_MM, System, format_length, round_up_to_step
from pieces.outline import ring_area
from plans.folds.outcome import FoldResult


def coarse_notes(chosen: FoldResult, system: System) -> list[str]:
    """One sentence for each piece that was laid with a rougher outline than its own."""
    notes: dict[str, str] = {}
    items = chosen.built.problem.items
    for placed in chosen.layout.placements:
        item = items[placed.item]
        shape = item.slots[placed.slot].shape
        ring = item.shapes[shape]
        line = item.fold_lines[shape] if len(item.fold_lines) > shape else None
        cost = coarseness(ring, line)
        if cost is None:
            continue
        half = " of the half" if line is not None else ""
        # A slight cost is no nothing: two digits, as 0.04 %.
        share = f"{100.0 * cost.area / ring_area(ring):.2g} %"
        notes.setdefault(
            f"{item.key}{half}",
            f"The outline{half} of '{item.key}' has {len(ring)} corners, too many to search with: "
            f"its place was found with one that lies up to {_distance(cost.distance, system)} "
            f"outside it and takes {_area_text(cost.area, system)} ({share}) more cloth each time. "
            "What is drawn, checked and cut is the true outline.",
        )
    return list(notes.values())


def _distance(distance: float, system: System) -> str:
    """Print a small distance, never less than it is."""
    if system is System.IMPERIAL:
        return format_length(round_up_to_step(distance, INCH_MM / 16.0), system)
    return f"{math.ceil(10.0 * distance) / 10.0:g} mm"


def _area_text(area: float, system: System) -> str:
    if system is System.IMPERIAL:
        return f"{area / INCH_MM**2:.1f} sq in"
    return f"{area / 100.0:.1f} cm²"

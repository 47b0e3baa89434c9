"""Explanations that a plan owes its user: what is cut singly, joined, opened out, and why."""

from __future__ import annotations

from collections.abc import Iterable

from shapely.geometry import Polygon

from pieces.lengths import format_length
from plans.answer.coarse_notes import coarse_notes
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult
from plans.plan import PlacedPiece

NEARER_MM = 0.05
"""A gap that is smaller by less than this is as wide as asked for."""


def notes_for(
    job: FabricJob, chosen: FoldResult, placements: tuple[PlacedPiece, ...]
) -> tuple[str, ...]:
    """List the explanations of one fabric's plan."""
    notes = [
        f"'{name}' is cut in {parts} parts and joined, which adds "
        f"{format_length(extra, job.system)} to its length."
        for name, parts, extra in chosen.joined
    ]
    one_ply = _listed(placed for placed in placements if placed.upper_only)
    if one_ply:
        notes.append(
            f"Cut through the upper ply only: {one_ply}. The ply beneath is not cut there and "
            "becomes leftover."
        )
    opened = _listed(placed for placed in placements if placed.opened)
    if opened:
        notes.append(f"Traced whole, opened out from the half: {opened}.")
    if chosen.spared:
        spared = format_length(chosen.spared, job.system)
        notes.append(
            f"Of layouts that take the same purchase this one is drawn because {spared} less "
            "outline is traced for it than for the shortest: fewer halves lie opened out, or fewer "
            "pieces singly."
        )
    if chosen.layout.curtailed:
        notes.append(
            "With so many pieces not everything was tried of what lies in which section, to keep "
            "the time short; more effort (--effort normal) tries it all."
        )
    if chosen.fold.note:
        notes.append(chosen.fold.note)
    if job.fabric.flaws and job.slide:
        notes.append(
            "Flaws are kept clear of where the layout begins at the squared-off end; if you slide "
            "the cut end along the design, measure them from the new end and plan again."
        )
    if job.fabric.one_way:
        notes.append("One-way cloth: the heads of all pieces point the same way.")
    if any(slot.lattice for item in chosen.built.problem.items for slot in item.slots):
        notes.append(
            "Match points lie in phase with the repeat; slide the cut end along the design until "
            "the first match point meets the line that you want there."
            + (" The length for that is part of the purchase." if job.slide else "")
        )
    if any(match.bar is not None for demand in job.demands for match in demand.match):
        notes.append(
            "Across, the bar that the pattern names lies at its match points: lay the cloth by its "
            "selvages, and slide nothing sideways."
        )
    notes += _near_across_a_fold(job, placements)
    return (*notes, *coarse_notes(chosen, job.system))


def _near_across_a_fold(job: FabricJob, placements: tuple[PlacedPiece, ...]) -> list[str]:
    """Name pieces whose two copies lie nearer across a fold than the gap.

    Where a piece fits beside a fold only so, the gap is given up there rather than the layout.
    """
    notes = []
    for placed in placements:
        if placed.on_fold or len(placed.copies) < 2:
            continue
        first, second = (Polygon(copy.outline) for copy in placed.copies[:2])
        apart = first.distance(second)
        if apart < job.gap - NEARER_MM:
            notes.append(
                f"Across the fold the two copies of {placed.number} {placed.piece} lie "
                f"{format_length(apart, job.system)} apart, less than the gap of "
                f"{format_length(job.gap, job.system)}, because the piece fits no other way: cut "
                "them apart exactly along the fold."
            )
    return notes


def _listed(placements: Iterable[PlacedPiece]) -> str:
    return ", ".join(f"no. {placed.number} {placed.piece}" for placed in placements)

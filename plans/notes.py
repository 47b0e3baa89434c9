"""Explanations that a plan owes its user: what is cut singly, joined, opened out, and why."""

from __future__ import annotations

from collections.abc import Iterable

from fabrics.spread import Fold
from pieces.lengths import format_length
from plans.fold_search import FabricJob, FoldResult
from plans.plan import PlacedPiece


def notes_for(
    job: FabricJob, chosen: FoldResult, placements: tuple[PlacedPiece, ...]
) -> tuple[str, ...]:
    """List the explanations of one fabric's plan."""
    notes = [
        f"'{name}' is cut in {parts} parts and joined, which adds "
        f"{format_length(extra, job.system)} to its length."
        for name, parts, extra in chosen.joined
    ]
    one_ply = _listed(placed for placed in placements if "upper ply only" in placed.note)
    if one_ply:
        notes.append(
            f"Cut through the upper ply only: {one_ply}. The ply beneath is not cut there and "
            "becomes leftover."
        )
    opened = _listed(placed for placed in placements if "opened out" in placed.note)
    if opened:
        notes.append(f"Traced whole, opened out from the half: {opened}.")
    if chosen.fold is Fold.TURNED:
        notes.append(
            "After turning there is no crosswise fold left, so nothing is placed on a fold."
        )
    if job.fabric.one_way:
        notes.append("One-way cloth: the heads of all pieces point the same way.")
    if any(slot.lattice for item in chosen.built.problem.items for slot in item.slots):
        notes.append(
            "Match points lie in phase with the repeat; slide the cut end along the design until "
            "the first match point meets the line that you want there."
        )
    if any(match.bar is not None for demand in job.demands for match in demand.match):
        notes.append(
            "Across, the bar that the pattern names lies at its match points: lay the cloth by its "
            "selvages, and slide nothing sideways."
        )
    return tuple(notes)


def _listed(placements: Iterable[PlacedPiece]) -> str:
    return ", ".join(f"{placed.number} {placed.piece}" for placed in placements)

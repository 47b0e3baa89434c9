"""Saying why a piece fits nowhere: by how much, and which width would do."""

from __future__ import annotations

import math

from fabrics.fabric import Fabric
from fabrics.spread import Fold
from layout.fit import NoLayoutError
from layout.problem import Pose
from pieces.lengths import INCH_MM, System, format_width
from plans.problem.demand import Demand
from plans.problem.slots import extent


def misfit_message(demand: Demand, fold: Fold, fabric: Fabric, system: System) -> str:
    """One sentence with the piece, what it needs, what the cloth leaves, and what would do."""
    ring = demand.half if demand.half is not None and fold.strips > 1 else demand.whole
    needed = min(extent(ring, Pose(angle))[1] for angle in demand.angles(fabric.one_way))
    room = fold.room_across(fabric.width_cut, fabric.selvage_cut)
    if needed <= room + 1e-6:
        return (
            f"piece '{demand.key}': has no place on a {fold.value} spread of '{fabric.name}': "
            "there is no fold for it and no room to open it out; another fold or an open layout "
            "would do"
        )
    sizes = (needed, room, fold.width_for(needed, fabric.selvage_cut))
    return _too_wide(demand.key, sizes, f"'{fabric.name}'", fold, fabric, system)


def no_layout_message(error: NoLayoutError, fold: Fold, fabric: Fabric, system: System) -> str:
    """The same for what came to light in the search: a sentence in the units of the user."""
    place = f"'{fabric.name}'"
    if fold.sectioned and error.section:
        place = f"section '{error.section}' of {place}"
    if error.needed is not None and error.available is not None and error.width is not None:
        sizes = (error.needed, error.available, error.width)
        return _too_wide(error.key, sizes, place, fold, fabric, system)
    if not error.key:
        return f"{error.why.value} on {place} ({fold.value})"
    return f"piece '{error.key}': finds no room on {place} ({fold.value}): {error.why.value}"


def _too_wide(
    key: str,
    sizes: tuple[float, float, float],
    place: str,
    fold: Fold,
    fabric: Fabric,
    system: System,
) -> str:
    """Say what a piece needs, what a place leaves, and which washed width would do (all mm)."""
    needed, room, width = sizes
    if not fabric.washed:
        width /= 1.0 - fabric.shrink_across
    return (
        f"piece '{key}': needs {format_width(needed, system)} across the cloth in its best "
        f"permitted turn, {format_width(needed - room, system)} more than the "
        f"{format_width(room, system)} that {place} leaves ({fold.value}); cloth at least "
        f"{format_width(_on_a_tape(width, system), system)} wide would do"
        + ("" if fold is Fold.OPEN else ", or an open layout if the whole piece fits that")
    )


def _on_a_tape(width: float, system: System) -> float:
    """Round a width up to what a tape shows, so that cloth of the width printed will do."""
    step = INCH_MM / 8.0 if system is System.IMPERIAL else 1.0
    return math.ceil(width / step - 1e-3) * step

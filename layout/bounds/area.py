"""All outlines have to lie on the usable cloth."""

from __future__ import annotations

import numpy as np

from layout.bounds.terms.bound import Bound, BoundKind
from layout.bounds.terms.relaxation import Relaxation


def area_bound(relaxation: Relaxation) -> Bound:
    """Area that the outlines take, over the usable area of a unit of cloth length.

    An outline takes its area on every ply that lies there, cut or blocked. Where sections differ,
    the most generous one counts for all.
    """
    rooms, ways = relaxation.rooms, relaxation.ways
    usable: dict[int, float] = {}
    for room in rooms:
        usable[room.section] = usable.get(room.section, 0.0) + room.height * room.plies / room.cost
    taken = np.array([way.area * rooms[way.room].plies for way in ways])
    return Bound(BoundKind.AREA, float(relaxation.least(taken)) / max(usable.values()))

"""Lays that have a twin: turned about or seen in a mirror they are layouts, too.

This is asked of true outlines; what is looked at may then be simplified, each in its own way.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from layout.proofs.places import Kind, Place
from pieces.geometry_types import FloatArray

EQUAL_MM = 1e-3
"""Outlines and ranges that differ by no more than this are equal."""


def mirrored(kinds: Sequence[Kind]) -> tuple[int, ...]:
    """Axes along which every layout of such units has a twin in the opposite order: 0 is x.

    With half a turn of the lay as its only twin a layout has one order alone, that along x.
    """
    along, across = (all(_is_closed(kind, *signs, _sum(kinds)) for kind in kinds) for signs in
                     ((-1.0, 1.0), (1.0, -1.0)))  # fmt: skip
    if along or across:
        return tuple(axis for axis, has in ((0, along), (1, across)) if has)
    turned = all(_is_closed(kind, -1.0, -1.0, _sum(kinds)) for kind in kinds)
    return (0,) if turned else ()


def _sum(kinds: Sequence[Kind]) -> float:
    """Twice the middle of the zone across, if there is one for all."""
    place = kinds[0].places[0]
    return place.y_from + place.y_to


def _is_closed(kind: Kind, sign_x: float, sign_y: float, across: float) -> bool:
    """Whether each place has its twin among the places of the kind."""
    return all(
        any(_are_twins(one, other, sign_x, sign_y, across) for other in kind.places)
        for one in kind.places
    )


def _are_twins(one: Place, other: Place, sign_x: float, sign_y: float, across: float) -> bool:
    if one.plies != other.plies or len(one.true) != len(other.true):
        return False
    if sign_x < 0.0:
        # The lay ends where its farthest piece does, and begins at 0.
        if one.x_fixed is not None or other.x_fixed is not None:
            return False
        if abs(one.x_from - other.x_reach) > EQUAL_MM or abs(one.x_reach - other.x_from) > EQUAL_MM:
            return False
    elif one.x_fixed != other.x_fixed or abs(one.x_from - other.x_from) > EQUAL_MM:
        return False
    low, high = one.y_from, one.y_to
    if sign_y < 0.0:
        low, high = across - high, across - low
    if abs(low - other.y_from) > EQUAL_MM or abs(high - other.y_to) > EQUAL_MM:
        return False
    seen = one.true * [sign_x, sign_y]
    if sign_x * sign_y < 0.0:
        seen = seen[::-1]
    return bool(np.abs(from_corner(seen) - from_corner(other.true)).max() <= EQUAL_MM)


def from_corner(ring: FloatArray) -> FloatArray:
    """The same ring, from the corner on that lies farthest to the left and below."""
    first = int(np.lexsort(np.round(ring, 2).T)[0])
    return np.roll(ring, -first, axis=0)

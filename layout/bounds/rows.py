"""Where only so many lie side by side, some lie one after another.

Take the stretch of each piece over which it is at least so wide. Where no more than k of such
widths fit side by side, k rows hold all stretches (an interval graph needs as many colours as its
largest clique has members), and of k q + 1 stretches some row holds q + 1. Of n equal pieces one
row holds ceil(n / k).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from layout.bounds.terms.bound import Bound, BoundKind, Share
from layout.bounds.terms.relaxation import SLACK_MM, Part, Relaxation
from pieces.geometry_types import FloatArray

MOST_ROWS = 8
"""More rows than this are bounded by area."""


def rows_bound(relaxation: Relaxation) -> Bound:
    """The greatest length that some row must have, over all widths that change how many fit."""
    nothing = Bound(BoundKind.SO_MANY_ACROSS, 0.0)
    rooms = relaxation.rooms
    if len(relaxation.spreads) > 1:
        return nothing
    parts = relaxation.parts
    capacities = np.array([room.capacity for room in rooms])
    found = [nothing]
    for width in np.unique(capacities[:, None] / np.arange(2, MOST_ROWS + 2)) * (1.0 + 1e-9):
        rows = int(np.floor(capacities / width + 1e-9).sum())
        if rows <= MOST_ROWS:
            found.append(_bound(relaxation, _stretches(relaxation, parts, float(width)), rows))
    if len(rooms) == 1:
        found += [
            _with_a_narrower_one(relaxation, part, more)
            for part in parts
            for more in (0.0, 2.0 * rooms[0].radius)
        ]
    return max(found, key=lambda bound: bound.length)


def _stretches(
    relaxation: Relaxation, parts: Sequence[Part], width: float
) -> list[tuple[float, str]]:
    """Lengths (mm) over which placements are at least so wide, and the pieces that they are of."""
    return [
        (stretch, part.key)
        for part in parts
        if (stretch := _stretch(relaxation, part, width)) > 0.0
        for _ in range(_least_placements(part))
    ]


def _with_a_narrower_one(relaxation: Relaxation, narrow: Part, more: float) -> Bound:
    """One row for pieces of more than half the width, and one that has no room beside any.

    Blown up, that is a little longer over its own width than over a little `more` (mm).
    """
    room = relaxation.rooms[0]
    width = min(
        0.0 if (profile := way.on_edge or way.free) is None else profile.widest
        for way in narrow.ways
    )
    width += more - SLACK_MM
    if not 0.0 < width <= room.capacity / 2.0:
        return Bound(BoundKind.SIDE_BY_SIDE, 0.0)
    # Of more than half the width it may be itself, blown up: it does not lie beside itself.
    others = [part for part in relaxation.parts if part is not narrow]
    wide = _stretches(relaxation, others, (room.capacity - width) * (1.0 + 1e-9))
    one = [(_stretch(relaxation, narrow, width - SLACK_MM), narrow.key)]
    return _bound(relaxation, wide + one * min(1, _least_placements(narrow)), 1)


def _bound(relaxation: Relaxation, stretches: list[tuple[float, str]], rows: int) -> Bound:
    stretches = sorted(stretches, reverse=True)
    lengths = np.array([length for length, _ in stretches])
    best, count = 0.0, 0
    for q in range(-(-len(lengths) // rows)):
        # Of the rows x q + 1 longest, some row holds q + 1, the shortest of these at best.
        last = rows * q + 1
        total = float(lengths[last - q - 1 : last].sum())
        if total > best:
            best, count = total, last
    radius = max(room.radius for room in relaxation.rooms)
    length = relaxation.cloth(relaxation.rooms[0].cost * (best - 2.0 * radius))
    kind = BoundKind.SIDE_BY_SIDE if rows == 1 else BoundKind.SO_MANY_ACROSS
    keys = [key for _, key in stretches[:count]]
    shares = tuple(
        Share(key, keys.count(key), sum(length for length, own in stretches[:count] if own == key))
        for key in dict.fromkeys(keys)
    )
    return Bound(kind, length, shares, rows)


def _least_placements(part: Part) -> int:
    if part.divisible:
        return 0
    if not any(way.gives == 2 for way in part.ways):
        return part.copies
    if not any(way.gives == 1 for way in part.ways):
        return -(-part.copies // 2)
    return part.copies - min(part.pairs, part.copies // 2)


def _stretch(relaxation: Relaxation, part: Part, width: float) -> float:
    """Length (mm) over which a placement is at least so wide, whichever way it lies."""
    least = np.inf
    for way in part.ways:
        profile = way.free if way.on_edge is None else way.on_edge
        radius = relaxation.rooms[way.room].radius
        asked = width + SLACK_MM
        if profile is None or profile.widest + 2.0 * radius < asked:
            return 0.0
        within = _longest(profile.left, profile.right, profile.lengths, asked) + 2.0 * radius
        if profile.widest < asked:
            within = 0.0
        wider = asked - 2.0 * radius
        beside = _longest(profile.left, profile.right, profile.lengths, wider)
        least = min(least, max(within, beside))
    return float(least) if np.isfinite(least) else 0.0


def _longest(left: FloatArray, right: FloatArray, lengths: FloatArray, width: float) -> float:
    """Longest stretch without a break in which the cross-sections measure so much."""
    at = np.concatenate([[0.0], np.cumsum(lengths)])
    begins, ends = left >= width, right >= width
    before = np.concatenate([[False], ends[:-1]])
    after = np.concatenate([begins[1:], [False]])
    change = np.where(np.abs(right - left) < 1e-12, 1.0, right - left)
    crossing = at[:-1] + lengths * np.clip((width - left) / change, 0.0, 1.0)
    starts = np.concatenate([at[:-1][begins & ~before], crossing[~begins & ends]])
    stops = np.concatenate([at[1:][ends & ~after], crossing[begins & ~ends]])
    if not len(starts):
        return 0.0
    return float((np.sort(stops) - np.sort(starts)).max())

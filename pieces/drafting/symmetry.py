"""Whether a piece is its own mirror image, so that left and right are the same."""

from __future__ import annotations

import math

from pieces.piece import Piece

SAME_MM = 0.1
"""Outlines nowhere farther apart than this are the same."""


def is_self_mirror(piece: Piece) -> bool:
    """Whether turning the piece over, with its grain kept, gives the same outline."""
    return 0.0 in mirror_turns(piece)


def mirror_turns(piece: Piece) -> tuple[float, ...]:
    """Quarter turns (degrees) after which the piece turned over is the piece itself.

    0 means that it is symmetric about its grain, 180 about a line across it; a straight strip cut
    on the bias answers 90 and 270, for its own axis lies at 45 degrees to the grain.
    """
    from shapely import affinity
    from shapely.geometry import Polygon

    tail, head = piece.grain
    angle = math.degrees(math.atan2(head[1] - tail[1], head[0] - tail[0]))
    polygon = affinity.rotate(Polygon(piece.outline), -angle, origin=tail)
    mirrored = affinity.scale(polygon, 1.0, -1.0, origin=(0.0, 0.0))
    found = []
    for turn in (0.0, 90.0, 180.0, 270.0):
        turned = affinity.rotate(mirrored, turn, origin=(0.0, 0.0))
        dx = polygon.bounds[0] - turned.bounds[0]
        dy = polygon.bounds[1] - turned.bounds[1]
        different = polygon.symmetric_difference(affinity.translate(turned, dx, dy))
        if different.buffer(-SAME_MM / 2.0).is_empty:
            found.append(turn)
    return tuple(found)

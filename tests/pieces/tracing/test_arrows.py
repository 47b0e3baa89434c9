"""A grain arrow that is drawn on a piece; writing is none."""

from __future__ import annotations

import math

import numpy as np

from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.rendering import Scene
from tests.pieces.tracing.scenes import good


def with_arrow() -> tuple[Scene, float]:
    """The photograph of a seed, an arrow on its first piece; the angle (degrees) of the arrow."""
    known = good(103)
    paper = known.scene.papers[4]
    middle = paper.ring.mean(axis=0)
    spread = paper.ring - middle
    way = np.linalg.svd(spread, full_matrices=False)[2][0]
    side = np.array([-way[1], way[0]])
    tail, head = middle - 90.0 * way, middle + 90.0 * way
    paper.strokes = [
        (np.array([tail, head]), 1.2),
        (np.array([head - 10.0 * way + 6.0 * side, head]), 1.2),
        (np.array([head - 10.0 * way - 6.0 * side, head]), 1.2),
    ]
    return known.scene, math.degrees(math.atan2(way[1], way[0]))


def test_an_arrow_is_the_grain() -> None:
    scene, angle = with_arrow()
    found = [p.arrow for p in trace_photo(photo_of(scene), "A4").pieces if p.arrow is not None]
    (arrow,) = found
    (x1, y1), (x2, y2) = arrow
    assert abs(math.hypot(x2 - x1, y2 - y1) - 180.0) < 4.0
    # Pieces lie as in the picture, the world is turned by the camera's roll.
    off = math.degrees(math.atan2(y2 - y1, x2 - x1)) - angle - scene.camera.roll
    assert abs((off + 180.0) % 360.0 - 180.0) < 12.0


def test_writing_is_no_arrow() -> None:
    found = trace_photo(photo_of(good(105).scene), "A4")
    assert all(piece.arrow is None for piece in found.pieces)

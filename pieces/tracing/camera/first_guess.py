"""From four corners of one body to a first guess of the camera, and how well a size suits it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.camera.model import homography

FOCALS = np.geomspace(0.6, 5.0, 28)
"""Focal lengths that are tried, in halves of the diagonal."""

USUAL_FOCAL, FOCAL_SPREAD = 1.2, 0.5
"""Main cameras of telephones see like 24 to 28 mm on 36 x 24 mm film: 1.1 to 1.3 halves of the
diagonal; the spread is of the natural logarithm."""


@dataclass(frozen=True)
class Guess:
    """Focal length (halves of the diagonal), rotation, place (mm), and how badly squares fit."""

    focal: float
    turn: FloatArray
    place: FloatArray
    misfit: float


def first_guess(ring: FloatArray, corners: FloatArray, size: tuple[int, int]) -> Guess | None:
    """Guess the camera from one body; None if no camera above the floor sees it so.

    Parameters
    ----------
    ring : FloatArray
        Corners of the body, mm, (4, 2), counter-clockwise seen from above.
    corners : FloatArray
        Where they are seen, px.
    size : (int, int)
        Width and height of the picture.
    """
    half = float(np.hypot(*size)) / 2.0
    middle = (np.asarray(size) - 1.0) / 2.0
    plain = homography(ring, (corners - middle) / half)
    best: tuple[float, Guess] | None = None
    for focal in FOCALS:
        ways = np.diag([1.0 / focal, 1.0 / focal, 1.0]) @ plain
        one, two = np.linalg.norm(ways[:, 0]), np.linalg.norm(ways[:, 1])
        skew = float(ways[:, 0] @ ways[:, 1] / (one * two))
        misfit = float(np.hypot(np.log(one / two), skew))
        unusual = np.log(focal / USUAL_FOCAL) / FOCAL_SPREAD
        cost = (misfit / 0.01) ** 2 + unusual**2
        if best is None or cost < best[0]:
            scale = (one + two) / 2.0
            ways = ways / scale
            if ways[2, 2] < 0.0:
                ways = -ways
            frame = np.column_stack([ways[:, 0], ways[:, 1], np.cross(ways[:, 0], ways[:, 1])])
            left, _, right = np.linalg.svd(frame)
            turn = left @ right
            if np.linalg.det(turn) < 0.0 or turn[2, 2] >= 0.0:
                continue  # It would be seen from below.
            best = cost, Guess(float(focal), turn, ways[:, 2], misfit)
    return None if best is None else best[1]

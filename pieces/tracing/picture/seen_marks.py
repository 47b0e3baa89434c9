"""Marks found in a picture, their four sides to a fraction of a pixel."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.picture.photo import Photo
from pieces.tracing.picture.rims import fine_rim

CORNER_LEFT_OUT = 0.08
"""Of each end of a side."""

LEAST_SIDE_PX = 30.0
"""Smaller marks are too coarse to measure by."""


@dataclass(frozen=True)
class SeenMark:
    """A mark: its number, its corners (px) from the upper left as it is seen upright, its sides.

    `sides` run from each corner to the next, as spots (px) along them.
    """

    number: int
    corners: FloatArray
    sides: tuple[FloatArray, ...]

    @property
    def middle(self) -> FloatArray:
        """Where its diagonals cross, px."""
        a, b, c, d = self.corners
        along = np.linalg.solve(np.column_stack([c - a, b - d]), b - a)
        return np.asarray(a + along[0] * (c - a))


def find_marks(photo: Photo) -> list[SeenMark]:
    """Find all marks of the dictionary that are seen once, whatever their number."""
    grey = cv2.cvtColor(photo.pixels, cv2.COLOR_BGR2GRAY)
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    settings = cv2.aruco.DetectorParameters()
    settings.minMarkerPerimeterRate = 0.01
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    corners, numbers, _ = cv2.aruco.ArucoDetector(dictionary, settings).detectMarkers(grey)
    found = []
    for ring, number in zip(corners, [] if numbers is None else numbers.ravel(), strict=True):
        mark = _refined(photo, int(number), ring[0].astype(float))
        if mark is not None:
            found.append(mark)
    counts = [mark.number for mark in found]
    return [mark for mark in found if counts.count(mark.number) == 1]


def _refined(photo: Photo, number: int, corners: FloatArray) -> SeenMark | None:
    lengths = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    if lengths.min() < LEAST_SIDE_PX:
        return None
    # The black frame is a sixth of the mark wide: no more of it may be looked across.
    reach = float(np.clip(lengths.min() / 6.0 - 5.0, 1.5, 4.0))
    rim = fine_rim(photo, corners, reach)
    sides = []
    lines = []
    for k in range(4):
        a, b = corners[k], corners[(k + 1) % 4]
        way = (b - a) / lengths[k]
        along = (rim.points - a) @ way
        off = np.abs((rim.points - a) @ np.array([-way[1], way[0]]))
        margin = CORNER_LEFT_OUT * lengths[k] + 3.0
        chosen = (along > margin) & (along < lengths[k] - margin) & (off < reach + 2.0)
        if chosen.sum() < 6:
            return None
        spots = rim.points[chosen][np.argsort(along[chosen])]
        sides.append(spots)
        middle = spots.mean(axis=0)
        lines.append((middle, np.linalg.svd(spots - middle, full_matrices=False)[2][0]))
    exact = []
    for k in range(4):
        (p, u), (q, v) = lines[k - 1], lines[k]
        along_p = np.linalg.solve(np.column_stack([u, -v]), q - p)[0]
        exact.append(p + along_p * u)
    return SeenMark(number, np.array(exact), tuple(sides))

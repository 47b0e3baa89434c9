"""The lens and its stated errors on real photographs: boards of squares, if they are installed.

They come with Debian's package opencv-doc, or lie in the folder that OPENCV_SAMPLES names.
"""

from __future__ import annotations

import itertools
import os
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
import pytest

from pieces.geometry_types import FloatArray, Point
from pieces.tracing.camera.bodies import Body, Side
from pieces.tracing.camera.first_guess import first_guess
from pieces.tracing.camera.fitting import STIFF, Fit, fit_camera
from pieces.tracing.camera.lengths import length_errors

FOLDER = Path(os.environ.get("OPENCV_SAMPLES", "/usr/share/doc/opencv-doc/examples/data"))
PICTURES = sorted([*FOLDER.glob("left??.jpg"), *FOLDER.glob("right??.jpg")])
WIDE, HIGH, SQUARE = 9, 6, 25.0
"""Inner corners of the board, and a side of a square, mm: its true size does not matter here."""

TRUE = np.array([(SQUARE * i, SQUARE * j) for j in range(HIGH) for i in range(WIDE)])

pytestmark = pytest.mark.skipif(not PICTURES, reason="no photographs of boards are installed")


def corners_of(path: Path) -> tuple[FloatArray, tuple[int, int]]:
    """Inner corners as seen, px, (HIGH, WIDE, 2), counter-clockwise; and the picture's size."""
    grey = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
    assert grey is not None, path.name
    assert grey is not None, path.name
    found, seen = cv2.findChessboardCornersSB(grey, (WIDE, HIGH), flags=cv2.CALIB_CB_ACCURACY)
    assert found, path.name
    corners = seen.reshape(HIGH, WIDE, 2).astype(float)
    along, up = corners[0, -1] - corners[0, 0], corners[-1, 0] - corners[0, 0]
    if along[0] * up[1] - along[1] * up[0] > 0.0:
        corners = corners[::-1]
    return corners, (grey.shape[1], grey.shape[0])


@lru_cache(maxsize=1)
def fits() -> list[tuple[Fit, FloatArray]]:
    """The camera of each photograph, by all lines of its board, and the corners, px."""
    found = []
    for path in PICTURES:
        corners, size = corners_of(path)
        lines = [(corners[j], place(0, j), place(WIDE - 1, j)) for j in range(HIGH)]
        lines += [(corners[:, i], place(i, 0), place(i, HIGH - 1)) for i in range(WIDE)]
        # Each corner is a spot of its own: four alike are averaged into one.
        sides = tuple(Side(a, b, np.repeat(seen, 4, axis=0), True) for seen, a, b in lines)
        rim = np.array([corners[0, 0], corners[0, -1], corners[-1, -1], corners[-1, 0]])
        ring = (place(0, 0), place(WIDE - 1, 0), place(WIDE - 1, HIGH - 1), place(0, HIGH - 1))
        guess = first_guess(np.asarray(ring), rim, size)
        assert guess is not None, path.name
        board = Body("the board", sides, rim, ring, 0.05)
        found.append((fit_camera((board,), guess, size, bend_spread=STIFF), corners))
    return found


def place(i: int, j: int) -> Point:
    return SQUARE * i, SQUARE * j


def test_the_lens_straightens_the_lines_of_real_boards() -> None:
    for fit, _ in fits():
        assert np.sqrt((fit.residuals**2).mean()) < 0.3


def test_pictures_of_one_camera_tell_one_focal_length() -> None:
    focal = np.exp([fit.numbers[0] for fit, _ in fits()])
    assert (np.abs(focal / np.median(focal) - 1.0) < 0.05).mean() >= 0.9


def test_stated_errors_are_true_on_real_boards() -> None:
    pairs = np.array(list(itertools.combinations(range(WIDE * HIGH), 2)))
    real = np.hypot(*(TRUE[pairs[:, 0]] - TRUE[pairs[:, 1]]).T)
    within = []
    for fit, corners in fits():
        spots = corners.reshape(-1, 2)
        floor = fit.to_floor(spots)
        off = np.hypot(*(floor[pairs[:, 0]] - floor[pairs[:, 1]]).T) - real
        stated = length_errors(fit, spots[pairs[:, 0]], spots[pairs[:, 1]])
        within.append((np.abs(off) <= stated).mean())
    assert np.mean(within) >= 0.95

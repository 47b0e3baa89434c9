"""One traced line laid on another: turned and moved, never scaled or turned over."""

from __future__ import annotations

import numpy as np

from pieces.geometry_types import FloatArray

SPOTS = 200
"""Spots of each line that are laid on each other."""


def aligned(line: FloatArray, onto: FloatArray) -> tuple[FloatArray, float]:
    """Lay a closed line on another; also return the greatest distance (mm) that is left.

    Both run counter-clockwise.
    """
    from shapely import distance, line_interpolate_point, line_locate_point, linestrings, points

    few, goal = _even(line, SPOTS), _even(onto, SPOTS)
    tried = [_turned(np.roll(few, -shift, axis=0), goal) for shift in range(0, SPOTS, 2)]
    _, turn, move = min(tried, key=lambda entry: entry[0])
    moved = line @ turn.T + move
    ring = linestrings(np.vstack([onto, onto[:1]]))
    for _ in range(15):
        spots = _even(moved, SPOTS)
        near = line_interpolate_point(ring, line_locate_point(ring, points(spots)))
        goals = np.array([[point.x, point.y] for point in near])
        _, turn, move = _turned(spots, goals)
        moved = moved @ turn.T + move
    back = linestrings(np.vstack([moved, moved[:1]]))
    off = max(float(distance(points(moved), ring).max()), float(distance(points(onto), back).max()))
    return moved, off


def mean_line(one: FloatArray, other: FloatArray) -> FloatArray:
    """The line halfway between two that lie on each other."""
    from shapely import line_interpolate_point, line_locate_point, linestrings, points

    ring = linestrings(np.vstack([other, other[:1]]))
    near = line_interpolate_point(ring, line_locate_point(ring, points(one)))
    return np.asarray((one + np.array([[point.x, point.y] for point in near])) / 2.0)


def _turned(a: FloatArray, b: FloatArray) -> tuple[float, FloatArray, FloatArray]:
    """Squares left over, rotation and shift that bring spots nearest to others (Procrustes)."""
    am, bm = a.mean(axis=0), b.mean(axis=0)
    p, q = a - am, b - bm
    angle = np.arctan2((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum(), (p * q).sum())
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, -s], [s, c]])
    return float(((p @ turn.T - q) ** 2).sum()), turn, bm - turn @ am


def _even(line: FloatArray, count: int) -> FloatArray:
    closed = np.vstack([line, line[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.linspace(0.0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, closed[:, k]) for k in range(2)])

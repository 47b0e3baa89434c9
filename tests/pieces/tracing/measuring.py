"""How far a traced piece is from the truth, wherever it was laid."""

from __future__ import annotations

from typing import Any

import numpy as np
from shapely import distance, get_coordinates, line_interpolate_point, points
from shapely.geometry import LinearRing, Polygon

from pieces.geometry_types import FloatArray
from pieces.tracing.outlines.traced import Outline

STILL_MM = 1e-3
"""A ring that is moved by less lies as well as it can."""

LIKE_SHARE = 0.05
"""Pieces whose areas differ by less are told apart by their shapes."""


def ring_of(outline: Outline) -> FloatArray:
    """The ring that a garment file would draw."""
    return np.asarray([point for edge in outline.edges for point in edge.drawn.points[:-1]])


def fitted(ring: FloatArray, truth: FloatArray) -> FloatArray:
    """A ring laid on another as well as it goes, turned and moved but never scaled."""
    a, b = _even(ring), _even(truth)
    tried = [_laid(ring, np.roll(a, -shift, axis=0), b) for shift in range(0, len(a), 4)]
    current = min(tried, key=lambda moved: _far(moved, truth))
    for _ in range(60):
        spots = _even(current)
        line = LinearRing(truth)
        near = get_coordinates(line_interpolate_point(line, line.project(_points(spots))))
        moved = _laid(current, spots, near)
        if np.abs(moved - current).max() < STILL_MM:
            return moved
        current = moved
    return current


def worst(ring: FloatArray, truth: FloatArray) -> float:
    """Greatest distance between two rings, either way, mm, after fitting."""
    moved = fitted(ring, truth)
    return max(_far(moved, truth), _far(truth, moved))


def _far(ring: FloatArray, truth: FloatArray) -> float:
    line = LinearRing(truth)
    return float(distance(_points(_even(ring, 400)), line).max())


def _points(spots: FloatArray) -> Any:
    return points(spots)


def _even(ring: FloatArray, count: int = 160) -> FloatArray:
    closed = np.vstack([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.linspace(0.0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, closed[:, k]) for k in range(2)])


def _laid(ring: FloatArray, a: FloatArray, b: FloatArray) -> FloatArray:
    am, bm = a.mean(axis=0), b.mean(axis=0)
    u, _, v = np.linalg.svd((a - am).T @ (b - bm))
    turn = (u @ np.diag([1.0, np.sign(np.linalg.det(u @ v))]) @ v).T
    return np.asarray((ring - am) @ turn.T + bm)


def matched(outlines: list[Outline], rings: list[FloatArray]) -> list[tuple[int, int, float]]:
    """For each true ring: its index, that of the outline most like it, and how far it is off."""
    areas = [Polygon(ring_of(outline)).area for outline in outlines]
    found = []
    for k, truth in enumerate(rings):
        area = Polygon(truth).area
        order = sorted(range(len(outlines)), key=lambda i: abs(areas[i] - area))
        like = [i for i in order[1:] if abs(areas[i] - area) < LIKE_SHARE * area]
        off, best = min((worst(ring_of(outlines[i]), truth), i) for i in [order[0], *like])
        found.append((k, best, off))
    return found


def lengths_off(outline: Outline, truth: FloatArray) -> FloatArray:
    """By how much (mm) a traced piece and the true one differ between parallels, in many ways."""
    moved = fitted(ring_of(outline), truth)
    angles = np.linspace(0.0, np.pi, 24, endpoint=False)
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    extents = [np.ptp(ring @ ways.T, axis=0) for ring in (_even(moved, 2000), _even(truth, 2000))]
    return np.asarray(extents[0] - extents[1])

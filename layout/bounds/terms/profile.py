"""How much of the width a shape takes: over what length it is at least so wide across.

Only that counts for a bound whose slices of a piece may lie in any order. A shape is blown up by
half the gap first, so that shapes that keep the gap do not overlap, and shapes that touch do.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from layout.layout import posed
from layout.problem import Pose
from pieces.geometry_types import FloatArray, Ring
from pieces.outline import signed_area

UPRIGHT_MM = 1e-5
"""Places along the lay that differ by less are one: far less than bounds allow for."""

KEPT = 1000
"""Profiles kept for the next spread of the same pieces."""


@dataclass(frozen=True)
class Profile:
    """Cross-sections of a posed shape.

    Attributes
    ----------
    widest : float
        Greatest measure of a cross-section, mm.
    lengths, left, right : FloatArray
        Between one corner and the next the measure (mm) goes from `left` to `right` in a straight
        line.
    """

    widest: float
    lengths: FloatArray
    left: FloatArray
    right: FloatArray

    def divided(self, start: float, end: float) -> tuple[Profile, Profile]:
        """Cross-sections at places from `start` to `end` (mm from where it begins); the others."""
        at = np.concatenate([[0.0], np.cumsum(self.lengths)])
        cuts = np.unique(np.concatenate([at, np.clip([start, end], 0.0, at[-1])]))
        middle = (cuts[:-1] + cuts[1:]) / 2.0
        piece = np.clip(np.searchsorted(at, middle) - 1, 0, len(self.lengths) - 1)
        slope = (self.right - self.left) / np.maximum(self.lengths, 1e-12)
        left = self.left[piece] + slope[piece] * (cuts[:-1] - at[piece])
        right = self.left[piece] + slope[piece] * (cuts[1:] - at[piece])
        within = (middle > start) & (middle < end)
        inside, outside = (
            _profile(np.diff(cuts)[some], left[some], right[some]) for some in (within, ~within)
        )
        return inside, outside

    def by_cells(self, grid: float, radius: float) -> FloatArray:
        """Least measure (mm) over each whole cell of a grid (mm), blown up by a radius (mm).

        The first cell begins where the blown-up outline does; what is left beyond the last whole
        cell is not told.
        """
        count = int((float(self.lengths.sum()) + 2.0 * radius - 1e-6) // grid)
        wider = self._by_cells(grid, radius, count)
        wider = np.where(wider > 0.0, wider + 2.0 * radius, 0.0)
        earlier, later = (self._by_cells(grid, by, count) for by in (0.0, 2.0 * radius))
        return np.maximum(wider, np.maximum(earlier, later))

    def _by_cells(self, grid: float, begin: float, count: int) -> FloatArray:
        """The same of the outline itself, which begins so far (mm) behind the first cell."""
        at = np.concatenate([[0.0], np.cumsum(self.lengths)]) + begin
        edges = np.arange(count + 1) * grid
        place = np.clip(np.searchsorted(at, edges, side="right") - 1, 0, len(self.lengths) - 1)
        slope = (self.right - self.left) / np.maximum(self.lengths, 1e-12)
        there = self.left[place] + slope[place] * (edges - at[place])
        there = np.where((edges >= at[0] - 1e-9) & (edges <= at[-1] + 1e-9), there, 0.0)
        least = np.minimum(there[:-1], there[1:])
        # Between the edges of a cell it is least at a corner of the outline.
        for corners, values in ((at[:-1], self.left), (at[1:], self.right)):
            for nudge in (-1e-9, 1e-9):
                cell = np.floor((corners + nudge) / grid).astype(int)
                inside = (cell >= 0) & (cell < count)
                np.minimum.at(least, cell[inside], values[inside])
        return np.asarray(np.maximum(least, 0.0))

    def at_least(self, widths: FloatArray) -> FloatArray:
        """Length (mm) over which the cross-section measures at least each of the widths (mm)."""
        low = np.minimum(self.left, self.right)
        high = np.maximum(self.left, self.right)
        flat = high - low < 1e-9
        result = _of_flats(high[flat], self.lengths[flat], widths)
        if not flat.all():
            result += _of_ramps(low[~flat], high[~flat], self.lengths[~flat], widths)
        return result

    def grown(self, widths: FloatArray, radius: float) -> FloatArray:
        """The same of the shape blown up by a radius (mm), from below.

        Blown up, it holds itself moved along by up to the radius, and itself made wider by twice
        the radius.
        """
        within = np.where(widths <= self.widest, self.at_least(widths) + 2.0 * radius, 0.0)
        return np.maximum(within, self.at_least(np.maximum(widths - 2.0 * radius, 0.0)))


def _of_flats(at: FloatArray, lengths: FloatArray, widths: FloatArray) -> FloatArray:
    order = np.argsort(at)
    beyond = np.concatenate([np.cumsum(lengths[order][::-1])[::-1], [0.0]])
    return np.asarray(beyond[np.searchsorted(at[order], widths, side="left")])


def _of_ramps(
    low: FloatArray, high: FloatArray, lengths: FloatArray, widths: FloatArray
) -> FloatArray:
    """Sum of ramps that fall from the whole length at `low` to nothing at `high`."""
    slopes = lengths / (high - low)
    at = np.concatenate([low, high])
    change = np.concatenate([-slopes, slopes])
    order = np.argsort(at, kind="stable")
    at, slope = at[order], np.cumsum(change[order])
    value = lengths.sum() + np.concatenate([[0.0], np.cumsum(slope[:-1] * np.diff(at))])
    return np.asarray(np.maximum(np.interp(widths, at, value), 0.0))


@lru_cache(maxsize=KEPT)
def profile_of(ring: Ring, pose: Pose) -> Profile:
    """Cross-sections of a ring in a pose."""
    points = posed(ring, pose)
    if signed_area(points) < 0.0:
        points = points[::-1]
    # An edge that is upright but for rounding has a slope that no figure can hold.
    points = np.stack([_evened(points[:, 0]), points[:, 1]], axis=1)
    ends = np.roll(points, -1, axis=0)
    xs = np.unique(points[:, 0])
    rise = ends[:, 0] - points[:, 0]
    steep = np.abs(rise) > 1e-12
    begin, end, rise = points[steep], ends[steep], rise[steep]
    # Of an outline that goes round to the left, edges run to the right below and back above.
    slope = -np.sign(rise) * (end[:, 1] - begin[:, 1]) / rise
    offset = -np.sign(rise) * begin[:, 1] - slope * begin[:, 0]
    first = np.searchsorted(xs, np.minimum(begin[:, 0], end[:, 0]))
    last = np.searchsorted(xs, np.maximum(begin[:, 0], end[:, 0]))
    slopes, offsets = np.zeros(len(xs)), np.zeros(len(xs))
    np.add.at(slopes, first, slope)
    np.subtract.at(slopes, last, slope)
    np.add.at(offsets, first, offset)
    np.subtract.at(offsets, last, offset)
    a, b = np.cumsum(slopes)[:-1], np.cumsum(offsets)[:-1]
    left = np.maximum(a * xs[:-1] + b, 0.0)
    right = np.maximum(a * xs[1:] + b, 0.0)
    return _profile(np.diff(xs), left, right)


def _evened(places: FloatArray) -> FloatArray:
    """The same places, each that is hardly beyond another being that one."""
    known, index = np.unique(places, return_inverse=True)
    begins = np.concatenate([[True], np.diff(known) > UPRIGHT_MM])
    return np.asarray(known[begins][np.cumsum(begins) - 1][index])


def _profile(lengths: FloatArray, left: FloatArray, right: FloatArray) -> Profile:
    widest = max(left.max(initial=0.0), right.max(initial=0.0))
    return Profile(float(widest), lengths, left, right)

"""The rim of paper to a fraction of a pixel: where the light is halfway from paper to floor."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.picture.papers import linear
from pieces.tracing.picture.photo import Photo

STEP = 0.5
"""Distance (px) of the samples across a rim."""

ALONG = 2.0
"""Distance (px) of the places along a rim where it is looked at."""

LEVELS = 25
"""Places along a rim that together say how bright paper and floor are there."""


@dataclass(frozen=True)
class Rim:
    """A closed rim: points (px, in order), outward normals, and how sharp it is.

    `blur` is the standard deviation (px) of the step in light at each point, nan where it cannot
    be told; `sure` is whether the rim was found there rather than carried on.
    """

    points: FloatArray
    normals: FloatArray
    blur: FloatArray
    sure: FloatArray


def fine_rim(photo: Photo, rough: FloatArray, reach: float) -> Rim:
    """Find a rim in the whole picture.

    Parameters
    ----------
    photo : Photo
    rough : FloatArray
        Closed rim as found in a smaller copy, px.
    reach : float
        How far (px) it may be off.
    """
    points = resampled(_smoothed(resampled(rough, ALONG), 2.0), ALONG)
    rim = _once(photo, points, reach)
    return _once(photo, resampled(_without_jumps(rim), ALONG), max(3.0, reach * 0.6))


def resampled(ring: FloatArray, step: float) -> FloatArray:
    """Points of a closed ring at equal distances."""
    closed = np.vstack([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    count = max(16, round(float(along[-1]) / step))
    at = np.linspace(0.0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, closed[:, k]) for k in range(2)])


def outward(points: FloatArray) -> FloatArray:
    """Unit normals of a closed ring that point away from what it encloses."""
    way = np.roll(points, -2, axis=0) - np.roll(points, 2, axis=0)
    way /= np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    x, y = points.T
    turned = float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))
    side = 1.0 if turned >= 0.0 else -1.0
    return np.column_stack([way[:, 1], -way[:, 0]]) * side


def _once(photo: Photo, points: FloatArray, reach: float) -> Rim:
    normals = outward(points)
    offsets = np.arange(-reach - 3.0, reach + 3.0 + STEP / 2, STEP)
    light = _profiles(photo, points, normals, offsets)
    edge = max(3, round(2.0 / STEP))
    inside = _running_median(light[:, :edge].mean(axis=1), LEVELS)
    outside = _running_median(light[:, -edge:].mean(axis=1), LEVELS)
    step = inside - outside
    height = (step**2).sum(axis=1)
    share = ((light - outside[:, None]) * step[:, None]).sum(axis=2)
    share /= np.maximum(height, 1e-6)[:, None]
    share = _blended(share)
    at = _crossing(share, 0.5, offsets)
    low, high = _crossing(share, 0.2, offsets, at), _crossing(share, 0.8, offsets, at)
    # A step seen through a Gaussian goes from 0.2 to 0.8 within 1.683 standard deviations.
    blur = np.where(np.isfinite(low) & np.isfinite(high), np.abs(low - high) / 1.683, np.nan)
    sure = np.isfinite(at) & (np.abs(at) <= reach) & (height > 1e-4)
    moved = points + normals * np.where(sure, at, 0.0)[:, None]
    return Rim(moved, normals, blur, sure.astype(float))


def _profiles(
    photo: Photo, points: FloatArray, normals: FloatArray, offsets: FloatArray
) -> FloatArray:
    """Light across a rim: shape (places, offsets, 3)."""
    spots = points[:, None, :] + normals[:, None, :] * offsets[None, :, None]
    maps = spots.astype(np.float32)
    # cv2.remap takes at most 32767 rows.
    parts = [
        cv2.remap(
            photo.pixels, part[:, :, 0], part[:, :, 1], cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for part in np.array_split(maps, 1 + len(maps) // 20_000)
    ]  # fmt: skip
    return linear(np.vstack(parts)).astype(float)


def _blended(share: FloatArray) -> FloatArray:
    """Light noise is smoothed along the rim, weights 1 2 1."""
    return (np.roll(share, 1, axis=0) + 2.0 * share + np.roll(share, -1, axis=0)) / 4.0


def _crossing(
    share: FloatArray, level: float, offsets: FloatArray, near: FloatArray | None = None
) -> FloatArray:
    """Offset where each profile falls through a level, the nearest to a place; nan if none."""
    above = share >= level
    falls = above[:, :-1] & ~above[:, 1:]
    a, b = share[:, :-1], share[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(falls, (a - level) / (a - b), 0.0)
    at = offsets[:-1] + part * STEP
    wanted = np.zeros(len(share)) if near is None else np.nan_to_num(near)
    off = np.where(falls, np.abs(at - wanted[:, None]), np.inf)
    best = off.argmin(axis=1)
    rows = np.arange(len(share))
    return np.where(np.isfinite(off[rows, best]), at[rows, best], np.nan)


def _running_median(values: FloatArray, count: int) -> FloatArray:
    half = count // 2
    ring = np.concatenate([values[-half:], values, values[:half]])
    return np.asarray(
        np.median(np.lib.stride_tricks.sliding_window_view(ring, count, axis=0), axis=-1)
    )


def _smoothed(points: FloatArray, sigma: float) -> FloatArray:
    """A closed ring smoothed along itself."""
    reach = int(3 * sigma)
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    weights /= weights.sum()
    ring = np.vstack([points[-reach:], points, points[:reach]])
    return np.column_stack([np.convolve(ring[:, k], weights, mode="valid") for k in range(2)])


def _without_jumps(rim: Rim) -> FloatArray:
    """Points that were found, those left out that stand off their neighbours."""
    middle = _running_median(rim.points, 9)
    off = np.hypot(*(rim.points - middle).T)
    kept = (off <= 4.0 * ALONG) & (rim.sure > 0)
    return rim.points[kept] if kept.sum() >= 16 else rim.points

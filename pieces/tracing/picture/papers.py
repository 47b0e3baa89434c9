"""What of a picture is paper: whatever differs from the floor, under uneven light."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from pieces.geometry_types import FloatArray
from pieces.tracing.picture.photo import Photo, Pixels

LOOKED_AT = 1280
"""Longest side (px) of the copy that paper is looked for in; rims come from the whole picture."""

BRIGHTER, DARKER = 0.10, 0.30
"""How much light that is not even may still vary after its slow part is taken out (natural
logarithm): shadows are deep, while nothing makes a floor much brighter."""

COLOUR = 0.05
"""The same for the colour of light."""

LEAST_SHARE = 0.0012
"""A smaller share of the picture is no piece."""

GREATEST_SHARE = 0.6

STRIDE = 4
"""Every so many pixels tell what the floor is like."""

DARK = 0.02
"""Added before the logarithm: deep shadow is mostly noise."""


@dataclass(frozen=True)
class Region:
    """A stretch of paper: its rough rim in px of the whole picture, counter-clockwise on paper.

    `share` is its part of the picture, `bright` its mean reflected light beside that of the
    brightest paper, `cut_off` whether it runs out of the picture.
    """

    rim: FloatArray
    share: float
    bright: float
    cut_off: bool

    @property
    def middle(self) -> tuple[float, float]:
        """A spot that stands for it, px."""
        x, y = self.rim.mean(axis=0)
        return float(x), float(y)


def find_papers(photo: Photo) -> list[Region]:
    """Find all paper, from left to right and from top to bottom by rows."""
    scale = max(1.0, max(photo.size) / LOOKED_AT)
    small = photo.pixels
    if scale > 1.0:
        size = (round(photo.size[0] / scale), round(photo.size[1] / scale))
        small = cv2.resize(small, size, interpolation=cv2.INTER_AREA)
    mask = _unlike_floor(small)
    return _regions(mask, small, photo.size)


def linear(pixels: Pixels) -> NDArray[np.float32]:
    """Light that fell on the pixels, 0 to 1, by the usual tone curve (IEC 61966-2-1)."""
    value = np.arange(256) / 255.0
    table = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    found: NDArray[np.float32] = table.astype(np.float32)[pixels]
    return found


def _unlike_floor(small: Pixels) -> Pixels:
    """Where the picture is unlike its floor: 255, else 0."""
    smooth = cv2.medianBlur(small, 5)
    tone = np.log(cv2.GaussianBlur(linear(smooth), (0, 0), 1.2) + DARK)
    high, wide = tone.shape[:2]
    y, x = np.mgrid[-1.0 : 1.0 : high * 1j, -1.0 : 1.0 : wide * 1j].astype(np.float32)
    slow = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
    floor = np.zeros((high, wide), bool)
    edge = max(4, round(0.04 * wide))
    floor[:edge] = floor[-edge:] = True
    floor[:, :edge] = floor[:, -edge:] = True
    few, few_slow = tone[::STRIDE, ::STRIDE], slow[::STRIDE, ::STRIDE]
    taken = floor[::STRIDE, ::STRIDE]
    for _ in range(4):
        trend = _robust_fit(few_slow[taken], few[taken])
        rest = few - few_slow @ trend.astype(np.float32)
        inverses = _scatter(rest[taken])
        taken = _distance(rest, inverses) < 3.0
    apart = _distance(tone - slow @ trend.astype(np.float32), inverses)
    cut, _ = cv2.threshold(
        np.minimum(apart * 10.0, 255.0).astype(np.uint8),
        0,
        255,
        cv2.THRESH_BINARY | cv2.THRESH_OTSU,
    )
    least = float(np.clip(cut / 10.0 * 0.8, 3.2, 7.0))
    mask = (apart > least).astype(np.uint8) * 255
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5))
    closed = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, kernel)
    found: Pixels = cv2.morphologyEx(closed, cv2.MORPH_OPEN, kernel)
    return found


def _robust_fit(rows: FloatArray, values: FloatArray) -> FloatArray:
    """Coefficients of the slow part, the floor's colour told by most of what is taken."""
    rows, values = rows.astype(float), values.astype(float)
    weights: FloatArray = np.ones(len(rows))
    trend: FloatArray = np.zeros((rows.shape[1], values.shape[1]))
    for _ in range(5):
        weighted = rows * weights[:, None]
        gram = rows.T @ weighted + 1e-6 * len(rows) * np.eye(rows.shape[1])
        trend = np.linalg.solve(gram, weighted.T @ values).astype(float)
        off = _greatest(np.abs(values - rows @ trend))
        spread = max(float(np.median(off)), 1e-3) * 2.0
        squared = (off / spread) ** 2
        weights = 1.0 / (1.0 + squared * squared)
    return trend


def _scatter(sample: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Inverse covariances of what is left of a floor: for what is darker, and for what is not."""
    spread = _greatest(np.abs(sample))
    usual = sample[spread <= np.percentile(spread, 90)].astype(float)
    cov = np.cov(usual.T).astype(float) + COLOUR**2 * np.eye(3)
    found = [np.linalg.inv(cov + light**2).astype(np.float32) for light in (DARKER, BRIGHTER)]
    return found[0], found[1]


def _distance(
    rest: NDArray[np.float32], inverses: tuple[NDArray[np.float32], NDArray[np.float32]]
) -> NDArray[np.float32]:
    """How many times the usual scatter each pixel is off the floor."""
    darker = _total(rest) < 0.0
    off = [_total((rest @ inverse) * rest) for inverse in inverses]
    return np.asarray(np.sqrt(np.maximum(np.where(darker, off[0], off[1]), 0.0)))


def _total(values: FloatArray | NDArray[np.float32]) -> NDArray[Any]:
    """Sum over three colours, in a fifth of the time of a sum along a short axis."""
    return np.asarray(values[..., 0] + values[..., 1] + values[..., 2])


def _greatest(values: FloatArray | NDArray[np.float32]) -> NDArray[Any]:
    """The greatest of three colours, likewise."""
    return np.asarray(np.maximum(np.maximum(values[..., 0], values[..., 1]), values[..., 2]))


def _regions(mask: Pixels, small: Pixels, size: tuple[int, int]) -> list[Region]:
    high, wide = mask.shape
    scale = np.array([size[0] / wide, size[1] / high])
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    found = []
    for contour in contours:
        share = float(cv2.contourArea(contour)) / (wide * high)
        if not LEAST_SHARE <= share <= GREATEST_SHARE:
            continue
        inside = np.zeros_like(mask)
        cv2.drawContours(inside, [contour], -1, 255, -1)
        inside = cv2.erode(inside, np.ones((5, 5), np.uint8))
        if not inside.any():
            continue
        light = linear(small[inside > 0]).mean(axis=1)
        points = contour[:, 0, :].astype(float)
        cut_off = bool(
            (points <= 1.0).any()
            or (points[:, 0] >= wide - 2).any()
            or (points[:, 1] >= high - 2).any()
        )
        rim = (points + 0.5) * scale - 0.5
        found.append(Region(rim, share, float(np.percentile(light, 75)), cut_off))
    brightest = max((region.bright for region in found), default=1.0)
    listed = [
        Region(region.rim, region.share, region.bright / brightest, region.cut_off)
        for region in found
    ]
    row = size[1] / 4.0
    return sorted(listed, key=lambda region: (region.middle[1] // row, region.middle[0]))

"""The colour of papers: what is of a colour of its own may be a foot, or a tape measure."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.picture.papers import linear
from pieces.tracing.picture.photo import Photo

UNLIKE = 0.1
"""Distance of two colours, as shares of blue, green and red in the light, that are not one paper's.
Brown paper is 0.15 from white, light on one side of a room 0.02 from that on the other."""

STRIDE = 4
"""Every so many pixels tell a colour."""


def colour_of(photo: Photo, rim: FloatArray) -> FloatArray:
    """Shares of blue, green and red in the light from what a rim encloses."""
    low = np.maximum(np.floor(rim.min(axis=0)).astype(int), 0)
    high = np.ceil(rim.max(axis=0)).astype(int) + 1
    part = photo.pixels[low[1] : high[1] : STRIDE, low[0] : high[0] : STRIDE]
    inside = np.zeros(part.shape[:2], np.uint8)
    cv2.fillPoly(inside, [np.round((rim - low) / STRIDE).astype(np.int32)], 1)
    light = np.median(linear(part[inside > 0]), axis=0).astype(float)
    return np.asarray(light / max(float(light.sum()), 1e-6))


def unlike_others(colours: Sequence[FloatArray], usual: Sequence[FloatArray]) -> list[bool]:
    """For each colour whether no other one, nor a usual one, is like it."""
    found = []
    for k, colour in enumerate(colours):
        others = [*usual, *colours[:k], *colours[k + 1 :]]
        found.append(all(float(np.hypot(*_two(colour - other))) > UNLIKE for other in others))
    return found


def _two(off: FloatArray) -> tuple[float, float]:
    """Shares of blue and red that differ: green is what they leave."""
    return float(off[0]), float(off[2])

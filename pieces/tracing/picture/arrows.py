"""An arrow drawn on a piece: a long straight stroke with a head of two short ones at one end."""

from __future__ import annotations

import cv2
import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.picture.papers import linear
from pieces.tracing.picture.photo import Photo

LEAST_PART = 0.2
"""Least length of an arrow, as a part of the way across its piece."""

DARKER = 0.75
"""Light of a stroke beside that of the paper, at most."""

HEAD_PART, SIDE_PX = 0.2, 3.0
"""The head takes no more of the arrow's length, and stands off the shaft by so many pixels."""

LEAST_PX = 56.0
"""Shorter arrows are not told from letters."""

CLEARLY = 3.0
"""An end with so many times the dark of the other bears the head."""


def find_arrow(photo: Photo, rim: FloatArray) -> FloatArray | None:
    """Find the one arrow inside a rim: tail and head, px, (2, 2); None if it is not clear."""
    low = np.maximum(np.floor(rim.min(axis=0)).astype(int), 0)
    high = np.ceil(rim.max(axis=0)).astype(int) + 1
    light = linear(photo.pixels[low[1] : high[1], low[0] : high[0]]).mean(axis=2)
    inside = np.zeros(light.shape, np.uint8)
    cv2.fillPoly(inside, [np.round(rim - low).astype(np.int32)], 255)
    inside = cv2.erode(inside, np.ones((9, 9), np.uint8))
    paper = cv2.medianBlur((np.clip(light, 0.0, 1.0) * 255).astype(np.uint8), 21) / 255.0
    dark = ((light < DARKER * np.maximum(paper, 0.02)) & (inside > 0)).astype(np.uint8)
    least = LEAST_PART * float(np.hypot(*np.ptp(rim, axis=0)))
    count, labels, boxes, _ = cv2.connectedComponentsWithStats(dark, connectivity=8)
    found = []
    for k in range(1, count):
        if np.hypot(boxes[k, cv2.CC_STAT_WIDTH], boxes[k, cv2.CC_STAT_HEIGHT]) < least:
            continue
        y, x = np.nonzero(labels == k)
        arrow = _arrow(np.column_stack([x, y]).astype(float))
        if arrow is not None:
            found.append(arrow + low)
    return found[0] if len(found) == 1 else None


def _arrow(spots: FloatArray) -> FloatArray | None:
    """Tail and head of a stroke, if all of it but a head at one end is a straight line."""
    middle = np.median(spots, axis=0)
    way = np.linalg.svd(spots - spots.mean(axis=0), full_matrices=False)[2][0]
    for _ in range(3):
        across = (spots - middle) @ np.array([-way[1], way[0]])
        near = spots[np.abs(across) <= 2.0 * SIDE_PX]
        middle = near.mean(axis=0)
        way = np.linalg.svd(near - middle, full_matrices=False)[2][0]
    along = (spots - middle) @ way
    across = np.abs((spots - middle) @ np.array([-way[1], way[0]]))
    start, end = float(along.min()), float(along.max())
    beside = across > SIDE_PX
    reach = HEAD_PART * (end - start)
    at_start = int((beside & (along < start + reach)).sum())
    at_end = int((beside & (along > end - reach)).sum())
    elsewhere = int(beside.sum()) - at_start - at_end
    most, least = max(at_start, at_end), min(at_start, at_end)
    if most < 12 or most < CLEARLY * (least + elsewhere + 1):
        return None
    if end - start < LEAST_PX:
        return None
    tail, head = (start, end) if at_end > at_start else (end, start)
    return np.array([middle + tail * way, middle + head * way])

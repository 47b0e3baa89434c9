"""Crosses drawn on a strip of paper or tape: two strokes of a pen that cross at right angles."""

from __future__ import annotations

import cv2
import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.picture.papers import linear
from pieces.tracing.picture.photo import Photo

ARM_PX = (7.0, 11.0)
"""Distances from the middle at which the four arms must be dark, and between them light."""

TURNS = 24
"""Directions of a cross that are tried, over a right angle."""

DARKER = 0.8
"""Light of a stroke beside that of the paper, at most."""


def find_crosses(photo: Photo, rim: FloatArray) -> FloatArray:
    """Find the crosses inside a rim: their middles, px, (N, 2)."""
    low = np.maximum(np.floor(rim.min(axis=0)).astype(int) - 2, 0)
    high = np.ceil(rim.max(axis=0)).astype(int) + 3
    part = photo.pixels[low[1] : high[1], low[0] : high[0]]
    light = linear(part).mean(axis=2)
    inside = np.zeros(light.shape, np.uint8)
    cv2.fillPoly(inside, [np.round(rim - low).astype(np.int32)], 255)
    inside = cv2.erode(inside, np.ones((3, 3), np.uint8))
    paper = (
        cv2.medianBlur((np.clip(light, 0, 1) * 255).astype(np.uint8), 31).astype(np.float32) / 255.0
    )
    tone = cv2.GaussianBlur(light, (0, 0), 0.8) / np.maximum(paper, 0.02)
    tone[inside == 0] = 1.0
    best = _response(tone)
    found: list[FloatArray] = []
    while len(found) < 12:
        y, x = np.unravel_index(int(best.argmax()), best.shape)
        if best[y, x] <= 1.0 - DARKER:
            break
        found.append(_middle(tone, int(x), int(y)) + low)
        cv2.circle(best, (int(x), int(y)), int(2 * ARM_PX[1]), -1.0, -1)
    return np.array(found).reshape(-1, 2)


def _response(tone: FloatArray) -> FloatArray:
    """How much lighter the least light between the arms is than the lightest arm."""
    best = np.full(tone.shape, -1.0, np.float32)
    for turn in np.arange(TURNS) * (np.pi / 2.0 / TURNS):
        arms = np.zeros(tone.shape, np.float32)
        gaps = np.full(tone.shape, 2.0, np.float32)
        for quarter in range(4):
            for reach in ARM_PX:
                arms = np.maximum(arms, _seen(tone, turn + quarter * np.pi / 2.0, reach))
                between = _seen(tone, turn + (quarter + 0.5) * np.pi / 2.0, reach)
                gaps = np.minimum(gaps, between)
        best = np.maximum(best, np.minimum(gaps, 1.0) - np.maximum(arms, tone))
    return np.asarray(best)


def _seen(tone: FloatArray, angle: float, reach: float) -> FloatArray:
    """The picture as seen from a place so far away in a direction."""
    shift = np.array(
        [[1.0, 0.0, -reach * np.cos(angle)], [0.0, 1.0, -reach * np.sin(angle)]], np.float32
    )
    size = (tone.shape[1], tone.shape[0])
    moved: FloatArray = cv2.warpAffine(tone, shift, size, borderValue=1.0)
    return moved


def _middle(tone: FloatArray, x: int, y: int) -> FloatArray:
    """The middle of a cross: where its darkness is the same turned over."""
    reach = int(ARM_PX[1])
    offsets = np.arange(-reach, reach + 1.0)
    u, v = np.meshgrid(offsets, offsets)
    best: tuple[float, FloatArray] | None = None
    for dy in np.arange(-2.0, 2.01, 0.2):
        for dx in np.arange(-2.0, 2.01, 0.2):
            patch = cv2.remap(
                tone, (u + x + dx).astype(np.float32), (v + y + dy).astype(np.float32),
                cv2.INTER_LINEAR, borderValue=1.0,
            )  # fmt: skip
            off = float(((patch - patch[::-1, ::-1]) ** 2).sum())
            if best is None or off < best[0]:
                best = off, np.array([x + dx, y + dy])
    return best[1] if best is not None else np.array([float(x), float(y)])

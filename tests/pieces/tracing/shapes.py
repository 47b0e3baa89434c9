"""Paper pieces of known shape for photographs that are drawn: our own drafts, from a seed."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.outline import smooth_curve

Rng = np.random.Generator


def _panel(rng: Rng) -> list[tuple[float, float]]:
    wide, high = rng.uniform(180, 320), rng.uniform(350, 560)
    flare, drop = rng.uniform(20, 80), rng.uniform(8, 20)
    waist = smooth_curve(((wide, high), (wide * 0.5, high - drop), (0.0, high - drop * 1.4)))
    hem = smooth_curve(((0.0, 0.0), (wide * 0.5, 6.0), (wide + flare, 26.0)))
    return [*hem, *waist]


def _bodice(rng: Rng) -> list[tuple[float, float]]:
    wide, high = rng.uniform(220, 290), rng.uniform(380, 560)
    neck, shoulder = rng.uniform(65, 85), rng.uniform(90, 130)
    across = neck + shoulder
    deep = rng.uniform(170, 220)
    armhole = smooth_curve(
        ((wide, high - deep), (wide - 55, high - deep * 0.86), (across - 12, high - deep * 0.45),
         (across, high - 40.0))
    )  # fmt: skip
    neckline = smooth_curve(((neck, high), (neck * 0.72, high - 55), (0.0, high - 80.0)))
    return [(0.0, 0.0), (wide - 20.0, 8.0), *armhole, *neckline]


def _sleeve(rng: Rng) -> list[tuple[float, float]]:
    wide, high = rng.uniform(300, 380), rng.uniform(300, 560)
    cap, cuff = rng.uniform(100, 140), rng.uniform(0.3, 0.45)
    top = smooth_curve(
        ((wide, high - cap), (wide * 0.8, high - cap * 0.62), (wide * 0.64, high - cap * 0.1),
         (wide * 0.5, high), (wide * 0.36, high - cap * 0.12), (wide * 0.18, high - cap * 0.7),
         (0.0, high - cap))
    )  # fmt: skip
    return [(wide * (0.5 - cuff), 0.0), (wide * (0.5 + cuff), 0.0), *top]


def _band(rng: Rng) -> list[tuple[float, float]]:
    wide, high = rng.uniform(300, 590), rng.uniform(60, 110)
    return [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]


def _facing(rng: Rng) -> list[tuple[float, float]]:
    inner, width = rng.uniform(120, 160), rng.uniform(60, 80)
    outer = inner + width
    turn = rng.uniform(1.5, 2.2)
    angles = np.linspace(0.0, turn, 60)
    first = [(outer * math.cos(a), outer * math.sin(a)) for a in angles]
    second = [(inner * math.cos(a), inner * math.sin(a)) for a in angles[::-1]]
    return [*first, *second]


SHAPES: tuple[Callable[[Rng], list[tuple[float, float]]], ...] = (
    _panel, _bodice, _sleeve, _band, _facing,
)  # fmt: skip


def a_shape(rng: Rng, kind: int | None = None) -> FloatArray:
    """Ring of a piece, mm, about its own centre; it runs counter-clockwise."""
    chosen = int(rng.integers(len(SHAPES))) if kind is None else kind
    ring = np.asarray(SHAPES[chosen](rng), dtype=float)
    return np.asarray(ring - (ring.min(axis=0) + ring.max(axis=0)) / 2.0)


def turned(ring: FloatArray, angle: float, at: tuple[float, float]) -> FloatArray:
    """A ring turned about the origin and moved."""
    c, s = math.cos(angle), math.sin(angle)
    return np.asarray(ring @ np.array([[c, s], [-s, c]]) + np.asarray(at))

"""What lies in a photograph besides paper: a hand, a foot, a tape measure."""

from __future__ import annotations

import math

import numpy as np

from pieces.geometry_types import FloatArray
from tests.pieces.tracing.rendering import Paper
from tests.pieces.tracing.shapes import turned

SKIN = (0.45, 0.26, 0.18)
SOCK = (0.25, 0.05, 0.06)
TAPE = (0.75, 0.6, 0.08)


def hand(at: tuple[float, float], angle: float) -> Paper:
    """A hand with its fingers spread; the wrist points to -y."""
    outline: list[tuple[float, float]] = [(-32.0, -90.0), (-40.0, 0.0)]
    for k, (x, way, length) in enumerate(
        [(-38.0, 130.0, 60.0), (-26.0, 105.0, 75.0), (-5.0, 92.0, 82.0), (15.0, 80.0, 76.0),
         (34.0, 62.0, 60.0)]
    ):  # fmt: skip
        base = np.array([x, 20.0 if k == 0 else 48.0])
        along = np.array([math.cos(math.radians(way)), math.sin(math.radians(way))])
        side = np.array([-along[1], along[0]]) * 9.0
        tip = base + along * length
        outline += [tuple(base + side), tuple(tip + side), tuple(tip + along * 7.0),
                    tuple(tip - side), tuple(base - side)]  # fmt: skip
    outline += [(40.0, 0.0), (32.0, -90.0)]
    return Paper(turned(np.array(outline), angle, at), SKIN)


def foot(at: tuple[float, float], angle: float) -> Paper:
    """A foot in a sock."""
    t = np.linspace(0.0, 2.0 * math.pi, 90, endpoint=False)
    width = 42.0 + 8.0 * np.sin(t)
    ring: FloatArray = np.column_stack([width * np.cos(t), 125.0 * np.sin(t)])
    return Paper(turned(ring, angle, at), SOCK)


def tape_measure(at: tuple[float, float], angle: float, length: float = 700.0) -> Paper:
    """A tape measure, laid out, with a line at each centimetre."""
    half = length / 2.0
    ring = np.array([[-half, -8.0], [half, -8.0], [half, 8.0], [-half, 8.0]])
    lines = [
        (turned(np.array([[x, -8.0], [x, 2.0]]), angle, at), 0.8)
        for x in np.arange(-half + 10.0, half, 10.0)
    ]
    return Paper(turned(ring, angle, at), TAPE, lines)

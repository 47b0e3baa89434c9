"""Random numbers, and the places that a way of lying allows."""

from __future__ import annotations

import math

import numpy as np

from layout.kernels.compiled import kernel


@kernel
def random(seed):
    """Next number in [0, 1) (xorshift: Marsaglia, Journal of Statistical Software 8, 2003)."""
    s = seed[0]
    s ^= s << np.uint64(13)
    s ^= s >> np.uint64(7)
    s ^= s << np.uint64(17)
    seed[0] = s
    return (s >> np.uint64(11)) * (1.0 / 9007199254740992.0)


@kernel
def snapped(value, low, high, pitch, phase):
    """Bring a coordinate into [low, high] and onto its lattice."""
    value = min(max(value, low), high)
    if pitch > 0.0:
        value = phase + math.floor((value - phase) / pitch + 0.5) * pitch
        if value < low - 1e-9:
            value += pitch
        if value > high + 1e-9:
            value -= pitch
    return value


@kernel
def position_range(way, length, ways):
    """Box of reference positions of a way in a lay of this length: x from, to, y from, to."""
    b = ways.box[way]
    low_x = b[0]
    high_x = length - b[1]
    if not math.isnan(b[4]):
        low_x = b[4]
        high_x = b[4] if length - b[1] >= b[4] - 1e-7 else -1e300
    low_y = b[2]
    high_y = b[3]
    pitch = ways.pitch[way]
    if pitch[0] > 0.0:
        low_x = pitch[1] + math.ceil((low_x - pitch[1]) / pitch[0] - 1e-9) * pitch[0]
        high_x = pitch[1] + math.floor((high_x - pitch[1]) / pitch[0] + 1e-9) * pitch[0]
    if pitch[2] > 0.0:
        low_y = pitch[3] + math.ceil((low_y - pitch[3]) / pitch[2] - 1e-9) * pitch[2]
        high_y = pitch[3] + math.floor((high_y - pitch[3]) / pitch[2] + 1e-9) * pitch[2]
    return low_x, high_x, low_y, high_y

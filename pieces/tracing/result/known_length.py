"""One more length in the picture that a tape tells: a scale that misses it is refused."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.camera.lengths import length_errors
from pieces.tracing.marks import KNOWN_MARKS
from pieces.tracing.picture.crosses import find_crosses
from pieces.tracing.picture.photo import Photo
from pieces.tracing.picture.rims import Rim
from pieces.tracing.refusal import Place, UntraceableError
from pieces.tracing.result.reference import Reference
from pieces.tracing.result.traced_photo import KnownCheck

TAPE_MM = 1.0
"""What may be wrong with the reading of a tape, and with the middle of a cross."""

WIDEST_STRIP_MM = 70.0
"""A wider paper is a piece, whatever is drawn on it."""


def check_known(
    photo: Photo, found: Reference, rims: Sequence[Rim], told: float
) -> tuple[KnownCheck, frozenset[int]]:
    """Measure the known length, and say which papers are strips that bear its crosses.

    Raises
    ------
    UntraceableError
        If it is not in the picture, or off by more than the stated error.
    """
    spots, strips = _ends(photo, found, rims)
    a, b = spots[:1], spots[1:]
    floor = found.fit.to_floor(spots)
    measured = float(math.dist(*floor))
    error = float(length_errors(found.fit, a, b)[0])
    if abs(measured - told) > error + TAPE_MM:
        places = tuple(
            Place((float(x), float(y)), f"{measured:.1f} mm, not {told:.0f}") for x, y in spots[:1]
        )
        raise UntraceableError(
            f"the known length of {told:.0f} mm measures {measured:.1f} mm in the picture, and "
            f"only {error + TAPE_MM:.1f} mm are explained: one of the two is wrong",
            places,
        )
    ends = [(float(x), float(y)) for x, y in spots]
    return KnownCheck(told, measured, error, (ends[0], ends[1])), strips


def _ends(photo: Photo, found: Reference, rims: Sequence[Rim]) -> tuple[FloatArray, frozenset[int]]:
    """Both ends, px: of two marks, or of the only two crosses on narrow strips."""
    by_number = {mark.number: mark.middle for mark in found.known_marks}
    if len(by_number) == len(KNOWN_MARKS):
        return np.array([by_number[number] for number in KNOWN_MARKS]), frozenset()
    from pieces.tracing.result.sizes import rectangle

    spots: list[FloatArray] = []
    strips = []
    for k, rim in enumerate(rims):
        if k in found.regions or rectangle(found.fit.to_floor(rim.points))[1] > WIDEST_STRIP_MM:
            continue
        crosses = find_crosses(photo, rim.points)
        if len(crosses):
            spots += list(crosses)
            strips.append(k)
    if len(spots) != 2:
        seen = f"{len(spots)} cross{'es' if len(spots) != 1 else ''}"
        raise UntraceableError(
            f"the known length is not found: {seen} on narrow strips of paper, where two are "
            "needed, and not both marks of laywright print marks",
            tuple(Place((float(x), float(y)), "cross") for x, y in spots),
        )
    return np.array(spots), frozenset(strips)

"""Few pixels: no error is stated that is finer than one of them, and corners need some."""

from __future__ import annotations

import numpy as np
import pytest

from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.bad_scenes import bad
from tests.pieces.tracing.measuring import lengths_off, matched
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.scenes import good


@pytest.mark.parametrize(("sheets", "seed"), [(4, 105), (1, 108)])
def test_a_coarse_picture_is_measured_within_an_error_of_a_pixel_at_least(
    sheets: int, seed: int
) -> None:
    known = good(seed, size=(1000, 750), sheets=sheets)
    found = trace_photo(photo_of(known.scene), "A4")
    for true, piece, _ in matched([p.outline for p in found.pieces], known.rings):
        ring = np.column_stack([known.rings[true], np.zeros(len(known.rings[true]))])
        spots = known.scene.camera.project(ring)
        away = known.scene.camera.project(ring + np.array([1.0, 0.0, 0.0]))
        assert found.pieces[piece].error >= 0.95 / float(np.hypot(*(away - spots).T).max())
        off = np.abs(lengths_off(found.pieces[piece].outline, known.rings[true]))
        assert off.max() <= found.pieces[piece].error


def test_too_few_pixels_are_refused_with_what_they_could_carry() -> None:
    known = bad(0, "coarse").known
    with pytest.raises(UntraceableError, match=r"too few pixels, 0\.\d\d per mm: no error finer"):
        trace_photo(photo_of(known.scene))

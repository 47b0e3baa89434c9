"""One sheet alone: an arch of it changes the scale, and hardly shows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pieces.tracing.camera.model import rises
from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.bad_scenes import bad
from tests.pieces.tracing.measuring import lengths_off, matched
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.scenes import good


def test_an_arch_that_bows_no_side_visibly_is_refused() -> None:
    """One of 8 mm across both diagonals: each side is bowed by a quarter of a millimetre."""
    known = bad(1040, "one bent sheet")
    with pytest.raises(UntraceableError, match="does not lie flat: it seems bent"):
        trace_photo(photo_of(known.known.scene), known.paper)


@pytest.mark.parametrize("way", [0.0, 0.8, 1.6])
def test_a_slight_arch_is_within_the_stated_error(way: float) -> None:
    known = good(1042, sheets=1)
    papers = known.scene.papers
    papers[0] = replace(papers[0], lift=1.2, lift_way=way)
    found = trace_photo(photo_of(known.scene), "A4")
    for true, piece, _ in matched([p.outline for p in found.pieces], known.rings):
        off = np.abs(lengths_off(found.pieces[piece].outline, known.rings[true]))
        assert off.max() <= found.pieces[piece].error


def test_a_bent_sheet_touches_the_floor_and_stands_off_it_in_between() -> None:
    spots = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [-1.0, 1.0]])
    assert rises(np.array([3.0, 0.0, 0.0]), spots).tolist() == [3.0, 0.0, 0.0, 0.0]
    assert rises(np.array([0.0, 0.0, 2.0]), spots).tolist() == [2.0, 2.0, 4.0, 0.0]
    assert rises(np.array([-1.0, -2.0, 0.0]), spots).tolist() == [0.0, 1.0, 3.0, 3.0]

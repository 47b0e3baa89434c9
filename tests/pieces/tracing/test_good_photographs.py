"""Photographs with known truth: outlines, lengths and stated errors."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from pieces.geometry_types import FloatArray
from pieces.tracing.result.traced_photo import TracedPhoto
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.measuring import lengths_off, matched
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.rendering import Scene
from tests.pieces.tracing.scenes import good, with_marks

FOUR, ONE = range(100, 108), range(200, 204)


def traced(scene: Scene) -> TracedPhoto:
    return trace_photo(photo_of(scene), "A4")


@lru_cache(maxsize=2)
def measured(seeds: range, sheets: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Outline errors (mm) of all pieces; lengths off, each beside its stated error (mm)."""
    outlines, lengths, stated = [], [], []
    for seed in seeds:
        known = good(seed, sheets=sheets)
        found = traced(known.scene)
        assert len(found.pieces) == len(known.rings), f"seed {seed}"
        for true, piece, off in matched([p.outline for p in found.pieces], known.rings):
            outlines.append(off)
            lengths.append(lengths_off(found.pieces[piece].outline, known.rings[true]))
            stated.append(np.full(len(lengths[-1]), found.pieces[piece].error))
    return np.array(outlines), np.concatenate(lengths), np.concatenate(stated)


def test_four_sheets_give_outlines_within_a_millimetre_and_a_half() -> None:
    off, _, _ = measured(FOUR, 4)
    assert np.median(off) <= 1.0
    assert np.percentile(off, 95) <= 1.5


@pytest.mark.parametrize(("seeds", "sheets"), [(FOUR, 4), (ONE, 1)])
def test_the_stated_error_is_true(seeds: range, sheets: int) -> None:
    """Within it lie 95 of 100 lengths."""
    _, lengths, stated = measured(seeds, sheets)
    assert (np.abs(lengths) <= stated).mean() >= 0.95


def test_one_sheet_is_said_to_tell_less_than_four() -> None:
    one, four = traced(good(205, sheets=1).scene), traced(good(205, sheets=4).scene)
    assert one.metre_error > 1.3 * four.metre_error


def test_edges_are_few_points_near_the_traced_line() -> None:
    for piece in traced(good(103).scene).pieces:
        assert piece.outline.off <= 0.5
        assert sum(len(edge.points) - 1 for edge in piece.outline.edges) <= 24


def test_marks_measure_as_sheets_do() -> None:
    known = with_marks(104)
    found = traced(known.scene)
    assert found.reference == "4 pages of marks"
    assert max(off for *_, off in matched([p.outline for p in found.pieces], known.rings)) <= 1.5

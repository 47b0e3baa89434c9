"""Photographs with known truth: outlines, lengths and stated errors."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest

from pieces.geometry_types import FloatArray
from pieces.tracing.result.traced_photo import TracedPhoto
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.measuring import lengths_off, matched
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.rendering import Scene
from tests.pieces.tracing.scenes import Known, good, with_marks

SMALL = (1400, 1050)
"""What a photograph is drawn at, px: they are soon drawn, and tell as much as large ones."""

SCENES: dict[str, tuple[range, Callable[[int], Known]]] = {
    "four sheets": (range(100, 110), lambda seed: good(seed, SMALL)),
    "marks": (range(120, 126), lambda seed: with_marks(seed, SMALL)),
    "one sheet": (range(200, 206), lambda seed: good(seed, SMALL, 1)),
}


def traced(scene: Scene) -> TracedPhoto:
    return trace_photo(photo_of(scene), "A4")


@cache
def measured(kind: str) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Outline errors (mm) of all pieces; lengths off, each beside its stated error (mm)."""
    outlines, lengths, stated = [], [], []
    seeds, scene_of = SCENES[kind]
    for seed in seeds:
        known = scene_of(seed)
        found = traced(known.scene)
        assert len(found.pieces) == len(known.rings), f"seed {seed}"
        for true, piece, off in matched([p.outline for p in found.pieces], known.rings):
            outlines.append(off)
            lengths.append(lengths_off(found.pieces[piece].outline, known.rings[true]))
            stated.append(np.full(len(lengths[-1]), found.pieces[piece].error))
    return np.array(outlines), np.concatenate(lengths), np.concatenate(stated)


@pytest.mark.parametrize("kind", ["four sheets", "marks"])
def test_outlines_are_within_a_millimetre_and_a_half(kind: str) -> None:
    off, _, _ = measured(kind)
    assert np.median(off) <= 1.0
    assert np.percentile(off, 95) <= 1.5


@pytest.mark.parametrize("kind", SCENES)
def test_the_stated_error_is_true(kind: str) -> None:
    """Within it lie 95 of 100 lengths."""
    _, lengths, stated = measured(kind)
    assert (np.abs(lengths) <= stated).mean() >= 0.95


def test_one_sheet_is_said_to_tell_less_than_four() -> None:
    one, four = traced(good(205, SMALL, 1).scene), traced(good(205, SMALL, 4).scene)
    assert one.metre_error > 1.3 * four.metre_error


def test_edges_are_few_points_near_the_traced_line() -> None:
    for piece in traced(good(103, SMALL).scene).pieces:
        assert piece.outline.off <= 0.5
        assert sum(len(edge.points) - 1 for edge in piece.outline.edges) <= 24


def test_marks_are_what_is_measured_by() -> None:
    assert traced(with_marks(120, SMALL).scene).reference == "4 pages of marks"

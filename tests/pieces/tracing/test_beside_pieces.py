"""What lies beside the pieces is never one of them silently; wavy paper is within its error."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Polygon

from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.beside import foot, hand, tape_measure
from tests.pieces.tracing.measuring import lengths_off, matched
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.rendering import Paper, Scene
from tests.pieces.tracing.scenes import Known, framed, good

SIZE = (1600, 1200)


def with_beside(thing: Paper) -> Known:
    """The photograph of a seed; what is in the thing's way is taken away."""
    known = good(405, SIZE)
    shape = Polygon(thing.ring).buffer(15.0)
    kept = [ring for ring in known.rings if not Polygon(ring).intersects(shape)]
    papers = [*known.scene.papers[:4], *known.scene.papers[4:]]
    papers = [p for p in papers if not Polygon(p.ring).intersects(shape)]
    scene: Scene = replace(known.scene, papers=[*papers, thing])
    return Known(replace(scene, camera=framed(scene.camera, scene.papers)), kept)


def test_a_hand_is_refused_where_it_lies() -> None:
    known = with_beside(hand((0.0, 0.0), 0.4))
    with pytest.raises(UntraceableError, match="is no paper") as refusal:
        trace_photo(photo_of(known.scene))
    assert refusal.value.places


@pytest.mark.parametrize("thing", [foot((20.0, -10.0), 0.4), tape_measure((0.0, 0.0), 0.3, 500.0)])
def test_what_is_no_paper_is_asked_about_by_its_colour(thing: Paper) -> None:
    known = with_beside(thing)
    found = trace_photo(photo_of(known.scene))
    assert len(found.pieces) == len(known.rings) + 1
    (odd,) = [piece for piece in found.pieces if piece.unlike]
    assert abs(odd.length - np.ptp(thing.ring @ _way(thing))) < 8.0


def _way(thing: Paper) -> np.ndarray:
    """The direction in which a thing is longest."""
    spread = thing.ring - thing.ring.mean(axis=0)
    return np.asarray(np.linalg.svd(spread, full_matrices=False)[2][0])


def test_paper_in_low_waves_is_within_its_stated_error() -> None:
    known = good(405, SIZE)
    papers = known.scene.papers
    papers[4:] = [replace(paper, waves=2.0, lift_way=0.5) for paper in papers[4:]]
    found = trace_photo(photo_of(known.scene))
    for true, piece, _ in matched([p.outline for p in found.pieces], known.rings):
        off = np.abs(lengths_off(found.pieces[piece].outline, known.rings[true]))
        assert off.max() <= found.pieces[piece].error

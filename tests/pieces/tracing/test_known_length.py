"""One more length as a check: two marks, or two crosses on a strip."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.rendering import PAPERS, Paper, Scene
from tests.pieces.tracing.scenes import framed, good, known_mark
from tests.pieces.tracing.shapes import turned


def with_two_marks(apart: float) -> Scene:
    scene = good(301).scene
    scene.papers[:] = scene.papers[:4] + scene.papers[-1:]
    y = 520.0
    scene.papers += [known_mark(0, (-apart / 2, y), 0.3), known_mark(1, (apart / 2, y), 1.9)]
    return scene


def with_two_crosses(apart: float) -> Scene:
    scene = good(301).scene
    scene.papers[:] = scene.papers[:4] + scene.papers[-1:]
    half = apart / 2 + 40.0
    ring = np.array([[-half, -15.0], [half, -15.0], [half, 15.0], [-half, 15.0]])
    strokes = [
        (
            turned(np.array([[-10.0, 0.0], [10.0, 0.0]]), math.pi / 4 + k * math.pi / 2, (x, 0.0)),
            1.6,
        )
        for x in (-apart / 2, apart / 2)
        for k in range(2)
    ]
    moved = np.array([0.0, 520.0])
    scene.papers.append(
        Paper(ring + moved, PAPERS["white"], [(line + moved, width) for line, width in strokes])
    )
    return scene


def shown(scene: Scene) -> Scene:
    scene.camera = framed(scene.camera, scene.papers)
    return scene


@pytest.mark.parametrize("scene_of", [with_two_marks, with_two_crosses])
def test_a_known_length_is_measured_and_is_no_piece(scene_of) -> None:  # type: ignore[no-untyped-def]
    found = trace_photo(photo_of(shown(scene_of(600.0))), "A4", known=600.0)
    assert found.known is not None
    assert abs(found.known.measured - 600.0) < 1.5
    assert len(found.pieces) == 1


@pytest.mark.parametrize("scene_of", [with_two_marks, with_two_crosses])
def test_a_known_length_that_is_another_is_refused(scene_of) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(UntraceableError, match=r"known length of 600 mm measures 59\d"):
        trace_photo(photo_of(shown(scene_of(592.0))), "A4", known=600.0)


def test_a_known_length_that_is_not_there_is_missed() -> None:
    with pytest.raises(UntraceableError, match="not found"):
        trace_photo(photo_of(good(302).scene), "A4", known=600.0)

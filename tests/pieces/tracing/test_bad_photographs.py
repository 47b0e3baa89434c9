"""Photographs that must not be believed: refused, or measured within their stated error."""

from __future__ import annotations

import numpy as np
import pytest

from pieces.findings import InputError
from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.bad_scenes import KINDS, bad
from tests.pieces.tracing.measuring import lengths_off, matched
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.scenes import good

MAY_BE_MEASURED = {"moved centre", "cut off", "one moved centre"}
"""Four sheets measure a trimmed picture; a step nearer need not cut anything off."""


@pytest.mark.parametrize("kind", KINDS)
def test_no_wrong_scale_is_accepted(kind: str) -> None:
    known = bad(3, kind)
    try:
        found = trace_photo(photo_of(known.known.scene), known.paper)
    except (UntraceableError, InputError):
        return
    assert kind in MAY_BE_MEASURED
    for true, piece, _ in matched([p.outline for p in found.pieces], known.known.rings):
        off = np.abs(lengths_off(found.pieces[piece].outline, known.known.rings[true])).max()
        assert off <= 1.5 * found.pieces[piece].error


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("bent sheet", "does not lie flat|does not fit"),
        ("one wrong paper", "has the shape of|look alike"),
        ("marks printed small", "not printed at 100 %"),
        ("oblique", "degrees from straight above|obliquely"),
        ("touching", "touch or overlap"),
        ("coarse", "too few pixels"),
        ("shaken", "blurred|does not fit"),
    ],
)
def test_a_refusal_says_what_would_help(kind: str, words: str) -> None:
    known = bad(0, kind)
    with pytest.raises(UntraceableError, match=words):
        trace_photo(photo_of(known.known.scene), known.paper)


def test_papers_that_touch_over_ten_centimetres_are_told_by_the_slot_beside() -> None:
    known = bad(13, "touching")
    with pytest.raises(UntraceableError, match="touch or overlap"):
        trace_photo(photo_of(known.known.scene), known.paper)


def test_touching_papers_are_marked_where_they_touch() -> None:
    known = bad(0, "touching")
    with pytest.raises(UntraceableError) as refusal:
        trace_photo(photo_of(known.known.scene), known.paper)
    (place,) = refusal.value.places
    wide, high = known.known.scene.camera.size
    assert 0 < place.at[0] < wide
    assert 0 < place.at[1] < high


def test_one_sheet_is_measured_only_if_it_is_named() -> None:
    with pytest.raises(InputError, match="--paper a4"):
        trace_photo(photo_of(good(206, sheets=1).scene))


def test_a_floor_without_sheets_is_refused() -> None:
    scene = good(303).scene
    scene.papers[:] = scene.papers[4:]
    with pytest.raises(UntraceableError, match="no sheet of A4 or Letter"):
        trace_photo(photo_of(scene))

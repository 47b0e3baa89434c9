"""Checks that match: phases worked out on the cloth from the copies of a plan alone."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fabrics.shelf import find_fabric
from layout.hand import Hand
from pieces.drafting.alter import open_out
from pieces.piece import CutKind, Piece
from plans.plan import Copy, FabricPlan
from tests.plans.demo import demo_plan, garment


def match_point_on_cloth(piece: Piece, whole: bool, copy: Copy) -> tuple[float, float]:
    """Carry the match point along with the outline, from the drawing to the cloth."""
    ring = np.asarray(open_out(piece).outline if whole else piece.outline)
    tail, head = np.asarray(piece.grain)
    grain = math.atan2(head[1] - tail[1], head[0] - tail[0])
    mirrored = copy.hand is Hand.OTHER
    found = []
    # Hands of "either" may come off the cloth mirrored: try both and keep the one that fits.
    for flip in (True,) if mirrored else (False, True) if copy.hand is Hand.EITHER else (False,):
        turn = math.radians(copy.heading_deg)
        undo = np.array([[math.cos(grain), math.sin(grain)], [-math.sin(grain), math.cos(grain)]])
        mirror = np.diag([1.0, -1.0 if flip else 1.0])
        do = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        matrix = do @ mirror @ undo
        placed = ring @ matrix.T
        target = np.asarray(copy.outline)
        shift = target.min(axis=0) - placed.min(axis=0)
        corners = {tuple(np.round(p, 1)) for p in placed + shift}
        if len(corners & {tuple(np.round(p, 1)) for p in target}) > 0.5 * len(corners):
            at = matrix @ np.asarray(piece.match_points[0].at) + shift
            found.append((float(at[0]), float(at[1])))
    assert found
    return found[0]


def phases(entry: FabricPlan) -> list[tuple[str, Hand, float, float]]:
    """Piece, hand, and match point of every copy that must match."""
    pieces = {piece.name: piece for piece in garment("blouse").pieces if piece.match_points}
    result = []
    for placed in entry.placements:
        piece = pieces.get(placed.piece)
        if piece is None:
            continue
        whole = any(cut.kind is CutKind.FOLD for cut in piece.cuts)
        for copy in placed.copies:
            x, y = match_point_on_cloth(piece, whole, copy)
            result.append((piece.name, copy.hand, x, y))
    return result


def apart(a: float, b: float, pitch: float) -> float:
    rest = (a - b) % pitch
    return min(rest, pitch - rest)


@pytest.mark.parametrize("fold", ["open", "lengthwise", "partial"])
def test_match_points_share_their_phase(fold: str) -> None:
    """Lengthwise all alike; across alike for one hand, reflected in the axis for the other.

    Where: centre front and back first, at the stitching line (Successful Sewing, p. 108).
    """
    repeat = find_fabric("demo-check").repeat
    assert repeat is not None
    assert repeat.axis is not None
    entry = demo_plan("blouse", fold).fabrics[0]
    found = phases(entry)
    assert {name for name, *_ in found} == {"front", "back", "sleeve"}
    first = found[0]
    for _, hand, x, y in found:
        assert apart(x, first[2], repeat.along) <= 0.5
        offset = y - repeat.axis if hand is not Hand.OTHER else repeat.axis - y
        # The back lies on the fold with its match point on the axis, so all must.
        assert apart(offset, 0.0, repeat.across) <= 0.5


def test_folds_of_matching_cloth_lie_on_an_axis() -> None:
    """The design is its own mirror image at the fold."""
    repeat = find_fabric("demo-check").repeat
    assert repeat is not None
    assert repeat.axis is not None
    for fold in ("lengthwise", "partial"):
        for section in demo_plan("blouse", fold).fabrics[0].sections:
            assert apart(section.spread.d1, repeat.axis, repeat.across / 2.0) <= 0.5

"""What lies on a piece goes with its cloth: notches, match points, the grain arrow."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pieces.drafting.draft import Draft, Notch, point_along
from pieces.edits.cutting import EditError, Place
from pieces.edits.darts import move_dart
from pieces.edits.facing import facing_draft
from pieces.edits.lines import move_corner
from pieces.edits.parts import join, pleat, split
from pieces.edits.slash import slash
from pieces.edits.whole import whole
from pieces.geometry_types import Point
from pieces.outline import Edge
from pieces.piece import MatchPoint
from pieces.readers.garment_toml import check_garment
from tests.pieces.edits.test_edits import darted, panel


def notched(draft: Draft, edge: str, along: float) -> Draft:
    return replace(draft, notches=(Notch(edge, along, "mark"),))


def notch_of(draft: Draft) -> Point:
    (notch,) = draft.notches
    return point_along(draft.edge(notch.edge), notch.along)


def test_a_notch_beyond_a_pleat_moves_with_its_part() -> None:
    """A pleat 20 mm deep along x = 150: what lies right of it moves by 40 mm."""
    draft = notched(panel(fold="centre"), "hem", 200.0)
    after = pleat(draft, Place("hem", 150.0), Place("shoulder", 150.0), 20.0)
    assert notch_of(after) == pytest.approx((240.0, 0.0))
    before = notched(panel(fold="centre"), "hem", 100.0)
    assert notch_of(pleat(before, Place("hem", 150.0), Place("shoulder", 150.0), 20.0)) == (
        pytest.approx((100.0, 0.0))
    )


def test_a_notch_and_a_match_point_swing_with_a_slashed_part() -> None:
    """Their distances from the pivot and from each other are what they were."""
    match = MatchPoint("check", (250.0, 100.0))
    draft = replace(notched(panel(fold="centre"), "side", 300.0), match_points=(match,))
    pivot = (210.0, 500.0)
    after = slash(draft, Place("hem", 150.0), Place("shoulder", 90.0), 50.0)
    notch, (moved,) = notch_of(after), after.match_points
    for old, new in (((300.0, 300.0), notch), (match.at, moved.at)):
        assert abs(complex(*new) - complex(*pivot)) == pytest.approx(
            abs(complex(*old) - complex(*pivot))
        )
        assert abs(complex(*new) - complex(*old)) > 10.0
    assert abs(complex(*notch) - complex(*moved.at)) == pytest.approx(
        abs(complex(300, 300) - complex(*match.at))
    )


def test_a_notch_on_what_is_cut_off_goes_and_the_other_keeps_its_place() -> None:
    """The side is cut at 200 mm: a notch at 300 mm lies 100 mm up the upper part."""
    places = Place("side", 200.0), Place("centre", 200.0)
    draft = notched(panel(), "side", 300.0)
    upper = split(draft, *places, "neck", "seam", None)
    assert notch_of(upper) == pytest.approx((300.0, 300.0))
    assert split(draft, *places, "hem", "seam", None).notches == ()
    again = join(split(draft, *places, "hem", "seam", None), "seam", upper, "seam")
    assert notch_of(again) == pytest.approx((300.0, 300.0))


def test_a_notch_stays_where_it_is_when_a_corner_is_dropped() -> None:
    """The side begins 100 mm higher; the notch 300 mm up it is as high as before."""
    draft = notched(panel(), "side", 300.0)
    assert notch_of(move_corner(draft, "hem", "side", 100.0)) == pytest.approx((300.0, 300.0))


def test_a_notch_beyond_a_moved_dart_bears_the_name_of_its_part() -> None:
    """The upper part of the side is an edge of its own then."""
    draft = notched(darted(), "side", 300.0)
    after = move_dart(draft, ("dart in", "dart out"), Place("side", 180.0))
    (notch,) = after.notches
    assert notch.edge == "side beyond"
    assert notch.along == pytest.approx(120.0)


def test_without_a_fold_the_larger_part_and_its_grain_stay() -> None:
    """A dart moved to the top swings the smaller part; the arrow lies in the larger."""
    draft = replace(darted(), fold=None)
    after = move_dart(draft, ("dart in", "dart out"), Place("top", 200.0))
    assert after.edge("side") == draft.edge("side")
    assert after.grain != draft.grain
    right = replace(draft, grain=((220.0, 100.0), (220.0, 300.0)))
    assert move_dart(right, ("dart in", "dart out"), Place("top", 200.0)).grain == right.grain


def test_a_facing_runs_the_way_its_piece_does() -> None:
    """A notch 30 mm along the neck lies at the same point on both."""
    for draft in (panel(), panel(clockwise=True)):
        with_notch = notched(draft, "neck", 30.0)
        assert notch_of(facing_draft(with_notch, "neck", 50.0)) == pytest.approx(
            notch_of(with_notch), abs=0.2
        )


def test_a_hem_of_what_is_joined_stays_turned_up() -> None:
    """Of both pieces."""
    draft = replace(panel(), turned_up=frozenset({"hem"}))
    places = Place("side", 200.0), Place("centre", 200.0)
    lower = split(draft, *places, "hem", "seam", None)
    upper = split(draft, *places, "neck", "seam", None)
    assert join(upper, "seam", lower, "seam").turned_up == {"hem"}


@pytest.mark.parametrize(
    ("edges", "reason"),
    [
        ((Edge("a", ((0, 0), (9, 0))), Edge("a", ((9, 0), (9, 9))), Edge("b", ((9, 9), (0, 0)))),
         "two edges named 'a'"),
        ((Edge("a", ((0, 0), (9, 0))), Edge("b", ((99, 0), (9, 9))),
          Edge("centre", ((9, 9), (0, 0)))),
         "'a' and 'b' come apart by 9 cm"),
        ((Edge("a", ((0, 0), (9, 0))), Edge("b", ((9, 0), (9, 9))), Edge("c", ((9, 9), (0, 0)))),
         "'centre' lies on the fold, and would be gone"),
    ],
)  # fmt: skip
def test_what_is_no_whole_is_refused(edges: tuple[Edge, ...], reason: str) -> None:
    draft = panel(fold="centre")
    with pytest.raises(EditError, match=reason):
        whole(draft, replace(draft, edges=edges))


def test_a_name_with_braces_is_a_name(tmp_path: Path) -> None:
    """And a notch at the fold end of an edge is half a notch, not a fault."""
    path = tmp_path / "g.toml"
    path.write_text(
        """
title = "t"
units = "cm"
[[piece]]
name = "front"
cut = "1 on fold"
drawn = "net"
allowance = "1 cm"
fold = "centre"
grain = "up"
edges = [
  { name = "h{m}{}", to = [20, 0] },
  { name = "side", to = [20, 40] },
  { name = "waist", to = [0, 40] },
  { name = "centre", to = [0, 0] },
]
notches = [{ edge = "waist", at = "end" }]
edits = [{ ease = "h{m}{}", by = "9 cm" }]
""",
        encoding="utf-8",
    )
    (finding,) = check_garment(path)
    assert finding.message == "'h{m}{}' is 20 cm long and takes up to 4 cm of ease"
    path.write_text(path.read_text(encoding="utf-8").replace("9 cm", "1 cm"), encoding="utf-8")
    assert check_garment(path) == []


def test_a_tuck_that_reaches_into_a_corner_is_refused(tmp_path: Path) -> None:
    """As `shorten` at a line, and as an edit: the hem and the side would come apart."""
    path = tmp_path / "g.toml"
    text = """
title = "t"
units = "cm"
[[piece]]
name = "front"
cut = "2"
drawn = "net"
allowance = "1 cm"
grain = "up"
edges = [
  { name = "hem", to = [30, 6] },
  { name = "side", to = [20, 40] },
  { name = "waist", to = [0, 40] },
  { name = "centre", to = [0, 0] },
]
"""
    for line in (
        'shorten = { line = [10, 8], by = "5 cm" }',
        'edits = [{ shorten = [10, 8], by = "5 cm" }]',
    ):
        path.write_text(text + line, encoding="utf-8")
        (finding,) = check_garment(path)
        assert "come apart by" in finding.message

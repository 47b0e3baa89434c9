"""Spreads: every ply an isometry, the worked widths of the design, faces out turns all over."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fabrics.fold_words import how_to_fold, taught_name
from fabrics.folds.tape import fold_tape, foldable_below, foldable_depth
from fabrics.spread import Faces, Fold, Spread, SpreadError, make_spread
from pieces.lengths import System


@st.composite
def spreads(draw: st.DrawFn) -> Spread:
    """Any spread of cloth 300 to 3000 mm wide."""
    width = draw(st.floats(300.0, 3000.0))
    selvage = draw(st.floats(0.0, 30.0))
    fold = draw(st.sampled_from([f for f in Fold if f is not Fold.SECTIONED]))
    faces = draw(st.sampled_from(list(Faces)))
    share = draw(st.floats(0.05, 0.45))
    other = draw(st.floats(0.02, 0.5 - share))
    d1 = max(width * share, 31.0) if fold in (Fold.PARTIAL, Fold.DOUBLE) else None
    d2 = max(width * other, 31.0) if fold is Fold.DOUBLE else None
    assume((d1 or 0.0) + (d2 or 0.0) < 0.499 * width)
    return make_spread(fold, width, selvage, d1, d2, faces)


@given(spreads(), st.floats(100.0, 5000.0), st.floats(0.0, 5000.0))
def test_every_ply_is_an_isometry_with_an_inverse(
    spread: Spread, length: float, start: float
) -> None:
    """Distances are kept on the way to the cloth, and the way back undoes it."""
    rng = np.random.default_rng(1)
    points = rng.uniform(0.0, 1000.0, (8, 2))
    for ply in spread.plies:
        cloth = ply.to_cloth(points, length, start)
        assert np.allclose(
            np.hypot(*(cloth[1:] - cloth[:-1]).T), np.hypot(*(points[1:] - points[:-1]).T)
        )
        assert np.allclose(ply.from_cloth(cloth, length, start), points)


@given(spreads(), st.floats(0.0, 360.0))
def test_headings_follow_the_isometry(spread: Spread, heading: float) -> None:
    """The heading on the cloth is that of a mapped arrow."""
    arrow = np.array(
        [[0.0, 0.0], [math.cos(math.radians(heading)), math.sin(math.radians(heading))]]
    )
    for ply in spread.plies:
        a, b = ply.to_cloth(arrow, 1000.0)
        angle = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        assert abs((ply.heading_on_cloth(heading) - angle + 180.0) % 360.0 - 180.0) < 1e-6


@given(spreads())
def test_faces_out_turn_every_ply_over(spread: Spread) -> None:
    """Right sides out swaps up and down on every ply, and covers the same cloth."""
    if spread.faces is Faces.OUT:
        return
    given_depths = spread.fold in (Fold.PARTIAL, Fold.DOUBLE)
    out = make_spread(
        spread.fold,
        spread.width,
        spread.selvage,
        spread.d1 if given_depths else None,
        spread.d2 if spread.fold is Fold.DOUBLE else None,
        Faces.OUT,
    )
    for one, other in zip(spread.plies, out.plies, strict=True):
        assert one.face_up != other.face_up
        spans = []
        for ply in (one, other):
            ends = np.array([[0.0, ply.y_from], [0.0, ply.y_to]])
            spans.append(sorted(ply.to_cloth(ends, 100.0)[:, 1].tolist()))
        assert spans[0] == pytest.approx(spans[1], abs=1e-6)


@given(spreads(), st.floats(0.0, 1.0))
def test_zones_are_clear_of_selvages_and_covered_strips(spread: Spread, share: float) -> None:
    """In a zone exactly its plies lie, and all of them are usable cloth."""
    for zone in spread.zones:
        y = zone.y_from + share * zone.height
        there = [
            k for k, ply in enumerate(spread.plies) if ply.y_from - 1e-9 <= y <= ply.y_to + 1e-9
        ]
        if 1e-6 < share < 1 - 1e-6:
            assert there == sorted(zone.plies)
        for k in zone.plies:
            at = float(spread.plies[k].to_cloth(np.array([[0.0, y]]), 100.0)[0, 1])
            assert spread.selvage - 1e-6 <= at <= spread.width - spread.selvage + 1e-6


@given(spreads())
def test_fold_edges_are_where_two_plies_meet(spread: Spread) -> None:
    """Both plies map the fold line to the same line of the cloth."""
    for edge in spread.fold_edges:
        line = np.array([[40.0, edge.at], [90.0, edge.at]] if edge.along else [[edge.at, 5.0]])
        one, other = (spread.plies[k].to_cloth(line, 700.0) for k in edge.plies)
        assert np.allclose(one, other)


@pytest.mark.parametrize(
    ("d1", "d2", "double", "single", "dead"),
    [
        (750, 0, 735, 0, 15),
        (400, 0, 385, 685, 15),
        (375, 375, 720, 0, 30),
        (200, 300, 470, 500, 30),
    ],
)
def test_worked_widths(d1: float, d2: float, double: float, single: float, dead: float) -> None:
    """Usable double-ply, single-ply and dead widths worked in the design (W 1500, s 15)."""
    fold = Fold.LENGTHWISE if d1 == 750 else Fold.DOUBLE if d2 else Fold.PARTIAL
    given_depths = fold is not Fold.LENGTHWISE
    spread = make_spread(
        fold, 1500, 15, d1 if given_depths else None, d2 if fold is Fold.DOUBLE else None
    )
    widths = dict.fromkeys((1, 2), 0.0)
    for zone in spread.zones:
        widths[len(zone.plies)] += zone.height
    assert widths == {2: pytest.approx(double), 1: pytest.approx(single)}
    # A far edge that is not folded keeps its plain selvage, which the design does not call dead.
    plain = 15 if fold is Fold.PARTIAL else 0
    assert spread.lay_height - sum(widths.values()) - plain == pytest.approx(dead)


def test_turned_upper_ply_keeps_the_nap() -> None:
    """Half a turn in its own plane: the heads agree, the upper ply still lies right side down."""
    spread = make_spread(Fold.TURNED, 1400, 10)
    assert spread.heads_alike
    assert [ply.face_up for ply in spread.plies] == [True, False]
    assert spread.fold_edges == ()
    assert not make_spread(Fold.CROSSWISE, 1400, 10).heads_alike


@pytest.mark.parametrize(
    ("fold", "d1", "d2"),
    [(Fold.PARTIAL, None, None), (Fold.PARTIAL, 800, None), (Fold.DOUBLE, 400, 400),
     (Fold.DOUBLE, -1, 300), (Fold.SECTIONED, None, None)],
)  # fmt: skip
def test_impossible_depths_are_refused(fold: Fold, d1: float | None, d2: float | None) -> None:
    """Depths that do not suit the fold, with the figures."""
    with pytest.raises(SpreadError):
        make_spread(fold, 1500, 15, d1, d2)


def test_folds_within_the_selvage_are_refused() -> None:
    """A flap that is all selvage gives no double cloth."""
    for fold, d1, d2 in ((Fold.PARTIAL, 15.0, None), (Fold.DOUBLE, 300.0, 7.0)):
        with pytest.raises(SpreadError, match="no deeper than the selvage"):
            make_spread(fold, 1500, 15, d1, d2)


def test_selvages_wider_than_the_cloth_are_refused() -> None:
    """Nothing usable is no spread."""
    with pytest.raises(SpreadError, match="leave nothing"):
        make_spread(Fold.OPEN, 1000, 500)


@given(st.floats(10.0, 900.0))
def test_depths_are_rounded_to_what_a_person_can_fold(depth: float) -> None:
    """Steps of 5 mm or 1/4 in, whichever comes next, never less (or more) than asked for."""
    for rounded, out in ((foldable_depth(depth), 1), (foldable_below(depth), -1)):
        assert -1e-6 <= out * (rounded - depth) < 5.0
        assert any(rounded / step == pytest.approx(round(rounded / step)) for step in (5.0, 6.35))


def test_a_depth_of_the_other_tape_is_said_on_both() -> None:
    """A fold at 63 cm is 24 13/16 in to an inch tape only about: the centimetres stand beside."""
    assert fold_tape(630.0, System.METRIC) == "63 cm"
    assert fold_tape(630.0, System.IMPERIAL) == "24 13/16 in (63 cm)"
    assert fold_tape(25.25 * 25.4, System.IMPERIAL) == "25 1/4 in"
    assert fold_tape(25.25 * 25.4, System.METRIC) == "64.1 cm (25 1/4 in)"
    assert fold_tape(350.0 / 1.01, System.METRIC) == "34.7 cm"


def test_every_fold_can_say_how_to_make_it() -> None:
    """A sentence with figures; faces out is said."""
    for fold in Fold:
        assert taught_name(fold)
        if fold is Fold.SECTIONED:
            continue
        d1 = 315.0 if fold is Fold.PARTIAL else None
        words = how_to_fold(make_spread(fold, 1400, 10, d1, faces=Faces.OUT), System.METRIC)
        assert words.endswith(".")
        assert "right sides out" in words or fold is Fold.OPEN
    partial = make_spread(Fold.PARTIAL, 1400, 10, 315.0)
    assert "fold one selvage in by 31.5 cm" in how_to_fold(partial, System.METRIC)
    assert "12 3/8 in" in how_to_fold(partial, System.IMPERIAL)

"""Pieces made from others: shortened, lengthened, mirrored, opened out, split."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pieces.drafting.alter import mirror_draft, move_edge, move_line, open_out
from pieces.drafting.draft import Draft, make_piece
from pieces.drafting.strips import split_strip, strip_draft
from pieces.drafting.symmetry import is_self_mirror, mirror_turns
from pieces.lengths import System
from pieces.outline import Edge, OutlineError, ring_of, signed_area, smooth_curve
from pieces.piece import Cut, CutKind, Joining, Side
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment

SKIRT = Draft(
    name="skirt",
    edges=(
        Edge("hem", ((0.0, 0.0), (300.0, 0.0))),
        Edge("side", ((300.0, 0.0), (200.0, 600.0))),
        Edge("waist", smooth_curve(((200.0, 600.0), (100.0, 590.0), (0.0, 588.0)))),
        Edge("centre", ((0.0, 588.0), (0.0, 0.0))),
    ),
    grain=((100.0, 100.0), (100.0, 500.0)),
    fold="centre",
    cuts=(Cut("main", CutKind.FOLD, 1),),
)


def test_overlay_is_the_base_shortened_with_every_other_edge_unchanged() -> None:
    """Shortening moves the hem along the grain and trims only its neighbours.

    Common practice, no source.
    """
    short = move_edge(SKIRT, "hem", -70.0)
    assert short.edge("waist") == SKIRT.edge("waist")
    assert short.edge("hem").points[0] == pytest.approx((0.0, 70.0))
    assert short.edge("hem").points[-1][1] == pytest.approx(70.0)
    assert short.edge("hem").points[-1][0] == pytest.approx(300.0 - 70.0 / 6.0)
    cut_away = Polygon(ring_of(SKIRT.edges)).difference(Polygon(ring_of(short.edges)))
    assert cut_away.buffer(-1e-3).bounds[3] == pytest.approx(70.0, abs=0.01)


@given(st.floats(5.0, 300.0))
def test_lengthening_undoes_shortening(by: float) -> None:
    """Edges that were trimmed are extended back to where they were."""
    back = move_edge(move_edge(SKIRT, "hem", -by), "hem", by)
    assert signed_area(ring_of(back.edges)) == pytest.approx(signed_area(ring_of(SKIRT.edges)))


@given(st.floats(5.0, 150.0))
def test_lengthening_at_a_line_adds_a_band(by: float) -> None:
    """Cut apart across the grain, the piece gains its width there times the length."""
    longer = move_line(SKIRT, (0.0, 300.0), by)
    width = 300.0 - 300.0 / 6.0
    gained = signed_area(ring_of(longer.edges)) - signed_area(ring_of(SKIRT.edges))
    assert gained == pytest.approx(width * by, rel=1e-9)
    assert not Polygon(ring_of(move_line(SKIRT, (0.0, 300.0), -by).edges)).is_empty


def test_unknown_edges_are_named() -> None:
    """The error lists the edges there are."""
    with pytest.raises(OutlineError, match="hem, side, waist, centre"):
        move_edge(SKIRT, "neck", -10.0)


def test_an_edge_that_is_not_there_is_a_key_error() -> None:
    """Never a StopIteration, which a loop around it would take for its own end."""
    with pytest.raises(KeyError, match="collar"):
        SKIRT.edge("collar")


def test_opening_out_doubles_a_half() -> None:
    """The whole is symmetric about the fold, twice the half, and its own mirror image."""
    piece = make_piece(SKIRT)
    whole = open_out(piece)
    assert whole.fold is None
    assert signed_area(whole.outline) == pytest.approx(2 * signed_area(piece.outline))
    assert is_self_mirror(whole)
    assert not is_self_mirror(piece)


def test_mirroring_twice_is_nothing() -> None:
    """A mirrored draft is of the other hand; mirrored again it is itself."""
    assert mirror_draft(SKIRT).drawn_hand is None
    other = mirror_draft(replace(SKIRT, drawn_hand=Side.RIGHT))
    assert other.drawn_hand is Side.LEFT
    again = mirror_draft(other)
    assert again.drawn_hand is Side.RIGHT
    assert ring_of(again.edges)[1] == pytest.approx(ring_of(SKIRT.edges)[1])


def test_net_strip_is_cut_larger_all_round() -> None:
    """A net strip l x w with allowance a is cut (l + 2a) x (w + 2a); common practice, no source."""
    piece = make_piece(strip_draft("strap", 203.2, 30.0, allowance=10.0))
    x1, y1, x2, y2 = Polygon(piece.outline).bounds
    assert (x2 - x1, y2 - y1) == pytest.approx((223.2, 50.0))


def test_bias_strip_is_alike_both_ways_after_a_quarter_turn() -> None:
    """A straight strip is symmetric about its own length, whichever way its grain is laid."""
    piece = make_piece(strip_draft("binding", 500.0, 40.0, bias=True))
    assert 0.0 in mirror_turns(piece)


@given(st.integers(2, 6), st.floats(0.0, 15.0))
def test_joined_parts_make_up_the_strip(parts: int, allowance: float) -> None:
    """Parts less their joins add up to the strip, and end on the straight grain if so asked."""
    draft = strip_draft("binding", 1200.0, 32.0, bias=True)
    piece = make_piece(
        Draft(
            **{
                **draft.__dict__,
                "joining": Joining(100.0, allowance, on_grain=True),
            }
        )
    )
    made = split_strip(piece, parts)
    lengths = [part.strip[0] for part in made if part.strip]
    assert sum(lengths) - 2 * allowance * (parts - 1) == pytest.approx(1200.0)
    (x1, y1), (x2, y2) = made[0].outline[0], made[0].outline[-1]
    assert math.degrees(math.atan2(y2 - y1, x2 - x1)) == pytest.approx(45.0)
    assert signed_area(made[0].outline) == pytest.approx(lengths[0] * 32.0)


def test_parts_shorter_than_permitted_are_refused() -> None:
    """The least length of a part is kept."""
    draft = strip_draft("tie", 300.0, 30.0)
    piece = make_piece(Draft(**{**draft.__dict__, "joining": Joining(200.0, 10.0)}))
    with pytest.raises(OutlineError, match="shorter than permitted"):
        split_strip(piece, 2)


def test_a_change_is_told_in_the_units_that_figures_are_shown_in() -> None:
    """Whatever unit the file is written in."""
    overlay = next(
        p for p in load_garment(find_garment("layered-top")).pieces if p.name == "overlay front"
    )
    assert [n.words(System.METRIC) for n in overlay.notes] == ["shortened by 7 cm at hem"]
    assert [n.words(System.IMPERIAL) for n in overlay.notes] == ["shortened by 2 3/4 in at hem"]

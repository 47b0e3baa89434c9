"""Notches: outward, square to the edge that they are on, at its very ends too."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import Point, Polygon

from pieces.drafting.alter import open_out
from pieces.drafting.draft import Draft, Notch, make_piece, notch_feet
from pieces.drafting.notches import Foot, add_notches
from pieces.geometry_types import Point as Place
from pieces.geometry_types import Ring
from tests.pieces.drafting.test_allowance import edges

BOX = edges((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0))


def draft(*notches: tuple[str, float], **changes: object) -> Draft:
    """A box with notches on its edges: bottom, right, top and left are "0" to "3"."""
    made = Draft("box", BOX, ((50.0, 10.0), (50.0, 40.0)), net=True, allowance=10.0)
    marks = tuple(Notch(edge, along) for edge, along in notches)
    return replace(made, notches=marks, **changes)  # type: ignore[arg-type]


def added(one: Draft) -> Polygon:
    """What notches add to the cutting line."""
    plain = make_piece(replace(one, notches=())).outline
    return Polygon(make_piece(one).outline).difference(Polygon(plain))


def feet(one: Draft) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Places and outward directions, in hundredths."""
    ring = make_piece(replace(one, notches=())).outline
    return [(hundredths(foot.at), hundredths(foot.out)) for foot in notch_feet(one, ring)]


def hundredths(place: tuple[float, float]) -> tuple[float, float]:
    return round(place[0], 2), round(place[1], 2)


def test_notches_stand_outward_on_the_cut_outline() -> None:
    """A notch adds to the outline and takes nothing from it."""
    ring: Ring = ((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0))
    notched = Polygon(add_notches(ring, (Foot((40.0, 0.0), (0.0, -1.0)),)))
    assert notched.contains(Polygon(ring))
    assert notched.bounds[1] == pytest.approx(-5.0)


@pytest.mark.parametrize("clockwise", [False, True])
@pytest.mark.parametrize(
    ("edge", "along", "at", "out"),
    [
        ("0", 0.0, (0.0, -10.0), (0.0, -1.0)),
        ("0", 100.0, (100.0, -10.0), (0.0, -1.0)),
        ("1", 0.0, (110.0, 0.0), (1.0, 0.0)),
        ("3", 50.0, (-10.0, 0.0), (-1.0, 0.0)),
    ],
)
def test_at_the_ends_of_an_edge_a_notch_is_its_own(
    edge: str, along: float, at: Place, out: Place, clockwise: bool
) -> None:
    """Not the other edge's of that corner, whichever way round the piece was drawn."""
    one = draft((edge, along))
    if clockwise:
        length = one.edge(edge).length
        turned = tuple(replace(e, points=e.points[::-1]) for e in reversed(BOX))
        one = replace(one, edges=turned, notches=(Notch(edge, length - along),))
    assert feet(one) == [(at, out)]
    top = Point(at[0] + 4.9 * out[0], at[1] + 4.9 * out[1])
    assert added(one).buffer(1e-6).contains(top)
    assert added(one).area == pytest.approx(20.0)


def test_a_narrow_allowance_beside_does_not_draw_a_notch_away() -> None:
    """A hem of 40 mm beside sides of 10: notches on it stand 40 mm down, near the corner too."""
    one = draft(("0", 5.0), ("0", 0.0), ("0", 50.0), allowances={"0": 40.0})
    assert [at for at, _ in feet(one)] == [(5.0, -40.0), (0.0, -40.0), (50.0, -40.0)]


def test_without_allowance_half_a_notch_stands_at_a_corner() -> None:
    """On its own edge, with its highest point square above the corner."""
    one = draft(("0", 0.0), net=False, allowance=0.0)
    assert feet(one) == [((0.0, 0.0), (0.0, -1.0))]
    assert added(one).bounds == pytest.approx((0.0, -5.0, 4.0, 0.0), abs=1e-6)


def test_a_notch_where_the_fold_begins_is_whole_when_opened_out() -> None:
    """It stands on the cutting line of its edge, half of it on either side of the fold."""
    one = draft(("0", 0.0), fold="3")
    assert feet(one) == [((0.0, -10.0), (0.0, -1.0))]
    half = added(one)
    assert half.bounds == pytest.approx((0.0, -15.0, 4.0, -10.0), abs=1e-6)
    whole = Polygon(open_out(make_piece(one)).outline)
    assert whole.bounds[1] == pytest.approx(-15.0)
    assert whole.intersection(Polygon([(-9, -16), (9, -16), (9, -10), (-9, -10)])).area == (
        pytest.approx(20.0, abs=1e-3)
    )

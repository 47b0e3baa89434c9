"""Edits against closed forms: rotations, parallelograms, areas that stay, lengths that grow."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from pieces.drafting.alter import move_line
from pieces.drafting.draft import Draft
from pieces.edits.cutting import EditError, Place, cut_apart, point_at
from pieces.edits.darts import move_dart
from pieces.edits.facing import INNER, facing_draft
from pieces.edits.lines import ease_edge, move_corner, true_edge
from pieces.edits.parts import join, pleat, split
from pieces.edits.sides import true_sides
from pieces.edits.slash import slash
from pieces.outline import Edge, ring_of, smooth_curve

WIDE, HIGH = 300.0, 500.0


def panel(*, clockwise: bool = False, fold: str | None = None) -> Draft:
    """A rectangle of 300 x 500 mm with a hollow neck at its upper left corner."""
    neck = smooth_curve(((120.0, 500.0), (60.0, 430.0), (0.0, 400.0)), (-0.3, -0.954), (-1.0, 0.0))
    edges: tuple[Edge, ...] = (
        Edge("hem", ((0.0, 0.0), (WIDE, 0.0))),
        Edge("side", ((WIDE, 0.0), (WIDE, HIGH))),
        Edge("shoulder", ((WIDE, HIGH), (120.0, HIGH))),
        Edge("neck", neck),
        Edge("centre", ((0.0, 400.0), (0.0, 0.0))),
    )
    if clockwise:
        edges = tuple(Edge(e.name, e.points[::-1]) for e in reversed(edges))
    return Draft("panel", edges, ((150.0, 100.0), (150.0, 300.0)), net=True, fold=fold)


def darted() -> Draft:
    """A panel whose hem has a dart 30 mm wide and 200 deep."""
    edges = (
        Edge("hem in", ((0.0, 0.0), (120.0, 0.0))),
        Edge("dart in", ((120.0, 0.0), (135.0, 200.0))),
        Edge("dart out", ((135.0, 200.0), (150.0, 0.0))),
        Edge("hem out", ((150.0, 0.0), (WIDE, 0.0))),
        Edge("side", ((WIDE, 0.0), (WIDE, HIGH))),
        Edge("top", ((WIDE, HIGH), (0.0, HIGH))),
        Edge("centre", ((0.0, HIGH), (0.0, 0.0))),
    )
    return Draft("darted", edges, ((60.0, 100.0), (60.0, 300.0)), net=True, fold="centre")


def area(draft: Draft) -> float:
    return float(Polygon(ring_of(draft.edges)).area)


def closed(draft: Draft) -> bool:
    """Whether every edge begins where the one before it ends."""
    ends = zip(draft.edges, (*draft.edges[1:], draft.edges[0]), strict=True)
    return all(math.dist(a.points[-1], b.points[0]) < 1e-6 for a, b in ends)


@settings(max_examples=60, deadline=None)
@given(
    along=st.floats(40.0, 260.0),
    to=st.floats(60.0, 440.0),
    by=st.floats(1.0, 60.0),
    clockwise=st.booleans(),
)
def test_spreading_opens_the_edge_by_so_much_and_turns_the_rest_rigidly(
    along: float, to: float, by: float, clockwise: bool
) -> None:
    """The wedge of a chord: area by/2 * sqrt(r^2 - by^2/4), r being the length of the cut."""
    draft = panel(clockwise=clockwise)
    start, pivot = Place("hem", along), Place("side", to)
    radius = math.dist(point_at(draft.edges, start), point_at(draft.edges, pivot))
    after = slash(draft, start, pivot, by)
    assert closed(after)
    assert after.edge_names == draft.edge_names
    wedge = by / 2.0 * math.sqrt(radius**2 - by**2 / 4.0)
    assert area(after) == pytest.approx(area(draft) + wedge, abs=1e-3)
    assert after.edge("hem").length == pytest.approx(draft.edge("hem").length + by, abs=1e-6)
    assert after.edge("side").length == pytest.approx(draft.edge("side").length, abs=1e-6)
    assert after.edge("shoulder").length == pytest.approx(180.0, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(along=st.floats(100.0, 200.0), by=st.floats(1.0, 25.0))
def test_overlapping_shortens_the_edge_and_keeps_the_others(along: float, by: float) -> None:
    """The swung corner lies where the rotation takes it; the hem is shorter by at most that."""
    draft = panel(fold="centre")
    after = slash(draft, Place("hem", along), Place("shoulder", 60.0), -by)
    assert closed(after)
    pivot = point_at(draft.edges, Place("shoulder", 60.0))
    angle = -2.0 * math.asin(by / (2.0 * math.dist(pivot, (along, 0.0))))
    dx, dy = WIDE - pivot[0], 0.0 - pivot[1]
    corner = (
        pivot[0] + math.cos(angle) * dx - math.sin(angle) * dy,
        pivot[1] + math.sin(angle) * dx + math.cos(angle) * dy,
    )
    assert after.edge("side").points[0] == pytest.approx(corner)
    assert WIDE - by - 0.5 <= after.edge("hem").length < WIDE
    assert after.edge("side").length == pytest.approx(HIGH, abs=1e-6)
    assert after.edge("centre") == draft.edge("centre")  # The fold keeps its place.
    assert area(after) < area(draft)


@settings(max_examples=40, deadline=None)
@given(by=st.floats(-80.0, 300.0))
def test_a_corner_moves_along_its_edge_by_exactly_so_much(by: float) -> None:
    """The other end stays, and the neck arrives at the centre as square as it did."""
    draft = panel()
    after = move_corner(draft, "neck", "centre", by)
    assert closed(after)
    assert after.edge("centre").points[0] == pytest.approx((0.0, 400.0 - by))
    assert after.edge("neck").points[0] == draft.edge("neck").points[0]
    (x, y), end = after.edge("neck").points[-2:]
    slope = abs(math.degrees(math.atan2(end[1] - y, end[0] - x))) - 180.0
    assert abs(slope) < 12.0


def test_a_moved_dart_keeps_its_angle_and_the_cloth_its_area() -> None:
    """From hem to side: the legs are equal and longer or shorter, their angle is what it was."""
    draft = darted()
    after = move_dart(draft, ("dart in", "dart out"), Place("side", 180.0))
    assert closed(after)
    assert area(after) == pytest.approx(area(draft), abs=1e-6)
    legs = after.edge("dart in"), after.edge("dart out")
    assert legs[0].length == pytest.approx(legs[1].length, abs=1e-9)
    old = Polygon([(120, 0), (135, 200), (150, 0)])
    new = [legs[0].points[0], legs[0].points[-1], legs[1].points[-1]]

    def angle(a: tuple[float, ...], apex: tuple[float, ...], b: tuple[float, ...]) -> float:
        one = math.atan2(a[1] - apex[1], a[0] - apex[0])
        two = math.atan2(b[1] - apex[1], b[0] - apex[0])
        return abs((one - two + math.pi) % (2 * math.pi) - math.pi)

    corners = list(old.exterior.coords)
    assert angle(new[0], new[1], new[2]) == pytest.approx(angle(*corners[:3]), abs=1e-9)
    assert after.edge("side").length + after.edge("side beyond").length == pytest.approx(HIGH)
    assert after.edge("centre") == draft.edge("centre")
    back = move_dart(after, ("dart in", "dart out"), Place("hem out", 0.5))
    assert area(back) == pytest.approx(area(draft), abs=1e-6)


def test_a_closed_dart_opens_into_the_edge() -> None:
    """The hem comes together without a gap; the side is longer by the chord at its place."""
    draft = darted()
    after = move_dart(draft, ("dart in", "dart out"), Place("side", 180.0), closed=True)
    assert closed(after)
    assert "dart in" not in after.edge_names
    angle = 2.0 * math.atan2(15.0, 200.0)
    radius = math.dist((135.0, 200.0), (WIDE, 180.0))
    chord = 2.0 * radius * math.sin(angle / 2.0)
    assert after.edge("side").length == pytest.approx(HIGH + chord, abs=1e-6)
    wedge = radius**2 * math.sin(angle) / 2.0
    assert area(after) == pytest.approx(area(draft) + wedge, abs=1e-3)


@settings(max_examples=40, deadline=None)
@given(a=st.floats(20.0, 480.0), b=st.floats(20.0, 380.0), clockwise=st.booleans())
def test_what_is_split_and_joined_again_is_what_it_was(a: float, b: float, clockwise: bool) -> None:
    """Both parts together have the area of the whole; joined they are the whole."""
    draft = panel(clockwise=clockwise)
    places = Place("side", a), Place("centre", b)
    lower = split(draft, *places, "hem", "seam", 15.0)
    upper = split(draft, *places, "neck", "seam", 15.0)
    assert closed(lower)
    assert closed(upper)
    assert lower.allowances["seam"] == 15.0
    assert area(lower) + area(upper) == pytest.approx(area(draft), abs=1e-6)
    again = join(lower, "seam", upper, "seam")
    assert closed(again)
    whole, made = Polygon(ring_of(draft.edges)), Polygon(ring_of(again.edges))
    assert made.symmetric_difference(whole).area < 1e-3
    assert set(again.edge_names) == set(draft.edge_names)


@settings(max_examples=40, deadline=None)
@given(at=st.floats(50.0, 250.0), depth=st.floats(2.0, 60.0), clockwise=st.booleans())
def test_a_pleat_takes_twice_its_depth(at: float, depth: float, clockwise: bool) -> None:
    """A parallelogram of the length of the line and twice the depth is put in."""
    draft = panel(clockwise=clockwise)
    hem = at if not clockwise else WIDE - at
    shoulder = 90.0
    start, end = Place("hem", hem), Place("shoulder", shoulder)
    line = math.dist(point_at(draft.edges, start), point_at(draft.edges, end))
    after = pleat(draft, start, end, depth)
    assert closed(after)
    assert area(after) == pytest.approx(area(draft) + 2.0 * depth * line, abs=1e-3)


@settings(max_examples=30, deadline=None)
@given(by=st.floats(1.0, 60.0), name=st.sampled_from(["side", "hem", "neck"]))
def test_ease_makes_an_edge_longer_by_so_much_between_the_same_ends(by: float, name: str) -> None:
    """Within a hundredth of a millimetre, outward."""
    draft = panel()
    by = min(by, 0.19 * draft.edge(name).length)
    after = ease_edge(draft, name, by)
    old, new = draft.edge(name), after.edge(name)
    assert new.length == pytest.approx(old.length + by, abs=0.01)
    assert (new.points[0], new.points[-1]) == (old.points[0], old.points[-1])
    assert area(after) > area(draft)


def test_truing_smooths_a_kink_and_keeps_the_ends() -> None:
    """After a spread the hem has two corners; trued it turns by small steps only."""
    kinked = slash(panel(), Place("hem", 150.0), Place("shoulder", 90.0), 40.0)
    after = true_edge(kinked, "hem")
    old, new = kinked.edge("hem"), after.edge("hem")
    assert (new.points[0], new.points[-1]) == (old.points[0], old.points[-1])

    def sharpest(edge: Edge) -> float:
        ways = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in itertools.pairwise(edge.points)]
        return max(abs((q - p + math.pi) % (2 * math.pi) - math.pi)
                   for p, q in itertools.pairwise(ways))  # fmt: skip

    assert math.degrees(sharpest(old)) > 2.0
    assert math.degrees(sharpest(new)) < math.degrees(sharpest(old)) / 2.0


@pytest.mark.parametrize("by", [60.0, -60.0])
def test_sides_are_trued_after_a_change_at_a_line(by: float) -> None:
    """A slanted side stays straight from end to end; the centre along the grain stays as it is."""
    edges = (
        Edge("hem", ((0.0, 0.0), (300.0, 0.0))),
        Edge("side", ((300.0, 0.0), (200.0, 500.0))),
        Edge("top", ((200.0, 500.0), (0.0, 500.0))),
        Edge("centre", ((0.0, 500.0), (0.0, 0.0))),
    )
    draft = Draft("flared", edges, ((100.0, 100.0), (100.0, 300.0)), net=True)
    after = true_sides(draft, move_line(draft, (100.0, 250.0), by))
    assert len(after.edge("side").points) == 2
    assert after.edge("side").points[1] == (200.0, 500.0)
    assert after.edge("side").points[0] == pytest.approx((300.0, -by))
    assert after.edge("centre").length == pytest.approx(500.0 + by)


def test_a_facing_follows_its_edge_at_the_width_that_was_said() -> None:
    """Along the neck: the neck itself, parts of its neighbours, and an inner edge 50 mm away."""
    draft = panel(fold="centre")
    facing = facing_draft(draft, "neck", 50.0)
    neck = LineString(draft.edge("neck").points)
    assert closed(facing)
    assert set(facing.edge_names) == {"neck", "shoulder", "centre", INNER}
    assert facing.fold == "centre"
    assert facing.edge("neck").length == pytest.approx(neck.length, abs=0.1)
    distances = [neck.distance(LineString([p, p])) for p in facing.edge(INNER).points]
    assert max(distances) <= 50.0 + 1e-6
    assert min(distances) >= 50.0 - 0.1
    assert facing.edge("centre").length == pytest.approx(50.0, abs=0.1)


@pytest.mark.parametrize(
    ("edit", "reason"),
    [
        (lambda d: slash(d, Place("hem", 50), Place("hem", 200), 10), "it must reach another"),
        (lambda d: slash(d, Place("hem", 150), Place("side", 10), 400), "farther than the cut"),
        (lambda d: slash(d, Place("shoulder", 170), Place("neck", 110), 10), "leaves the piece"),
        (lambda d: slash(d, Place("shoulder", 90), Place("centre", 5), 10), "lies on the fold"),
        (lambda d: move_corner(d, "centre", "hem", 10), "lies on the fold"),
        (lambda d: slash(d, Place("hm", 50), Place("side", 10), 10), "there is no edge 'hm'"),
        (lambda d: move_corner(d, "hem", "neck", 10), "do not meet"),
        (lambda d: move_corner(d, "neck", "centre", 500), "only 40 cm long"),
        (lambda d: split(d, Place("side", 50), Place("centre", 50), "side", "x", None),
         "cuts 'side' itself"),
        (lambda d: split(d, Place("side", 50), Place("centre", 50), "hem", "neck", None),
         "already"),
        (lambda d: join(d, "hem", d, "side"), "edges that are joined are equal"),
        (lambda d: ease_edge(d, "hem", 90.0), "takes up to 6 cm of ease"),
        (lambda d: ease_edge(d, "centre", 10.0), "lies on the fold"),
        (lambda d: move_dart(d, ("hem", "shoulder"), Place("side", 50)), "no dart"),
        (lambda d: move_dart(d, ("hem", "side"), Place("neck", 50)), "30 cm and 50 cm long"),
        (lambda d: pleat(d, Place("hem", 50), Place("hem", 90), 10), "begins and ends on 'hem'"),
        (lambda d: facing_draft(d, "neck", 900.0), "takes the whole piece"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_refused_with_a_reason(edit, reason: str) -> None:  # type: ignore[no-untyped-def]
    """Lengths in the reason are told in the unit of the file."""
    with pytest.raises(EditError, match=reason):
        edit(panel(fold="centre"))
    with pytest.raises(EditError) as told:
        ease_edge(panel(), "hem", 90.0)
    assert told.value.told("in") == "'hem' is 11 13/16 in long and takes up to 2 3/8 in of ease"


def test_a_cut_parts_the_outline_into_two_chains() -> None:
    """From place to place and back, the parts of cut edges under their names."""
    edges = panel().edges
    first, second = cut_apart(edges, Place("hem", 100.0), Place("shoulder", 80.0))
    assert [edge.name for edge in first] == ["hem", "side", "shoulder"]
    assert [edge.name for edge in second] == ["shoulder", "neck", "centre", "hem"]
    assert first[0].points[0] == second[-1].points[-1] == (100.0, 0.0)
    inner, outer = cut_apart(edges, Place("hem", 20.0), Place("hem", 90.0))
    assert [edge.name for edge in inner] == ["hem"]
    assert len(outer) == 6

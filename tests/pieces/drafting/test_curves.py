"""Arcs against the circle, and curves that meet an edge squarely and stay smooth."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest

from pieces.drafting.arcs import arc_by_angle, arc_by_radius, arc_to
from pieces.findings import Finding
from pieces.outline import OutlineError, signed_area, smooth_curve
from pieces.piece import Piece
from pieces.readers.garment_toml import check_garment, load_garment


def length(points: tuple[tuple[float, float], ...]) -> float:
    return sum(math.dist(a, b) for a, b in itertools.pairwise(points))


def piece(folder: Path, edges: str, more: str = "") -> Piece:
    return load_garment(written(folder, edges, more)).pieces[0]


def faults(folder: Path, edges: str, more: str = "") -> list[Finding]:
    return check_garment(written(folder, edges, more))


def written(folder: Path, edges: str, more: str) -> Path:
    path = folder / "g.toml"
    path.write_text(
        'title = "t"\nunits = "cm"\n[[piece]]\nname = "panel"\ncut = "2 same way"\n'
        f'drawn = "with allowance"\ngrain = "up"\n{more}\nedges = [\n{edges}\n]\n',
        encoding="utf-8",
    )
    return path


WAIST_CM, LENGTH_CM = 70.0, 60.0
RADIUS = WAIST_CM / (2 * math.pi)
"""The waist of a whole circle skirt is the inner circle: radius = waist / 2 pi (common practice,
no source)."""

ARCS = [
    # The waist of a quarter, drawn in each of the three ways.
    'arc = {{ to = [0, {r}], radius = {r}, turn = "left" }}',
    'arc = {{ to = [0, {r}], centre = [0, 0], turn = "left" }}',
    'arc = {{ centre = [0, 0], angle = 90, turn = "left" }}',
]


@pytest.mark.parametrize("arc", ARCS)
def test_a_quarter_of_a_circle_skirt(tmp_path: Path, arc: str) -> None:
    """Waist and hem are as long, and the cloth as large, as the circle says."""
    outer = RADIUS + LENGTH_CM
    made = piece(
        tmp_path,
        f'{{ name = "waist", {arc.format(r=RADIUS)} }},\n'
        f'{{ name = "fold", to = [0, {outer}] }},\n'
        f'{{ name = "hem", arc = {{ centre = [0, 0], to = [{outer}, 0], turn = "right" }} }},\n'
        f'{{ name = "side", to = [{RADIUS}, 0] }},',
        f"start = [{RADIUS}, 0]",
    )
    area = math.pi / 4 * (outer**2 - RADIUS**2) * 100.0
    assert signed_area(made.outline) == pytest.approx(area, rel=2e-4)
    ring = np.asarray([*made.outline, made.outline[0]])
    radii = np.hypot(*ring.T)
    waist = [p for p, r in zip(ring, radii, strict=True) if abs(r - RADIUS * 10) < 0.01]
    hem = [p for p, r in zip(ring, radii, strict=True) if abs(r - outer * 10) < 0.01]
    assert len(waist) > 5
    assert len(hem) > 20
    along = sorted(math.atan2(y, x) for x, y in hem)
    assert 10 * outer * (along[-1] - along[0]) == pytest.approx(10 * outer * math.pi / 2)


@pytest.mark.parametrize("radius", [5.0, 111.4, 711.4, 1500.0])
@pytest.mark.parametrize("angle", [10.0, 90.0, 270.0, 360.0])
def test_arcs_are_flat_within_the_tolerance(radius: float, angle: float) -> None:
    """No chord leaves the circle by more than 0.05 mm, and the length is that of the arc."""
    points = arc_by_angle((radius, 0.0), (0.0, 0.0), angle, "left")
    middles = [((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in itertools.pairwise(points)]
    assert all(math.hypot(*p) == pytest.approx(radius) for p in points)
    assert min(math.hypot(*m) for m in middles) >= radius - 0.0501
    assert length(points) == pytest.approx(radius * math.radians(angle), rel=0.02)


@pytest.mark.parametrize("turn", ["left", "right"])
@pytest.mark.parametrize("long_way", [False, True])
def test_an_arc_by_radius_bends_as_it_is_told(turn: str, long_way: bool) -> None:
    """Left or right for one who walks along it; the short way unless told otherwise."""
    points = arc_by_radius((0.0, 0.0), (100.0, 0.0), 80.0, turn, long_way)
    (x0, y0), (x1, y1) = points[0], points[1]
    (x2, y2) = points[2]
    bend = (x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1)
    assert (bend > 0) == (turn == "left")
    half = math.asin(50.0 / 80.0)
    angle = 2 * math.pi - 2 * half if long_way else 2 * half
    assert length(points) == pytest.approx(80.0 * angle, rel=1e-3)


def test_arcs_that_cannot_be_say_why() -> None:
    """In the unit of the file."""
    with pytest.raises(OutlineError, match="at least 10 in"):
        arc_by_radius((0.0, 0.0), (508.0, 0.0), 200.0, "left", unit="in")
    with pytest.raises(OutlineError, match=r"begins 10 cm from the centre and ends 12 cm"):
        arc_to((100.0, 0.0), (0.0, 120.0), (0.0, 0.0), "left", "cm")
    with pytest.raises(OutlineError, match="more than 0 and up to 360"):
        arc_by_angle((1.0, 0.0), (0.0, 0.0), 400.0, "left")
    for far in (1e7, 1e11, 1e150):
        with pytest.raises(OutlineError, match="longer than a kilometre"):
            arc_by_radius((0.0, 0.0), (508.0, 0.0), far, "left", long_way=True)


@pytest.mark.parametrize(
    ("arc", "part"),
    [
        ("{ to = [0, 9], radius = 2 }", "turn: is missing"),
        ('{ centre = [0, 0], angle = "90", turn = "left" }', "write angle = 90, a figure"),
        ('{ to = [0, 9], turn = "left" }', "needs to and radius"),
        ('{ to = [0, 9], radius = 2, turn = "leftt" }', "did you mean 'left'"),
        ('{ to = [0, 90], radius = 2, turn = "left" }', "too small"),
        ('{ center = [0, 9], angle = 9, turn = "left" }', "did you mean 'centre'"),
    ],
)
def test_faults_of_arcs_are_explained(tmp_path: Path, arc: str, part: str) -> None:
    """With what an arc needs."""
    edges = f'{{ name = "waist", arc = {arc} }},\n{{ name = "rest", to = [[-9, 9], [9, 0]] }},'
    text = "\n".join(map(str, faults(tmp_path, edges, "start = [9, 0]")))
    assert part in text
    assert "piece 'panel', edges[1]" in text


HEM = """{{ name = "hem", smooth = [[14, 2.5], [30, 4]]{square} }},
{{ name = "side", to = [26, 40] }},
{{ name = "waist", to = [0, 39] }},
{{ name = "centre front", to = [0, 0] }},"""


def corner(made: Piece, at: tuple[float, float]) -> float:
    """Angle of the outline at a corner, degrees."""
    ring = np.asarray(made.outline)
    k = int(np.argmin(np.hypot(*(ring - np.asarray(at)).T)))
    a, b = ring[k - 1] - ring[k], ring[(k + 1) % len(ring)] - ring[k]
    return math.degrees(math.acos(float(a @ b) / float(np.hypot(*a) * np.hypot(*b))))


@pytest.mark.parametrize(
    ("square", "start", "end"),
    [("start", True, False), ("end", False, True), ("both", True, True)],
)
def test_a_hem_meets_its_neighbours_squarely(
    tmp_path: Path, square: str, start: bool, end: bool
) -> None:
    """At the centre front, at the side, or both; else not."""
    made = piece(tmp_path, HEM.format(square=f', square = "{square}"'))
    free = piece(tmp_path, HEM.format(square=""))
    for at, is_square in (((0.0, 0.0), start), ((300.0, 40.0), end)):
        # The first chord of a curve leaves its tangent by a little.
        assert (abs(corner(made, at) - 90.0) < 1.5) == is_square
        assert abs(corner(free, at) - 90.0) > 1.5


def test_a_squared_curve_stays_smooth_and_goes_through_its_points() -> None:
    """No corner anywhere, and every measured point on it."""
    given = ((0.0, 0.0), (140.0, 8.0), (300.0, 40.0))
    curve = smooth_curve(given, (1.0, 0.0), (0.6, 0.8))
    assert set(given) <= set(curve)
    ways = [math.atan2(d - b, c - a) for (a, b), (c, d) in itertools.pairwise(curve)]
    turns = [abs(second - first) for first, second in itertools.pairwise(ways)]
    assert max(turns) < math.radians(6.0)
    assert ways[0] == pytest.approx(0.0, abs=0.03)
    assert ways[-1] == pytest.approx(math.atan2(0.8, 0.6), abs=0.06)


def test_a_curve_square_to_an_arc_or_a_curve(tmp_path: Path) -> None:
    """The neighbour may bend itself; its direction at the corner counts."""
    edges = """{ name = "hem", arc = { centre = [0, 100], to = [30, 4.6061], turn = "left" } },
{ name = "side", smooth = [[29, 20], [24, 40]], square = "start" },
{ name = "waist", to = [0, 39] },
{ name = "centre", to = [0, 0] },"""
    made = piece(tmp_path, edges)
    assert corner(made, (300.0, 46.061)) == pytest.approx(90.0, abs=1.5)


def test_two_curves_cannot_both_follow_the_other(tmp_path: Path) -> None:
    """One of them gives the direction."""
    edges = HEM.format(square=', square = "end"').replace(
        'name = "side", to = [26, 40]',
        'name = "side", smooth = [[28, 20], [26, 40]], square = "start"',
    )
    assert any("each to be square to the other" in f.message for f in faults(tmp_path, edges))
    straight = HEM.format(square="").replace("to = [26, 40]", 'to = [26, 40], square = "end"')
    assert any("only a smooth edge" in f.message for f in faults(tmp_path, straight))


def test_a_start_point_need_not_be_nought(tmp_path: Path) -> None:
    """Start = [x, y] is where the first edge begins and the last must end."""
    edges = HEM.format(square="").replace("to = [0, 0] ", "to = [2, 1] ")
    made = piece(tmp_path, edges, "start = [2, 1]")
    assert (20.0, 10.0) in made.outline
    assert any("is open" in f.message for f in faults(tmp_path, edges))

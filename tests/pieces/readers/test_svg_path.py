"""The one reader of path data: by hand, and against a general-purpose library (svgpathtools)."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point
from svgpathtools import Line, parse_path

from pieces.outline import FLATNESS_MM, OutlineError
from pieces.readers.svg_curves import flatten
from pieces.readers.svg_path import MOST_SEGMENTS, edges_from_path, read_path

WRITTEN = {
    "M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 5, "Z": 0,
}  # fmt: skip


def points_of(data: str, flat: float = 1e-4) -> list[list[complex]]:
    """Every part of a path as points in user units."""
    return [
        [point for segment in part.segments for point in flatten(segment, flat)]
        for part in read_path(data)
    ]


def test_s_after_q_and_t_after_c_reflect_nothing() -> None:
    """A smooth command reflects only a control point of its own family (SVG 1.1, 8.3.6, 8.3.7)."""
    after_q = points_of("M0 0 Q 10 20 20 0 S 40 10 50 0")
    plain = points_of("M0 0 Q 10 20 20 0 C 20 0 40 10 50 0")
    assert after_q == plain
    after_c = points_of("M0 0 C 0 10 10 20 20 0 T 50 0")
    assert after_c == points_of("M0 0 C 0 10 10 20 20 0 Q 20 0 50 0")


def test_smooth_commands_reflect_within_their_family() -> None:
    assert points_of("M0 0 C0 10 10 20 20 0 S30 5 40 0") == points_of(
        "M0 0 C0 10 10 20 20 0 C30 -20 30 5 40 0"
    )
    assert points_of("M0 0 Q10 20 20 0 T40 0 T60 0") == points_of(
        "M0 0 Q10 20 20 0 Q30 -20 40 0 Q50 20 60 0"
    )


def test_flags_of_an_arc_may_touch_what_follows() -> None:
    loose = points_of("M10 10 a 1 1 0 0 1 .5 .5")
    assert points_of("M10 10a1 1 0 01.5.5") == loose
    assert points_of("M10 10a1,1,0,0,1,.5.5") == loose
    assert points_of("M10 10a1 1 0 01.5.5 1 1 0 10-.5-.5") == points_of(
        "M10 10 a 1 1 0 0 1 .5 .5 a 1 1 0 1 0 -.5 -.5"
    )


def test_numbers_may_touch() -> None:
    assert points_of("M1.5.5-2-3e1L+4,5") == points_of("M 1.5 0.5 L -2 -30 L 4 5")


def test_parts_begin_anew_after_m_and_z() -> None:
    parts = read_path("m1 1 h4 v4 z m10 10 h1 v1 z l5 0 M0 0")
    assert [part.closed for part in parts] == [True, True, False]
    assert parts[1].segments[0][1][0] == 11 + 11j
    assert parts[2].segments[0][1] == (11 + 11j, 16 + 11j)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ("L 1 1", "must begin with M"),
        ("", "must begin with M"),
        ("M 0 0 L 1", "needs numbers by the 2"),
        ("M 0 0 L NaN 1", "needs numbers by the 2; it has 'NaN'"),
        ("M 0 0 X 1", "'X', which is no path command"),
        ("M 0 0 L 1e999 1 Z", "a number without end"),
        ("M 0 0 A 1 1 0 2 0 1 1", "needs numbers by the 7; it has '2'"),
        ("M 0 0 L 1 1 Z 5", "after Z"),
        ("M 0 0 L 5 5", "must end with Z"),
        ("M 0 0 h 5 v 5 z m 20 20 h 5 v 5 z", "more than one part"),
        ("M 0 0 z", "draws nothing"),
        ("M 0 0 A 1e12 1e12 0 1 1 1e11 5 Z", "far larger than any piece"),
        ("M 0 0 C 1e300 0 0 1e300 5 5 Z", "far larger than any piece"),
    ],
)
def test_what_is_no_outline_is_refused_in_words(data: str, words: str) -> None:
    with pytest.raises(OutlineError, match=words):
        edges_from_path(data, 1.0)


def test_a_path_of_a_million_points_is_given_up_early() -> None:
    with pytest.raises(OutlineError, match="segments"):
        read_path("M0 0" + "L1 1 2 2" * MOST_SEGMENTS)


def test_an_arc_of_vast_radius_over_a_short_chord_is_its_chord() -> None:
    (points,) = points_of("M0 0 A 1e16 1e16 0 0 1 1 0")
    assert points == [0, 1]


NOISE = 1e-3
"""What rounding of the library may add where radii of metres are made of small ones."""

NUMBERS = st.integers(-400, 400) | st.sampled_from([1.5, -0.5, 17.25, -2e2])


@st.composite
def paths(draw: st.DrawFn) -> str:
    """Random path data in random spelling, commands one after another as they come."""
    words = [f"M{draw(NUMBERS)} {draw(NUMBERS)}"]
    for _ in range(draw(st.integers(1, 8))):
        letter = draw(st.sampled_from("LHVCSQTACSQTAZM"))
        count = WRITTEN[letter]
        repeats = draw(st.integers(1, 2)) if count else 1
        spelt = letter if draw(st.booleans()) else letter.lower()
        numbers = []
        for _ in range(repeats):
            group = [str(draw(NUMBERS)) for _ in range(count)]
            if letter == "A":
                radii = [str(draw(st.integers(40, 900)) / 2) for _ in range(2)]
                flags = [draw(st.sampled_from("01")) for _ in range(2)]
                group = [*radii, group[2], *flags, *group[3:]]
            numbers += group
        words.append(spelt + " ".join(numbers))
    return draw(st.sampled_from(["", " "])).join(words)


@settings(max_examples=600)
@given(paths())
def test_random_paths_agree_with_the_library(data: str) -> None:
    """Segment by segment, each lies within 0.05 mm of the other, one unit being 1 mm."""
    ours = [
        points
        for part in read_path(data)
        for segment in part.segments
        if _extent(points := flatten(segment, FLATNESS_MM)) > 1e-6
    ]
    try:
        reference = parse_path(data)
    except AssertionError:
        reject()  # The library knows no arc that ends where it begins.
    theirs = [points for part in reference if _extent(points := _sampled(part)) > 1e-6]
    assert len(ours) == len(theirs)
    for mine, other in zip(ours, theirs, strict=True):
        assert abs(mine[0] - other[0]) < 1e-6
        assert abs(mine[-1] - other[-1]) < 1e-6
        line = LineString([(z.real, z.imag) for z in mine])
        assert max(line.distance(Point(z.real, z.imag)) for z in other) < FLATNESS_MM + NOISE
        # And ours goes nowhere that theirs does not.
        assert line.length == pytest.approx(
            sum(abs(b - a) for a, b in pairwise(other)), rel=0.05, abs=0.2
        )


def _extent(points: list[complex]) -> float:
    return max((abs(point - points[0]) for point in points), default=0.0)


def _sampled(segment: Any) -> list[complex]:
    count = 1 if isinstance(segment, Line) else 24
    return [complex(segment.point(k / count)) for k in range(count + 1)]


def test_a_circle_by_arcs_is_a_circle() -> None:
    for x, y in (
        point for edge in edges_from_path("M-50 0a50 50 0 10100 0 50 50 0 10-100 0z", 1.0)
        for point in edge.points
    ):  # fmt: skip
        assert math.hypot(x, y) == pytest.approx(50.0, abs=1e-9)

"""Transforms, view boxes, symbol and use against closed forms worked by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces.drawings.svg.matrix import Matrix, read_transform
from pieces.drawings.svg.viewport import ViewBox, fitted, pixels
from pieces.outline import OutlineError
from tests.pieces.drawings.svg.documents import document, pixel_lines, sheet_of

PAGE = 'width="400" height="300"'


def ends(folder: Path, body: str, attributes: str = PAGE) -> list[tuple[float, float]]:
    """Points of the only line of a document, rounded; pixels, y down as in the file."""
    (line,) = pixel_lines(folder, document(body, attributes))
    return [(round(x, 6) + 0.0, round(-y, 6) + 0.0) for x, y in line.points]


LINE = '<line x1="1" y1="2" x2="3" y2="2"/>'


@pytest.mark.parametrize(
    ("transform", "expected"),
    [
        ("translate(10)", [(11, 2), (13, 2)]),
        ("translate(10,-5)", [(11, -3), (13, -3)]),
        ("scale(2)", [(2, 4), (6, 4)]),
        ("scale(2 3)", [(2, 6), (6, 6)]),
        ("rotate(90)", [(-2, 1), (-2, 3)]),
        ("rotate(90 1 2)", [(1, 2), (1, 4)]),
        ("skewX(45)", [(3, 2), (5, 2)]),
        ("skewY(45)", [(1, 3), (3, 5)]),
        ("matrix(0 1 -1 0 5 6)", [(3, 7), (3, 9)]),
        ("translate(10) scale(2)", [(12, 4), (16, 4)]),
        ("scale(2),translate(10)", [(22, 4), (26, 4)]),
        ("scale(-1 1)", [(-1, 2), (-3, 2)]),
    ],
)
def test_each_transform_by_hand(
    tmp_path: Path, transform: str, expected: list[tuple[float, float]]
) -> None:
    body = f'<g transform="{transform}">{LINE}</g>'
    assert ends(tmp_path, body) == expected


def test_groups_apply_from_the_outside_in(tmp_path: Path) -> None:
    body = f'<g transform="scale(2)"><g transform="translate(5 5)">{LINE}</g></g>'
    assert ends(tmp_path, body) == [(12, 14), (16, 14)]


@pytest.mark.parametrize(
    "text", ["spin(3)", "rotate(1 2)", "translate()", "scale(2", "matrix(1 2 3)", "scale(a)"]
)
def test_a_transform_that_is_not_understood_is_a_fault(tmp_path: Path, text: str) -> None:
    sheet = sheet_of(tmp_path, document(f'<g transform="{text}">{LINE}</g>', PAGE))
    assert [f.line for f in sheet.findings] == [2]
    assert "is not understood" in str(sheet.findings[0])


def test_a_transform_in_css_is_refused_rather_than_overlooked(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, document(f'<g style="transform:scale(2)">{LINE}</g>', PAGE))
    assert "transform in CSS is not read" in str(sheet.findings[0])


ANGLES = st.floats(-360, 360)
SHIFTS = st.floats(-100, 100)


@given(ANGLES, SHIFTS, SHIFTS, st.floats(0.1, 9))
def test_stretch_is_what_a_unit_circle_becomes(a: float, x: float, y: float, s: float) -> None:
    matrix = read_transform(f"rotate({a}) translate({x} {y}) scale({s} 1) rotate({x})")
    longest = max(
        abs(matrix.apply(complex(math.cos(t / 50), math.sin(t / 50))) - matrix.apply(0j))
        for t in range(315)
    )
    assert matrix.stretch == pytest.approx(longest, rel=2e-3)
    assert matrix.stretch == pytest.approx(max(s, 1.0), rel=1e-9)


BOX = ViewBox(10.0, 20.0, 100.0, 50.0)


@pytest.mark.parametrize(
    ("aspect", "corner", "far"),
    [
        ("", (0, 50), (200, 150)),
        ("xMidYMid meet", (0, 50), (200, 150)),
        ("xMinYMin", (0, 0), (200, 100)),
        ("xMaxYMax meet", (0, 100), (200, 200)),
        ("none", (0, 0), (200, 200)),
        ("xMinYMid slice", (0, 0), (400, 200)),
        ("xMidYMid slice", (-100, 0), (300, 200)),
        ("xMaxYMin slice", (-200, 0), (200, 200)),
    ],
)
def test_preserve_aspect_ratio_by_hand(
    aspect: str, corner: tuple[float, float], far: tuple[float, float]
) -> None:
    """A box twice as wide as high in a square of 200."""
    matrix = fitted(BOX, aspect, 200.0, 200.0)
    assert matrix.apply(complex(10, 20)) == pytest.approx(complex(*corner))
    assert matrix.apply(complex(110, 70)) == pytest.approx(complex(*far))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1in", 96), ("2.54cm", 96), ("25.4mm", 96), ("72pt", 96), ("6pc", 96), ("96px", 96),
        ("101.6q", 96), ("7", 7), ("50%", 100), ("1e2", 100), (" .5in ", 48),
    ],
)  # fmt: skip
def test_units_by_the_pixel_of_css(text: str, expected: float) -> None:
    assert pixels(text, 200.0) == pytest.approx(expected)


@pytest.mark.parametrize("text", ["2em", "1 2", "", "NaN", "1e999", "5lightyears"])
def test_lengths_without_a_fixed_size_are_faults(text: str) -> None:
    with pytest.raises(OutlineError):
        pixels(text, 100.0)


def test_nested_svg_has_a_viewport_of_its_own(tmp_path: Path) -> None:
    body = f'<svg x="100" y="50" width="200" height="100" viewBox="0 0 20 10">{LINE}</svg>'
    assert ends(tmp_path, body) == [(110, 70), (130, 70)]
    half = f'<svg x="25%" y="10%" width="50%" height="50%">{LINE}</svg>'
    assert ends(tmp_path, half) == [(101, 32), (103, 32)]


def test_a_symbol_is_fitted_into_its_use(tmp_path: Path) -> None:
    symbol = f'<symbol id="s" viewBox="0 0 10 10">{LINE}</symbol>'
    used = f'{symbol}<use href="#s" x="20" y="30" width="100" height="50"/>'
    # The box is square and the place is not: scale 5, in the middle across.
    assert ends(tmp_path, used) == [(50, 40), (60, 40)]
    linked = used.replace("href", "xlink:href")
    assert ends(tmp_path, linked) == [(50, 40), (60, 40)]


def test_use_shifts_after_its_own_transform(tmp_path: Path) -> None:
    body = f'<defs><g id="g">{LINE}</g></defs><use href="#g" x="5" y="6" transform="scale(2)"/>'
    assert ends(tmp_path, body) == [(12, 16), (16, 16)]


def test_percentages_refer_to_the_viewport(tmp_path: Path) -> None:
    assert ends(tmp_path, '<line x1="25%" y1="50%" x2="100%" y2="50%"/>') == [
        (100, 150),
        (400, 150),
    ]


def test_the_root_view_box_may_be_uneven(tmp_path: Path) -> None:
    frame = 'width="400" height="300" viewBox="0 0 4 1" preserveAspectRatio="none"'
    assert ends(tmp_path, '<line x1="1" y1="0.5" x2="2" y2="0.5"/>', frame) == [
        (100, 150),
        (200, 150),
    ]


@pytest.mark.parametrize(
    ("attributes", "width"),
    [
        ('width="10cm" viewBox="0 0 50 20"', 100.0),
        ('height="4cm" viewBox="0 0 50 20"', 100.0),
        ('width="100%" height="4cm" viewBox="0 0 50 20"', 100.0),
        ('style="width:100mm;height:40mm" viewBox="0 0 50 20"', 100.0),
        ('width="10cm" height="4cm" viewBox="0 0 50 20" preserveAspectRatio="xMinYMin slice"', 100),
        ('width="10cm" height="2cm" viewBox="0 0 50 20"', 50.0),
    ],
)
def test_real_size_follows_from_width_height_and_view_box(
    tmp_path: Path, attributes: str, width: float
) -> None:
    """A line over the whole view box, in mm."""
    text = document('<line x1="0" y1="1" x2="50" y2="1"/>', attributes)
    sheet = sheet_of(tmp_path, text)
    assert sheet.physical
    (line,) = pixel_lines(tmp_path, text)
    (x1, _), (x2, _) = line.points
    assert (x2 - x1) * 25.4 / 96 == pytest.approx(width)


@pytest.mark.parametrize(
    "attributes",
    ['viewBox="0 0 50 20"', 'width="500" height="200"', 'width="100%" viewBox="0 0 5 2"', ""],
)
def test_without_a_unit_nothing_tells_the_size(tmp_path: Path, attributes: str) -> None:
    assert not sheet_of(tmp_path, document(LINE, attributes)).physical


@pytest.mark.parametrize(
    "hidden",
    [
        '<g display="none">LINE</g>',
        '<g style="display:none">LINE</g>',
        '<g visibility="hidden">LINE</g>',
        '<style>.off { display: none }</style><g class="a off">LINE</g>',
        '<style>g.off, #nothing { visibility: hidden !important }</style><g class="off">LINE</g>',
        '<style>#it{display:none}</style><g id="it">LINE</g>',
        "<style><![CDATA[ line { display : none } ]]></style>LINE",
    ],
)
def test_what_is_hidden_is_left_out_and_named(tmp_path: Path, hidden: str) -> None:
    sheet = sheet_of(tmp_path, document(hidden.replace("LINE", LINE), PAGE))
    assert sheet.strokes == []
    assert [words.split(": ")[0] for words in sheet.ignored] == ["not shown"]
    assert all("(line 2)" in words for words in sheet.ignored)


def test_what_is_seen_again_inside_what_is_hidden_counts(tmp_path: Path) -> None:
    body = f'<g visibility="hidden"><g visibility="visible">{LINE}</g></g>'
    assert len(sheet_of(tmp_path, document(body, PAGE)).strokes) == 1
    style = "<style>.x{display:none} .x{display:inline}</style>"
    body = f'{style}<g class="x" display="none">{LINE}</g>'
    assert len(sheet_of(tmp_path, document(body, PAGE)).strokes) == 1


def test_what_is_not_read_is_named(tmp_path: Path) -> None:
    body = (
        '<image href="http://nowhere.invalid/a.png"/><use href="other.svg#a"/><foreignObject/>'
        '<x:y xmlns:x="urn:x"/><g clip-path="url(#c)"/><path d=""/>'
        "<style>@import url(a.css); g g { display:none } g > g { fill: red }</style>"
    )
    ignored = sheet_of(tmp_path, document(body, PAGE)).ignored
    assert set(ignored) == {
        "an element <image>",
        "a use of something outside the file, which is never fetched",
        "an element <foreignObject>",
        "an element that is not SVG",
        "a clip-path: what it hides is read all the same",
        "draws nothing: path (line 2)",
        "rules with @ in <style>",
        "the rule for 'g g' in <style>",
    }


def test_rounded_rectangles_and_ellipses_measure_what_they_should(tmp_path: Path) -> None:
    body = (
        '<rect width="100" height="60" rx="10" ry="10"/><rect width="40" height="20" rx="900"/>'
        '<circle r="50"/><ellipse rx="50" ry="50"/><rect width="100" height="60" ry="10"/>'
    )
    lines = pixel_lines(tmp_path, document(body, PAGE))
    rounded = 2 * (80 + 40) + 2 * math.pi * 10
    stadium = pytest.approx(pixel_length(lines[1].points), rel=1e-3)
    assert [line.closed for line in lines] == [True] * 5
    assert pixel_length(lines[0].points) == pytest.approx(rounded, rel=1e-3)
    assert pixel_length(lines[4].points) == pytest.approx(rounded, rel=1e-3)
    # Radii are cut back to half of each side: an ellipse of 20 by 10.
    assert stadium == pixel_length(pixel_lines(tmp_path, document(
        '<ellipse rx="20" ry="10"/>', PAGE))[0].points)  # fmt: skip
    assert pixel_length(lines[2].points) == pytest.approx(100 * math.pi, rel=1e-3)
    assert pixel_length(lines[3].points) == pytest.approx(100 * math.pi, rel=1e-3)


def pixel_length(points: tuple[tuple[float, float], ...]) -> float:
    return sum(math.dist(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))


def test_matrices_combine_as_maps_do() -> None:
    first, then = Matrix(1, 2, 3, 4, 5, 6), Matrix(-1, 0.5, 2, 7, -8, 9)
    point = complex(2.5, -3)
    assert then.of(first).apply(point) == pytest.approx(then.apply(first.apply(point)))

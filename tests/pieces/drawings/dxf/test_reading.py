"""DXF pattern data: layers, texts, units, sizes, curves, insertions; what is left out is told."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import ezdxf.filemanagement
import pytest
from shapely.geometry import LineString, Polygon

from pieces.drawings.answers import Answers
from pieces.drawings.drawn_piece import Drawing, DrawnPiece
from pieces.drawings.dxf.reader import read_dxf
from pieces.drawings.loading import check_any, draw_garment, load_any
from pieces.findings import Finding, InputError
from pieces.outline import ring_of
from pieces.piece import CutKind, Side
from tests.pieces.drawings.dxf.documents import (
    SQUARE,
    block,
    document,
    insert,
    line,
    piece,
    point,
    polyline,
    saved,
    tags,
    text,
)  # fmt: skip

METRIC = text("Units: METRIC")
INCLUDED = text("Annotation: allowance included")


def read(folder: Path, content: str, **more: Any) -> Drawing:
    return read_dxf(saved(folder, content), **more)


def only(drawing: Drawing) -> DrawnPiece:
    assert len(drawing.pieces) == 1
    return drawing.pieces[0]


def polygon(drawn: DrawnPiece) -> Polygon:
    return Polygon(ring_of(drawn.edges))


def messages(drawing: Drawing) -> str:
    return "\n".join(map(str, drawing.findings))


def test_a_block_is_a_piece_with_all_that_its_layers_hold(tmp_path: Path) -> None:
    """Outline, grain, notches with a depth in Z, name, material and hands."""
    content = piece("FRONT", point(300, 200, "4", 5.0), text("Material: Lawn"), INCLUDED)
    drawing = read(
        tmp_path, document([content], [insert("FRONT"), METRIC, text("Style Name: Trial")])
    )
    drawn = only(drawing)
    assert (drawing.title, drawn.name, drawn.ident) == ("Trial", "front", "FRONT")
    assert polygon(drawn).bounds == (0, 0, 300, 500)
    assert drawn.grain == ((100, 50), (100, 450))
    assert drawn.notches == ((300, 200),)
    assert drawn.cuts == (("lawn", "2"),)
    assert drawn.net is False
    garment = load_any(tmp_path / "pattern.dxf")
    assert garment.pieces[0].cuts[0].kind is CutKind.PAIR


def test_blocks_that_stand_nowhere_in_the_drawing_are_pieces_too(tmp_path: Path) -> None:
    """Some files only define them."""
    drawing = read(tmp_path, document([piece("A"), piece("B")], [METRIC]))
    assert [drawn.ident for drawn in drawing.pieces] == ["A", "B"]


def test_the_spellings_that_files_are_known_to_have_are_read(tmp_path: Path) -> None:
    """Capitals, no space after the colon, decimal commas, another key, layer 15, escapes."""
    content = block(
        "RUECKENTEIL_MIT_EINE",
        polyline([("0,0", "0,0"), ("300,5", "0,0"), ("300,5", "500,25"), ("0,0", "500,25")]),
        text("PIECE NAME:R\\U+00FCckenteil", "15"),
        text("QUANTITY:1,1", "15"),
        text("BASE_SIZE:42", "15"),
    )
    drawing = read(tmp_path, document([content], [text("UNITS:METRIC", "15")]))
    drawn = only(drawing)
    assert polygon(drawn).bounds == (0, 0, 300.5, 500.25)
    assert drawn.name == "Rückenteil"
    assert drawn.cuts == (("", "2"),)
    assert drawn.size == ""  # One size is no choice.


def test_a_mirror_line_makes_a_half_and_the_text_fold_does_not(tmp_path: Path) -> None:
    """The text means tubular cloth."""
    mirrored = piece("A", line((0, 0), (0, 500), "6"), quantity="1,0")
    tubular = piece("B", text("Fold: Y"), quantity="1,0")
    drawing = read(tmp_path, document([mirrored, tubular], [METRIC]))
    half, whole = drawing.pieces
    assert half.fold == "fold"
    assert half.cuts == (("", "1 on fold"),)
    assert whole.fold is None
    assert whole.cuts == (("", "1"),)
    assert any("Fold: Y" in told for told in drawing.ignored)


def test_a_mirror_line_through_the_middle_is_asked_about(tmp_path: Path) -> None:
    """Such a piece is drawn whole."""
    drawing = read(tmp_path, document([piece("A", line((150, 0), (150, 500), "6"))], [METRIC]))
    assert only(drawing).fold is None
    assert "mirror line is no edge" in messages(drawing)


@pytest.mark.parametrize(
    ("quantity", "label", "hand"),
    [
        ("1,1", "2", "right"), ("2, 2", "4", "right"), ("1,0", "1", "right"),
        ("0,1", "1", "left"), ("3,0", "3 same way", "right"),
    ],
)  # fmt: skip
def test_quantities_count_right_and_left_hands(
    quantity: str, label: str, hand: str, tmp_path: Path
) -> None:
    """`R,L`."""
    drawn = only(read(tmp_path, document([piece(quantity=quantity)], [METRIC])))
    assert (drawn.cuts[0][1], drawn.hand) == (label, hand)


@pytest.mark.parametrize("quantity", ["2", "2,1", "0,0", "two"])
def test_a_quantity_that_settles_nothing_is_shown_and_asked_about(
    quantity: str, tmp_path: Path
) -> None:
    """One number alone may count pieces or pairs."""
    path = saved(tmp_path, document([piece("A", INCLUDED, quantity=quantity)], [METRIC]))
    asked = [finding for finding in check_any(path) if finding.fatal]
    assert [finding.field for finding in asked] == ["cut"]
    assert f"Quantity: {quantity}'" in asked[0].message
    answers = Answers(pieces={"A": {"cut": {"main": "2"}}})
    assert load_any(path, answers=answers).pieces[0].cuts[0].count == 2


def test_the_left_hand_is_kept(tmp_path: Path) -> None:
    """A single left piece is that on the cloth, too."""
    path = saved(tmp_path, document([piece("A", INCLUDED, quantity="0,1")], [METRIC]))
    assert load_any(path).pieces[0].drawn_hand is Side.LEFT


def test_several_sizes_make_a_sized_garment(tmp_path: Path) -> None:
    """Outlines of the sizes need have nothing in common."""
    blocks = []
    for number, size in enumerate(("L", "S", "M")):
        wide = {"S": 280, "M": 300, "L": 330}[size]
        ring = [(0, 0), (wide, 0), (wide, 500), (0, 500)] + ([(20, 250)] if size == "L" else [])
        blocks.append(
            block(
                f"FRONT-{number}", polyline(ring), line((100, 50), (100, 450), "7"),
                text("Piece Name: front"), text(f"Size: {size}"), text("Quantity: 1,1"), INCLUDED,
            )
        )  # fmt: skip
    path = saved(tmp_path, document(blocks, [METRIC, text("Sample Size: M")]))
    garment = load_any(path)
    assert (garment.sizes, garment.size) == (("S", "M", "L"), "M")
    for size, wide in (("S", 280), ("M", 300), ("L", 330)):
        (made,) = load_any(path, size=size).pieces
        assert max(x for x, _ in made.outline) == pytest.approx(wide, abs=0.1)
    assert len(load_any(path, size="L").pieces[0].outline) == 5


def test_what_differs_between_sizes_and_cannot_is_told(tmp_path: Path) -> None:
    """A piece that is missing in a size, and one that is cut differently."""
    blocks = [
        piece("A1", text("Piece Name: front"), text("Size: S"), quantity="1,1"),
        piece("B1", text("Size: S")), piece("B2", text("Size: M"), quantity="2,2"),
    ]  # fmt: skip
    blocks[2] = blocks[2].replace("Piece Name: b2", "Piece Name: b1")
    told = messages(read(tmp_path, document(blocks, [METRIC])))
    assert "is not drawn in size M" in told
    assert "is cut differently in its sizes" in told


@pytest.mark.parametrize("unit", ["mm", "cm", "in"])
def test_a_file_without_units_is_asked_about_and_an_option_tells(unit: str, tmp_path: Path) -> None:
    """Nothing is guessed from the figures."""
    content = document([piece()])
    drawing = read(tmp_path, content)
    assert drawing.pieces == ()
    assert "says nothing of its unit" in messages(drawing)
    wide = polygon(only(read(tmp_path, content, unit=unit))).bounds[2]
    assert wide == pytest.approx(300 * {"mm": 1, "cm": 10, "in": 25.4}[unit])


@pytest.mark.parametrize(
    ("words", "header", "size", "asked"),
    [
        ("Units: ENGLISH", "", 25.4, False),
        ("Units: METRIC", "", 1.0, False),
        ("", tags((9, "$INSUNITS"), (70, 5)), 10.0, False),
        ("Units: METRIC", tags((9, "$INSUNITS"), (70, 1)), 1.0, True),
    ],
)  # fmt: skip
def test_units_come_from_the_text_or_the_header(
    words: str, header: str, size: float, asked: bool, tmp_path: Path
) -> None:
    """Where they disagree the text counts, and that is asked about."""
    drawing = read(tmp_path, document([piece()], [text(words)], header))
    assert polygon(only(drawing)).bounds[2] == pytest.approx(300 * size)
    assert ("is believed" in messages(drawing)) is asked


def test_options_for_another_kind_of_drawing_are_refused(tmp_path: Path) -> None:
    """`--length` is for drawings with ids, `--unit` for those with units."""
    path = saved(tmp_path, document([piece()], [METRIC]))
    with pytest.raises(InputError, match="--length is not for DXF"):
        draw_garment(path, Answers(lengths={"A": 10.0}))
    picture = tmp_path / "skirt.svg"
    picture.write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    with pytest.raises(InputError, match="--unit is not for SVG"):
        draw_garment(picture, Answers(drawing_unit="mm"))


@pytest.mark.parametrize("layer", ["14", "8"])
def test_a_net_line_makes_the_outline_the_cut_line(layer: str, tmp_path: Path) -> None:
    """Then the allowance is in the outline."""
    inner = polyline([(10, 10), (290, 10), (290, 490), (10, 490)], layer)
    small = polyline([(10, 10), (40, 10), (40, 40), (10, 40)], layer)
    drawing = read(tmp_path, document([piece("A", inner), piece("B", small)], [METRIC]))
    assert [drawn.net for drawn in drawing.pieces] == [False, None]


def test_what_is_left_out_is_listed_by_layer_and_kind(tmp_path: Path) -> None:
    """Nothing is dropped silently; cut-outs are asked about."""
    content = piece(
        "A", point(0, 0, "2"), point(300, 0, "2"), line((10, 10), (50, 60), "8"),
        tags((0, "CIRCLE"), (8, "11"), (10, 150), (20, 150), (40, 20)), point(60, 60, "13", 4.0),
        tags((0, "SOLID"), (8, "odd"), (10, 0), (20, 0), (11, 1), (21, 0), (12, 0), (22, 1),
             (13, 1), (23, 1)),
    )  # fmt: skip
    drawing = read(tmp_path, document([content], [METRIC]))
    assert set(drawing.ignored) == {
        "POINT on layer 2 (turn and curve points) (2 times)",
        "LINE on layer 8 (internal lines)",
        "CIRCLE on layer 11 (internal cut-out)",
        "POINT on layer 13 (drill holes)",
        "SOLID on layer 'odd'",
    }
    assert "cut-outs inside" in messages(drawing)


def test_an_open_boundary_is_told_with_its_gap(tmp_path: Path) -> None:
    """Ends within half a millimetre are joined, others are not."""
    torn = block("A", polyline([*SQUARE, (0, 7)], closed=False))
    drawing = read(tmp_path, document([torn], [METRIC]))
    assert "its ends lie 7.0 mm apart" in messages(drawing)
    mended = block("A", polyline([*SQUARE, (0, 0.3)], closed=False))
    assert polygon(only(read(tmp_path, document([mended], [METRIC])))).area > 149_000


def test_a_boundary_of_many_strokes_is_joined(tmp_path: Path) -> None:
    """In any order and direction."""
    sides = [line(b, a, "1") for a, b in zip(SQUARE, (*SQUARE[1:], SQUARE[0]), strict=True)]
    content = block("A", sides[2], sides[0], line((0, 500), (0, 0), "1"), sides[1])
    drawn = only(read(tmp_path, document([content], [METRIC])))
    assert polygon(drawn).area == pytest.approx(150_000)


@pytest.mark.parametrize("angle", [0, 30])
@pytest.mark.parametrize("scale", [(2.0, 2.0), (-1.0, 1.0), (1.0, 3.0)])
def test_scale_turn_and_mirror_of_an_insertion_are_applied(
    angle: float, scale: tuple[float, float], tmp_path: Path
) -> None:
    """Arcs too, scaled unevenly."""
    bulged = tags((0, "POLYLINE"), (8, "1"), (66, 1), (70, 1)) + "".join(
        tags((0, "VERTEX"), (8, "1"), (10, x), (20, y), (42, bulge))
        for x, y, bulge in ((0, 0, 0), (100, 0, 1), (100, 200, 0), (0, 200, 0))
    ) + tags((0, "SEQEND"))  # fmt: skip
    content = document(
        [block("A", bulged)],
        [insert("A", (41, scale[0]), (42, scale[1]), (50, angle)), METRIC],
    )
    found = polygon(only(read(tmp_path, content)))
    true = 20_000 + math.pi * 100**2 / 2
    assert found.area == pytest.approx(true * abs(scale[0] * scale[1]), rel=1e-3)
    if angle == 0:
        wide, high = found.bounds[2], found.bounds[3]
        assert wide == pytest.approx(200 * abs(scale[0]), abs=0.1)
        assert high == pytest.approx(200 * abs(scale[1]), abs=0.1)


def test_curves_are_flattened_within_a_tenth_of_a_millimetre(tmp_path: Path) -> None:
    """Circle, ellipse, arc with a large bulge and spline, against their own equations."""
    made = ezdxf.filemanagement.new("R2010")
    made.header["$INSUNITS"] = 4
    space = made.modelspace()
    space.add_circle((1000, 1000), 700)
    space.add_ellipse((4000, 1000), (800, 300), 0.5)
    space.add_lwpolyline([(6000, 0, 3.0), (6000, 500, 0)], format="xyb", close=True)
    space.add_spline().set_closed([(8000, 0, 0), (9000, 100, 0), (9200, 900, 0), (8100, 700, 0)])
    path = tmp_path / "curves.dxf"
    made.saveas(path)
    circle, ellipse, bulge, curve = (polygon(drawn) for drawn in read_dxf(path).pieces)
    assert abs(circle.area - math.pi * 700**2) < 2 * math.pi * 700 * 0.1
    half, other = math.hypot(800, 300), math.hypot(800, 300) * 0.5
    assert abs(ellipse.area - math.pi * half * other) < 2 * math.pi * half * 0.1
    radius = 500 * (1 + 9) / (4 * 3)
    assert bulge.bounds[2] == pytest.approx(radius + math.sqrt(radius**2 - 250**2), abs=0.1)
    # A closed cubic B-spline by its definition: de Boor, A Practical Guide to Splines, chapter X.
    exact = LineString(_closed_cubic([(8000, 0), (9000, 100), (9200, 900), (8100, 700)]))
    x, y = exact.bounds[:2]
    placed = LineString([(a + x, b + y) for a, b in curve.exterior.coords])
    assert placed.hausdorff_distance(exact) < 0.2
    assert max(exact.distance(p) for p in map(_spot, placed.coords)) < 0.1


def _closed_cubic(controls: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Uniform closed cubic B-spline: each span by its four basis functions."""
    found = []
    for span in range(len(controls)):
        four = [controls[(span + k) % len(controls)] for k in range(4)]
        for step in range(2000):
            t = step / 2000
            basis = (
                (1 - t) ** 3 / 6, (3 * t**3 - 6 * t**2 + 4) / 6,
                (-3 * t**3 + 3 * t**2 + 3 * t + 1) / 6, t**3 / 6,
            )  # fmt: skip
            x = sum(b * p[0] for b, p in zip(basis, four, strict=True))
            found.append((x, sum(b * p[1] for b, p in zip(basis, four, strict=True))))
    return [*found, found[0]]


def _spot(place: tuple[float, ...]) -> Any:
    from shapely.geometry import Point

    return Point(place)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_plain_drawings_of_any_version_give_a_piece_for_each_outline(
    version: str, tmp_path: Path
) -> None:
    """Closed lines, chains of lines and arcs; texts inside name them; layers are unknown."""
    made = ezdxf.filemanagement.new(version, units=4)
    space = made.modelspace()
    space.add_line((0, 0), (200, 0), dxfattribs={"layer": "Cut"})
    space.add_line((200, 0.1), (200, 300), dxfattribs={"layer": "Cut"})
    space.add_arc((100, 300), 100, 0, 180, dxfattribs={"layer": "Cut"})
    space.add_line((0, 300), (0, 0), dxfattribs={"layer": "Cut"})
    space.add_line((100, 50), (100, 250), dxfattribs={"layer": "Grain line"})
    space.add_text("sleeve, cut 2, allowance included").set_placement((50, 50))
    space.add_circle((600, 200), 80)
    space.add_circle((600, 200), 5)
    path = tmp_path / "plain.dxf"
    made.saveas(path)
    drawing = read_dxf(path, "mm")
    sleeve, disc = drawing.pieces
    assert (sleeve.name, sleeve.cuts, sleeve.net) == ("sleeve", (("", "2"),), False)
    assert sleeve.grain == ((100, 50), (100, 250))
    assert polygon(sleeve).area == pytest.approx(60_000 + math.pi * 5000, rel=1e-3)
    assert polygon(disc).area == pytest.approx(math.pi * 6400, rel=1e-3)
    assert any(told.startswith("CIRCLE on layer '0'") for told in drawing.ignored)


def test_a_block_that_is_inserted_twice_is_one_piece(tmp_path: Path) -> None:
    """How often it is cut is what its quantity says; scales that differ are asked about."""
    drawing = read(
        tmp_path, document([piece()], [insert("FRONT"), insert("FRONT", (41, 2.0)), METRIC])
    )
    assert len(drawing.pieces) == 1
    assert any("inserted a second time" in told for told in drawing.ignored)
    assert "in several scales" in messages(drawing)


def test_pieces_can_be_left_out_by_the_name_of_their_block(tmp_path: Path) -> None:
    """And that is told."""
    drawing = read(tmp_path, document([piece("A"), piece("B")], [METRIC]), left_out=["A"])
    assert only(drawing).ident == "B"
    assert any("'A', as you say" in told for told in drawing.ignored)


def test_an_untidy_file_is_recovered_and_that_is_told(tmp_path: Path) -> None:
    """A section that does not end; what cannot be mended is told with its line."""
    content = document([piece()], [METRIC])
    drawing = read(tmp_path, content.replace("  0\nENDSEC\n", "", 1))
    assert only(drawing).name == "front"
    assert "was mended" in messages(drawing)
    with pytest.raises(InputError, match=r'cannot be read as DXF.*"red".*line'):
        read(tmp_path, content.replace("  0\nSEQEND\n", "  0\nSEQEND\n 62\nred\n", 1))


def test_units_in_words_are_known_and_strange_ones_are_asked_about(tmp_path: Path) -> None:
    """Inches are inches; what nobody knows is told even where the header gives a unit."""
    from pieces.drawings.dxf.units import unit_of

    assert unit_of(None, ["Units: INCHES"], 0, "x", []) == (25.4, "in")
    findings: list[Finding] = []
    assert unit_of(None, ["Units: ELLS"], 4, "x", findings) == (1.0, "cm")
    assert ["ELLS, which is not known" in finding.message for finding in findings] == [True]

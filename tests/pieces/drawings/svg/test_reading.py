"""What the lines and texts of an SVG drawing become: pieces, names, grain, fold, cut labels."""

from __future__ import annotations

from pathlib import Path

import pytest

from pieces.drawings.answers import Answers
from pieces.drawings.drawn_piece import DrawnPiece
from pieces.drawings.loading import DrawnGarment, draw_garment, load_any
from pieces.drawings.text_words import read_texts
from pieces.findings import InputError
from pieces.piece import CutKind
from pieces.readers.garment_toml import load_garment
from tests.pieces.drawings.svg.documents import document, drawn, written

OUTLINE = '<path id="outline" d="M 0 0 H 100 V 200 Q 50 180 0 200 Z"/>'
GRAIN = '<line id="grain" x1="50" y1="150" x2="50" y2="30"/>'
FOLD = '<line id="fold" x1="0" y1="10" x2="0" y2="190"/>'
WORDS = "<text x='20' y='20'>cut 1 on fold</text><text x='20' y='30'>allowance included</text>"


def only(garment: DrawnGarment) -> DrawnPiece:
    (piece,) = garment.drawing.pieces
    return piece


def fatal(garment: DrawnGarment) -> list[str]:
    return [str(finding) for finding in garment.findings if finding.fatal]


def test_a_half_with_grain_fold_and_words_is_a_whole_garment(tmp_path: Path) -> None:
    text = document(f"<title>Skirt</title><g id='front_panel'>{OUTLINE}{GRAIN}{FOLD}{WORDS}</g>")
    garment = load_any(written(tmp_path, text))
    (piece,) = garment.pieces
    assert (garment.title, piece.name) == ("Skirt", "front panel")
    assert piece.cuts[0].kind is CutKind.FOLD
    assert piece.fold is not None
    assert sorted(piece.fold) == [(0.0, 0.0), (0.0, 200.0)]
    # y is up: the line runs from y = 150 to y = 30 on the sheet, so the arrow points up.
    assert piece.grain == ((50, 50), (50, 170))
    assert not piece.net


def test_what_is_read_and_kept_is_the_same_garment(tmp_path: Path) -> None:
    file = written(tmp_path, document(f"<g id='front'>{OUTLINE}{GRAIN}{FOLD}{WORDS}</g>"))
    garment = drawn(tmp_path, file.read_text())
    kept = written(tmp_path, garment.text(), "kept.toml")
    assert load_garment(kept).pieces == load_any(file).pieces


@pytest.mark.parametrize(
    ("group", "inside", "name"),
    [
        ("<g id='g12'><title>Left front</title>", "", "Left front"),
        ("<g id='front'>", "<text>Something</text>", "front"),
        ("<g id='g12'>", "<text x='20' y='40'>Pocket, cut 2</text>", "outline"),
        ("<g id='NONE'>", "<text x='20' y='40'>Pocket, cut 2</text>", "Pocket"),
        ("<g>", "<text x='20' y='40'>cut 2</text>", "outline"),
        ("<g id='cuff'><title>cut 2</title>", "", "cuff"),
    ],
)
def test_the_title_the_id_or_a_text_names_a_piece(
    tmp_path: Path, group: str, inside: str, name: str
) -> None:
    outline = OUTLINE.replace("outline", "path7" if "NONE" in group else "outline")
    text = document(f"{group.replace('NONE', 'g1')}{outline}{inside}</g>")
    assert only(drawn(tmp_path, text)).name == name


def test_pieces_of_one_name_are_told_apart(tmp_path: Path) -> None:
    body = f"<defs><g id='cuff'>{OUTLINE}</g></defs><use href='#cuff'/><use href='#cuff' x='120'/>"
    names = [piece.name for piece in drawn(tmp_path, document(body)).drawing.pieces]
    assert len(set(names)) == 2


@pytest.mark.parametrize(
    "shape",
    [
        '<rect id="a" width="30" height="20"/>', '<circle id="a" cx="20" cy="20" r="9"/>',
        '<ellipse id="a" cx="20" cy="20" rx="9" ry="5"/>',
        '<polygon id="a" points="0 0 30 0 9 9"/>',
        '<polyline id="a" points="0 0 30 0 9 9 0 0"/>', '<path id="a" d="M0 0h30v20h-30v-20"/>',
    ],
)  # fmt: skip
def test_every_closed_shape_is_an_outline(tmp_path: Path, shape: str) -> None:
    assert only(drawn(tmp_path, document(shape))).name == "a"


def test_texts_and_lines_belong_by_group_and_else_by_place(tmp_path: Path) -> None:
    body = (
        f'<g id="a">{OUTLINE}<text x="250" y="350">cut 2</text></g>'
        '<rect id="b" x="150" width="50" height="100"/><text x="160" y="20">cut 4</text>'
        '<line class="grain" x1="170" y1="90" x2="170" y2="10"/>'
        '<text x="250" y="10">scale 1:1</text>'
    )
    garment = drawn(tmp_path, document(body))
    a, b = garment.drawing.pieces
    assert a.cuts == (("", "2"),)
    assert b.cuts == (("", "4"),)
    assert a.grain is None
    assert b.grain == ((20, 10), (20, 90))
    assert garment.drawing.ignored == ("text outside all pieces: 'scale 1:1'",)


def test_the_grain_is_the_shaft_of_an_arrow_and_its_head_the_end(tmp_path: Path) -> None:
    arrow = (
        '<g id="grainline"><path d="M50 150V30"/><path d="M45 40L50 30L55 40"/></g>'
        '<line id="seam" x1="10" y1="10" x2="90" y2="10"/>'
    )
    garment = drawn(tmp_path, document(f"<g id='a'>{OUTLINE}{arrow}</g>"))
    assert only(garment).grain == ((50, 50), (50, 170))
    assert garment.drawing.ignored == ("line in 'a': line 'seam' (line 2)",)
    turned = arrow.replace(
        '<path d="M50 150V30"/>', '<path d="M50 150V30" marker-start="url(#h)"/>'
    )
    piece = only(drawn(tmp_path, document(f"<g id='a'>{OUTLINE}{turned}</g>")))
    assert piece.grain == ((50, 170), (50, 50))


def test_a_fold_that_is_no_edge_of_the_outline_is_refused(tmp_path: Path) -> None:
    inside = FOLD.replace('"0"', '"30"')
    garment = drawn(tmp_path, document(f"<g id='a'>{OUTLINE}{GRAIN}{inside}{WORDS}</g>"))
    (fault,) = fatal(garment)
    assert "line 'fold' (line 2) is marked as the fold, 180 mm long" in fault


def test_notches_lie_on_the_outline(tmp_path: Path) -> None:
    notch = '<line class="notch" x1="94" y1="80" x2="100" y2="80"/>'
    circle = '<circle id="notch-2" cx="100" cy="120" r="1"/>'
    garment = drawn(tmp_path, document(f"<g id='a'>{OUTLINE}{GRAIN}{notch}{circle}{WORDS}</g>"))
    assert garment.drawing.ignored == ()
    assert only(garment).notches[0] == (100, 120)
    notches = garment.data["piece"][0]["notches"]
    assert [n["at"] for n in notches] == [80, pytest.approx(120, abs=0.1)]


def test_what_lies_inside_an_outline_of_its_group_is_a_mark_and_told(tmp_path: Path) -> None:
    inner = '<rect id="pocket" x="20" y="50" width="40" height="50"/>'
    garment = drawn(tmp_path, document(f"<g id='a'>{OUTLINE}{inner}</g>"))
    assert only(garment).name == "a"
    assert garment.drawing.ignored == ("closed line in 'a': rect 'pocket' (line 2)",)
    assert any("is taken for a mark" in str(f) for f in garment.findings if not f.fatal)
    apart = drawn(tmp_path, document(f"<g id='a'>{OUTLINE}</g><g id='b'>{inner}</g>"))
    assert [p.name for p in apart.drawing.pieces] == ["a", "b"]
    assert any("both are taken for pieces" in str(f) for f in apart.findings if not f.fatal)
    left = drawn(tmp_path, document(f"<g id='a'>{OUTLINE}</g><g id='b'>{inner}</g>"),
                 Answers(left_out=("b",)))  # fmt: skip
    assert [p.name for p in left.drawing.pieces] == ["a"]


def test_a_frame_round_the_sheet_is_no_piece(tmp_path: Path) -> None:
    frame = '<rect width="300" height="400"/>'
    garment = drawn(tmp_path, document(f"{frame}<g id='a'>{OUTLINE}</g>"))
    assert only(garment).name == "a"
    assert garment.drawing.ignored == ("the frame of the sheet: rect (line 2)",)


def test_an_outline_drawn_twice_is_one_piece(tmp_path: Path) -> None:
    garment = drawn(tmp_path, document(f"<g id='a'>{OUTLINE}{OUTLINE}</g>"))
    assert only(garment).name == "a"
    assert garment.drawing.ignored == ("drawn a second time: path 'outline' (line 2)",)


def test_open_lines_alone_are_no_piece(tmp_path: Path) -> None:
    garment = drawn(tmp_path, document('<path id="side" d="M0 0 L 50 50"/>'))
    (fault,) = fatal(garment)
    assert "shows no closed outline; it has open lines: path 'side' (line 2)" in fault


def test_mirrored_drawings_keep_their_hand(tmp_path: Path) -> None:
    """A piece seen as drawn: the corner at the right top of the sheet is at the right top."""
    corner = '<polygon id="a" points="0 0 100 0 100 50 0 80"/>'
    points = {p for edge in only(drawn(tmp_path, document(corner))).edges for p in edge.points}
    assert points == {(0, 80), (100, 80), (100, 30), (0, 0)}
    flipped = f'<g transform="translate(200) scale(-1 1)">{corner}</g>'
    points = {p for e in only(drawn(tmp_path, document(flipped))).edges for p in e.points}
    assert {(round(x, 6), round(y, 6)) for x, y in points} == {
        (0, 80),
        (100, 80),
        (100, 0),
        (0, 30),
    }


UNSIZED = 'viewBox="0 0 300 400"'


def test_without_a_size_the_question_names_the_option_and_the_ids(tmp_path: Path) -> None:
    garment = drawn(tmp_path, document(f"<g id='front'>{OUTLINE}{GRAIN}</g>", UNSIZED))
    fault, *others = fatal(garment)
    assert "says nothing of its real size" in fault
    # What else is missing is asked for at once.
    assert [words.split(", ")[2].split(":")[0] for words in others] == ["cut", "drawn"]
    assert "--length ID=26.5cm; lines are called outline, front, grain" in fault


def test_one_length_scales_everything(tmp_path: Path) -> None:
    """The grain line is 120 units long; as 24 cm, a unit is 2 mm."""
    garment = drawn(
        tmp_path, document(f"<g id='front'>{OUTLINE}{GRAIN}</g>", UNSIZED),
        Answers(lengths={"grain": 240.0}),
    )  # fmt: skip
    xs = [x for edge in only(garment).edges for x, _ in edge.points]
    assert max(xs) == pytest.approx(200.0)


@pytest.mark.parametrize(("second", "agrees"), [(359.0, True), (363.0, True), (350.0, False)])
def test_a_second_length_must_agree_within_one_percent(
    tmp_path: Path, second: float, agrees: bool
) -> None:
    """The fold line is 180 units long, 360 mm if the grain line is right."""
    garment = drawn(
        tmp_path, document(f"<g id='front'>{OUTLINE}{GRAIN}{FOLD}{WORDS}</g>", UNSIZED),
        Answers(lengths={"grain": 240.0, "fold": second}),
    )  # fmt: skip
    assert bool(fatal(garment)) is not agrees
    if not agrees:
        (fault,) = fatal(garment)  # Everything else is told.
        assert "'grain' is to be 24 cm and 'fold' 35 cm" in fault
        assert "the second is 36 cm as drawn" in fault


def test_a_test_square_that_is_left_out_can_be_measured(tmp_path: Path) -> None:
    square = "<rect id='square' x='200' y='200' width='20' height='20'/>"
    garment = drawn(
        tmp_path, document(f"<g id='front'>{OUTLINE}{GRAIN}</g>{square}", UNSIZED),
        Answers(lengths={"square": 400.0}, left_out=("square",)),
    )  # fmt: skip
    assert max(x for edge in only(garment).edges for x, _ in edge.points) == pytest.approx(500.0)
    assert garment.drawing.ignored == ("as you asked: rect 'square' (line 2)",)


def test_a_length_of_nothing_that_is_drawn_is_a_finding(tmp_path: Path) -> None:
    garment = drawn(tmp_path, document(OUTLINE, UNSIZED), Answers(lengths={"hem": 5.0}))
    assert "no line is called 'hem'" in fatal(garment)[0]
    assert "outline" in fatal(garment)[0]


def test_a_stated_length_counts_over_the_size_of_the_document_and_is_told(tmp_path: Path) -> None:
    garment = drawn(
        tmp_path, document(f"<g id='front'>{OUTLINE}{GRAIN}{FOLD}{WORDS}</g>"),
        Answers(lengths={"grain": 160.0}),
    )  # fmt: skip
    assert garment.garment is not None
    asked = [str(f) for f in garment.garment.questions]
    assert any("by its own size 'grain' is 120 mm long; you say 160 mm" in f for f in asked)


def test_a_size_in_pixels_is_taken_and_asked_about(tmp_path: Path) -> None:
    text = document(OUTLINE, 'width="960px" height="960px" viewBox="0 0 960 960"')
    garment = drawn(tmp_path, text)
    assert max(x for e in only(garment).edges for x, _ in e.points) == pytest.approx(
        100 / 96 * 25.4
    )
    assert any("1/96 in each" in str(f) for f in garment.findings)


def test_the_file_beside_a_drawing_answers_for_it(tmp_path: Path) -> None:
    file = written(tmp_path, document(f"<g id='front'>{OUTLINE}</g>", UNSIZED))
    with pytest.raises(InputError):
        load_any(file)
    written(
        tmp_path,
        'units = "cm"\ntitle = "Mine"\nlengths = { outline = 102.9 }\n'
        '[all]\nallowance = 1\ngrain = "up"\n[pieces.front]\ncut = { base = "2" }\n',
        "drawing.svg.toml",
    )
    garment = load_any(file)
    assert (garment.title, garment.roles) == ("Mine", ("base",))


@pytest.mark.parametrize(
    ("text", "cuts"),
    [
        ("cut 1 on fold", (("", "1 on fold"),)),
        ("Cut 2", (("", "2"),)),
        ("CUT 1 ON THE FOLD.", (("", "1 ON THE FOLD"),)),
        ("lining: cut 2", (("lining", "2"),)),
        ("cut 2 of main fabric; cut 1 pair in interfacing",
         (("main fabric", "2"), ("interfacing", "1 pair"))),
        ("Front, 1 pair", (("", "1 pair"),)),
        ("cut 0", ()),
        ("cut along this line", ()),
        ("2", ()),
    ],
)  # fmt: skip
def test_cut_words_in_texts(text: str, cuts: tuple[tuple[str, str], ...]) -> None:
    assert read_texts([text]).cuts == cuts


@pytest.mark.parametrize(
    ("text", "net", "allowance"),
    [
        ("seam allowance included", False, None), ("with allowance", False, None),
        ("1.5 cm seam allowance included", False, None), ("net", True, None),
        ("no seam allowance", True, None), ("add 1.5 cm seam allowance", True, 15.0),
        ('add 5/8"', True, 15.875), ("allowance 1.5 cm", None, None), ("network", None, None),
    ],
)  # fmt: skip
def test_allowance_words_in_texts(text: str, net: bool | None, allowance: float | None) -> None:
    told = read_texts([text])
    assert (told.net, told.allowance) == (net, allowance)


def test_two_cut_labels_for_one_role_are_not_settled_by_order() -> None:
    told = read_texts(["cut 2", "cut 4"])
    assert told.cuts == (("", "2"),)
    assert told.rest == ("cut 4",)


LINES = (
    '<path id="hem" d="M0 200H100"/><path id="neck" d="M0 0Q20 30 60 0"/>'
    '<path id="side" d="M100.2 200V50"/><path id="armhole" d="M60 0C60 30 80 50 100 50"/>'
    '<line id="fold" x1="0" y1="200" x2="0" y2="0"/>'
    '<line id="dart" x1="50" y1="200" x2="50" y2="150"/>'
)


def test_lines_that_meet_all_round_are_an_outline_with_named_edges(tmp_path: Path) -> None:
    garment = drawn(tmp_path, document(f"<g id='front'>{LINES}{GRAIN}{WORDS}</g>"))
    piece = only(garment)
    assert fatal(garment) == []
    assert {edge.name for edge in piece.edges} == {"hem", "side", "armhole", "neck", "fold"}
    assert piece.fold == "fold"
    assert garment.drawing.ignored == ("line in 'front': line 'dart' (line 2)",)
    after = [*piece.edges[1:], piece.edges[0]]
    assert [e.points[-1] for e in piece.edges] == [e.points[0] for e in after]


def test_lines_that_leave_a_gap_are_no_outline(tmp_path: Path) -> None:
    gap = LINES.replace("M0 200H100", "M0 200H90")
    garment = drawn(tmp_path, document(f"<g id='front'>{gap}{GRAIN}{WORDS}</g>"))
    assert garment.drawing.pieces == ()
    assert "shows no closed outline; it has open lines" in fatal(garment)[0]


def test_lines_that_fork_are_no_outline(tmp_path: Path) -> None:
    fork = LINES + '<line id="more" x1="0" y1="0" x2="50" y2="100"/>'
    garment = drawn(tmp_path, document(f"<g id='front'>{fork}</g>"))
    assert garment.drawing.pieces == ()


@pytest.mark.parametrize("coding", ["utf-8", "utf-16", "iso-8859-1"])
def test_a_drawing_may_be_saved_in_any_coding_that_it_declares(tmp_path: Path, coding: str) -> None:
    file = tmp_path / "drawing.svg"
    text = document(f"<g><title>Ärmel</title>{OUTLINE}</g>")
    file.write_bytes(f'<?xml version="1.0" encoding="{coding}"?>\n{text}'.encode(coding))
    (piece,) = draw_garment(file).drawing.pieces
    assert piece.name == "Ärmel"


def test_a_name_that_cannot_be_printed_is_made_printable(tmp_path: Path) -> None:
    title = "Left\u202efront"
    assert only(drawn(tmp_path, document(f"<g><title>{title}</title>{OUTLINE}</g>"))).name == (
        "Left?front"
    )


def test_a_stitching_line_inside_makes_the_outline_the_cutting_line(tmp_path: Path) -> None:
    body = (
        "<g id='front'><rect width='100' height='200'/>"
        f"<rect class='net' x='10' y='10' width='80' height='180'/>{GRAIN}"
        "<text x='30' y='30'>cut 2</text></g>"
    )
    garment = drawn(tmp_path, document(body))
    assert only(garment).net is False
    assert fatal(garment) == []
    assert any("stitching line in 'front'" in told for told in garment.drawing.ignored)


def test_the_usual_document_type_is_no_harm_and_is_not_fetched(tmp_path: Path) -> None:
    """Many programs write it; the address is never asked."""
    head = '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://nowhere.invalid/svg11.dtd">'
    assert only(drawn(tmp_path, head + document(f"<g id='front'>{OUTLINE}</g>"))).name == "front"

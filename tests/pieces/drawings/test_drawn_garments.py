"""From drawn pieces to a garment, and to a garment file that says the same."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pieces.drawings.answers import Answers, read_answers
from pieces.drawings.drawn_piece import Drawing, DrawnPiece
from pieces.drawings.loading import garment_of_drawing
from pieces.drawings.outline_edges import edges_of, with_fold
from pieces.findings import InputError
from pieces.lengths import parse_length
from pieces.piece import CutKind
from pieces.readers.garment_toml import load_garment

FRONT = ((0.0, 0.0), (260.0, 0.0), (250.0, 400.0), (90.0, 520.0), (0.0, 480.0))


def front(**changes: Any) -> DrawnPiece:
    """A half front with everything known."""
    folded = with_fold(edges_of(FRONT), ((0.0, 20.0), (0.0, 450.0)))
    assert folded is not None
    edges, fold = folded
    piece = DrawnPiece(
        name="front",
        ident="f1",
        where="path 'f1'",
        edges=edges,
        fold=fold,
        grain=((50.0, 100.0), (50.0, 300.0)),
        notches=((255.0, 200.0),),
        cuts=(("", "1 on fold"),),
        net=True,
        allowance=15.0,
    )
    return replace(piece, **changes)


def drawing(*pieces: DrawnPiece, **more: Any) -> Drawing:
    return replace(Drawing("bodice.svg", "Bodice", pieces=pieces), **more)


@pytest.mark.parametrize("unit", ["mm", "cm", "in"])
def test_a_drawn_piece_and_the_file_written_of_it_are_one_garment(
    tmp_path: Path, unit: str
) -> None:
    drawn = garment_of_drawing(drawing(front(), unit=unit), Answers())
    assert drawn.garment is not None, drawn.findings
    file = tmp_path / "bodice.toml"
    file.write_text(drawn.text(), encoding="utf-8")
    kept = load_garment(file)
    assert kept.pieces == drawn.garment.pieces
    piece = kept.pieces[0]
    assert piece.cuts[0].kind is CutKind.FOLD
    assert piece.stitching is not None
    for point in FRONT:
        assert min(math.dist(point, other) for other in piece.stitching) < 0.002


def test_every_missing_fact_is_asked_for_at_once_with_the_option_that_tells_it() -> None:
    bare = front(fold=None, grain=None, cuts=(), net=None, allowance=None)
    drawn = garment_of_drawing(drawing(bare, replace(bare, name="back", ident="b1")), Answers())
    assert drawn.garment is None
    asked = {(f.piece, f.field): str(f) for f in drawn.findings if f.fatal}
    assert set(asked) == {(p, f) for p in ("front", "back") for f in ("cut", "drawn", "grain")}
    assert '--cut "b1=1 on fold"' in asked["back", "cut"]
    assert "--allowance 1.5cm" in asked["front", "drawn"]
    assert '--grain "f1=up"' in asked["front", "grain"]


def test_answers_fill_in_what_is_missing_and_count_over_the_drawing(tmp_path: Path) -> None:
    bare = front(grain=None, cuts=(), net=None, allowance=None)
    file = tmp_path / "bodice.svg.toml"
    file.write_text(
        'units = "cm"\nlengths = { side = 40 }\n[all]\nallowance = 1\ngrain = "up"\n'
        '[pieces.f1]\ncut = { base = "1 on fold" }\n[pieces.front]\nallowance = 2\n'
    )
    answers = read_answers(file)
    assert answers.lengths == {"side": 400.0}
    drawn = garment_of_drawing(drawing(bare), answers)
    assert drawn.garment is not None, drawn.findings
    assert drawn.garment.roles == ("base",)
    assert {a.width for a in drawn.garment.pieces[0].allowances} == {20.0}
    told = Answers(every={"drawn": "with allowance"}).over(answers)
    told = Answers(pieces={"front": {"drawn": "with allowance"}}).over(told)
    whole = garment_of_drawing(drawing(bare), told)
    assert whole.garment is not None, whole.findings
    assert not whole.garment.pieces[0].net


def test_an_answer_about_a_piece_that_is_not_drawn_is_a_finding() -> None:
    drawn = garment_of_drawing(drawing(front()), Answers(pieces={"frnt": {"grain": "up"}}))
    assert drawn.garment is None
    assert "there is no piece 'frnt'" in str(drawn.findings[0])
    assert "front" in str(drawn.findings[0])


def test_a_file_of_answers_with_a_wrong_key_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "bodice.svg.toml"
    file.write_text('[pieces.f1]\nedges = []\n[all]\ncutt = "2"\n')
    with pytest.raises(InputError) as caught:
        read_answers(file)
    assert len(caught.value.findings) == 2


def test_several_sizes_make_a_sized_garment(tmp_path: Path) -> None:
    large = tuple((x * 1.1, y * 1.05) for x, y in FRONT)
    folded = with_fold(edges_of(large), ((0.0, 20.0), (0.0, 450.0)))
    assert folded is not None
    grain = ((60.0, 100.0), (60.0, 300.0))
    pieces = (
        front(size="S"),
        front(size="L", edges=folded[0], notches=(), grain=grain),
    )
    drawn = garment_of_drawing(drawing(*pieces, sizes=("S", "L"), drawn_size="S"), Answers())
    assert drawn.garment is not None, drawn.findings
    assert drawn.garment.sizes == ("S", "L")
    file = tmp_path / "bodice.toml"
    file.write_text(drawn.text(), encoding="utf-8")
    stitching = load_garment(file, "L").pieces[0].stitching
    assert stitching is not None
    assert max(x for x, _ in stitching) == pytest.approx(286.0, abs=0.01)


def test_the_fold_may_be_a_part_of_an_edge_or_several_points_on_one_line() -> None:
    dented = ((0.0, 0.0), (100.0, 0.0), (100.0, 300.0), (0.0, 300.0), (0.0, 200.0), (0.3, 100.0))
    folded = with_fold(edges_of(dented), ((0.0, 290.0), (0.0, 10.0)))
    assert folded is not None
    edges, fold = folded
    assert [e.points for e in edges if e.name == fold] == [((0.0, 300.0), (0.0, 0.0))]
    assert [e.points[-1] for e in edges] == [*(e.points[0] for e in edges[1:]), edges[0].points[0]]


@pytest.mark.parametrize(
    "line", [((50.0, 0.0), (50.0, 300.0)), ((0.0, 400.0), (0.0, 900.0)), ((5.0, 5.0), (5.0, 5.0))]
)
def test_a_line_that_is_no_part_of_the_outline_is_no_fold(
    line: tuple[tuple[float, float], tuple[float, float]],
) -> None:
    assert with_fold(edges_of(FRONT), line) is None


def test_edges_are_cut_at_corners_and_curves_stay_whole() -> None:
    arc = [(100 * math.cos(t / 20), 100 * math.sin(t / 20)) for t in range(63)]
    assert [edge.name for edge in edges_of(arc)] == ["edge 1", "edge 2"]


def test_a_half_without_a_fold_is_asked_about_with_its_straight_edges() -> None:
    bare = front(fold=None, edges=edges_of(FRONT))
    drawn = garment_of_drawing(drawing(bare), Answers())
    (fault,) = [str(finding) for finding in drawn.findings if finding.fatal]
    assert "no line on its outline is marked as the fold" in fault
    assert '--fold-edge "f1=left" or name an edge' in fault
    assert "edge 5 (left), edge 2 (right), edge 1 (bottom), edge 3 (top), edge 4 (top)" in fault
    for edge in ("edge 5", "left"):
        told = garment_of_drawing(drawing(bare), Answers(pieces={"f1": {"fold": edge}}))
        assert told.garment is not None, told.findings
        assert told.data["piece"][0]["fold"] == "edge 5"


def test_a_side_without_a_straight_edge_is_no_fold() -> None:
    bare = front(fold=None, edges=edges_of(((0.0, 0.0), (200.0, 0.0), (100.0, 300.0))))
    told = garment_of_drawing(drawing(bare), Answers(pieces={"f1": {"fold": "top"}}))
    assert any("there is no edge 'top'" in str(finding) for finding in told.findings)


def test_a_net_outline_without_a_width_is_asked_about() -> None:
    drawn = garment_of_drawing(drawing(front(allowance=None)), Answers())
    (fault,) = [str(finding) for finding in drawn.findings if finding.fatal]
    assert '--allowance "f1=1.5cm"' in fault


@pytest.mark.parametrize("unit", ["inches", "m", "yards", "ft", "centimetres"])
def test_answers_in_any_unit_mean_what_they_say(unit: str) -> None:
    told = Answers(every={"allowance": 0.01}, unit=unit)
    drawn = garment_of_drawing(drawing(front()), told)
    assert drawn.garment is not None, drawn.findings
    (piece,) = drawn.garment.pieces
    assert piece.allowances[0].width == pytest.approx(parse_length(f"0.01 {unit}"))
    assert piece.stitching is not None
    assert max(x for x, _ in piece.stitching) == pytest.approx(260.0, abs=0.002)

"""Where the grain arrow lies on its paper: a rectangle known by hand, however it is turned."""

from __future__ import annotations

import math

import pytest

from pieces.lengths import System
from plans.outputs.report.table_cards import fabric_lay
from plans.words.at_table.arrow_on_paper import ArrowOnPaper, arrow_on_paper, arrow_rows
from tests.plans.demo import demo_plan

PANEL = ((0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0))
ARROW = ((120.0, 254.0), (480.0, 254.0))


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 33.0])
@pytest.mark.parametrize("flip", [1.0, -1.0])
def test_an_arrow_is_measured_on_its_own_piece(turn: float, flip: float) -> None:
    """12 cm behind it, 40 - 25.4 cm beside it, 36 cm long: a placement changes none of it."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def put(point: tuple[float, float]) -> tuple[float, float]:
        x, y = point[0], flip * point[1]
        return cos * x - sin * y + 70.0, sin * x + cos * y - 30.0

    found = arrow_on_paper(tuple(map(put, PANEL)), (put(ARROW[0]), put(ARROW[1])))
    assert (found.behind, found.beside, found.length) == pytest.approx((120.0, 146.0, 360.0))


BODICE = (
    (0.0, 0.0), (420.0, 0.0), (440.0, 120.0), (300.0, 260.0), (200.0, 240.0), (0.0, 280.0),
)  # fmt: skip
"""A half; its fold runs from (0, 0) to (420, 0)."""


@pytest.mark.parametrize("half", [PANEL, BODICE])
@pytest.mark.parametrize("turn", [0.0, 33.0])
@pytest.mark.parametrize("beside", [30.0, 90.0, 150.0])
def test_what_is_traced_whole_is_measured_on_its_half(
    half: tuple[tuple[float, float], ...], turn: float, beside: float
) -> None:
    """The paper is a half, whose fold line is an edge, wherever the whole lies."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def put(point: tuple[float, float]) -> tuple[float, float]:
        return cos * point[0] - sin * point[1] + 70.0, sin * point[0] + cos * point[1] - 30.0

    whole = _opened_out(half)
    arrow = (put((60.0, beside)), put((180.0, beside)))
    on_half = arrow_on_paper(tuple(map(put, half)), arrow)
    on_whole = arrow_on_paper(tuple(map(put, whole)), arrow, opened=True)
    assert (on_whole.behind, on_whole.beside) == pytest.approx((on_half.behind, on_half.beside))
    assert on_half.beside <= beside + 1e-6


def _opened_out(half: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """A half whose first edge is its fold, with its mirror image."""
    return (*half[1:], half[0], *((x, -y) for x, y in half[:1:-1]))


def test_an_open_layout_tells_of_a_paper_what_a_folded_one_tells() -> None:
    """The front of a top: nearer to its fold line than to any edge of the traced whole."""
    rows = []
    for fold in ("lengthwise", "open"):
        entry = demo_plan("top-from-block", fold).fabrics[0]
        front = [placed for placed in entry.placements if placed.piece == "front"]
        assert [placed.opened for placed in front] == [fold == "open"]
        rows.append(arrow_rows(front, System.METRIC))
    assert rows[0] == rows[1]


def test_a_tail_on_the_edge_is_at_it() -> None:
    """Nothing behind it."""
    assert arrow_on_paper(PANEL, ((0.0, 100.0), (50.0, 100.0))) == ArrowOnPaper(0.0, 100.0, 50.0)


def test_each_piece_is_told_once() -> None:
    """Copies of a piece have one paper."""
    entry = demo_plan("trousers").fabrics[0]
    names = [row[0] for row in arrow_rows(entry.placements, System.METRIC)]
    assert sorted(names) == sorted({placed.piece for placed in entry.placements})


def test_it_is_told_before_the_pieces_are_pinned() -> None:
    """At the table on the card on which everything is pinned, with every piece."""
    entry = demo_plan("trousers").fabrics[0]
    lay = fabric_lay(entry, "f0s", System.METRIC)
    (card,) = (card for card in lay.cards if card.title == "Pin everything first")
    assert "Where the grain arrow is drawn on the paper, in cm" in card.body
    for row in arrow_rows(entry.placements, System.METRIC):
        assert all(f">{cell}</td>" in card.body for cell in row)

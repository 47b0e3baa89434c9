"""The pinning table and the cutting list: distances a hand finds, words that mean one thing."""

from __future__ import annotations

import re

import pytest

from fabrics.lay_edges import EdgeName, lay_edges, nearest_edge
from fabrics.shelf import find_fabric
from fabrics.spread import Faces, Fold, make_spread
from pieces.lengths import System, format_tape
from plans.drawing.diagram import label_room, pieces_shown
from plans.drawing.sheets import shown_range
from plans.leftover_use.laying import traced_label
from plans.plan import FabricPlan
from plans.problem.demand import demands_for
from plans.words.cutting_list import cutting_rows
from plans.words.facts import plan_text
from plans.words.pinning import cut_words, pin_figures, pin_rows, pin_words
from tests.plans.demo import CLOTH, demo_plan, garment


def entries() -> list[FabricPlan]:
    """Every fabric of every demo, and folds that few of them choose."""
    plans = [demo_plan(name) for name in CLOTH]
    plans += [demo_plan("layered-top", "double"), demo_plan("wrap-skirt", "crosswise")]
    return [entry for plan in plans for entry in plan.fabrics]


def test_a_double_fold_is_measured_from_the_fold_that_is_nearer_to_each_end() -> None:
    """A lay 79.2 cm high: 44.8 cm from one fold is 34.4 cm from the other, which is named."""
    spread = make_spread(Fold.DOUBLE, 1420.0, 15.0, 340.0, 288.0)
    assert spread.lay_height == pytest.approx(792.0)
    assert nearest_edge(spread, 448.0).name is EdgeName.LEFT_FOLD
    assert abs(nearest_edge(spread, 448.0).at - 448.0) == pytest.approx(344.0)
    assert nearest_edge(spread, 344.0).name is EdgeName.RIGHT_FOLD


@pytest.mark.parametrize(
    ("fold", "faces", "names"),
    [
        (Fold.OPEN, Faces.IN, ("right selvage", "left selvage")),
        (Fold.LENGTHWISE, Faces.IN, ("fold", "selvages")),
        (Fold.LENGTHWISE, Faces.OUT, ("selvages", "fold")),
        (Fold.PARTIAL, Faces.IN, ("fold", "selvage")),
        (Fold.PARTIAL, Faces.OUT, ("selvage", "fold")),
        (Fold.DOUBLE, Faces.IN, ("right fold", "left fold")),
        (Fold.CROSSWISE, Faces.IN, ("right selvages", "left selvages")),
        (Fold.TURNED, Faces.IN, ("right selvages", "left selvages")),
    ],
)
def test_edges_are_named_as_a_hand_finds_them(
    fold: Fold, faces: Faces, names: tuple[str, str]
) -> None:
    """Two edges alike are told apart by the hand at which they lie; others need no side."""
    depth = 300.0 if fold in (Fold.PARTIAL, Fold.DOUBLE) else None
    spread = make_spread(fold, 1500.0, 15.0, depth, faces=faces)
    first, second = lay_edges(spread)
    assert (first.name.value, second.name.value) == names
    assert (first.at, second.at) == (0.0, spread.lay_height)


def test_of_two_edges_as_near_the_fold_is_taken() -> None:
    """In the middle between fold and selvage, the fold."""
    spread = make_spread(Fold.LENGTHWISE, 1400.0, 10.0, faces=Faces.OUT)
    assert nearest_edge(spread, spread.lay_height / 2.0).name is EdgeName.FOLD


def test_every_distance_is_from_the_nearest_edge_and_names_it() -> None:
    """For both ends of every arrow of every plan, checked against the lay itself."""
    for entry in entries():
        for placed in entry.placements:
            section = entry.sections[placed.section]
            edges = {edge.name: edge.at for edge in lay_edges(section.spread)}
            lead = shown_range(entry, placed.section)[0]
            for (x, y), pin in zip(placed.grain, placed.pins, strict=True):
                assert pin.from_edge == pytest.approx(abs(y - edges[pin.edge]), abs=1e-6)
                assert pin.from_edge <= min(abs(y - at) for at in edges.values()) + 0.5
                assert pin.from_end == pytest.approx(x - lead, abs=1e-6)


def test_the_table_says_in_words_from_which_edge() -> None:
    """Each line names the edge beside the figure; left and right are explained where they occur."""
    entry = demo_plan("layered-top", "double").fabrics[0]
    for placed, row in zip(entry.placements, pin_rows(entry, System.METRIC), strict=True):
        tail, head = placed.pins
        assert row[5] == f"{format_tape(tail.from_edge, System.METRIC)} from {tail.edge.value}"
        assert row[7] == f"{format_tape(head.from_edge, System.METRIC)} from {head.edge.value}"
    assert "look along the cloth" in pin_words(entry, System.METRIC)
    single = demo_plan("trousers", "lengthwise").fabrics[0]
    assert "look along the cloth" not in pin_words(single, System.METRIC)


def test_both_ends_of_a_roomy_arrow_have_their_figures_on_the_drawing() -> None:
    """Every leg of the trousers has the two figures of the table at its tail and at its head."""
    entry = demo_plan("trousers").fabrics[0]
    low, high = shown_range(entry, 0)
    places = label_room(entry, 0, 6.0, low, high, System.METRIC)
    places.labels()
    shown = pieces_shown(entry, 0, low, high)
    spots = places.figures()
    written = {(label.number, label.spot.lines[0]) for label in spots}
    for placed in shown:
        if placed.piece.endswith("leg"):
            for pin in placed.pins:
                assert (placed.number, pin_figures(pin, System.METRIC)) in written


def test_a_half_that_is_traced_whole_is_not_said_to_lie_on_a_fold() -> None:
    """Neither on the drawing nor in the lists; the note gives numbers of pieces, not counts."""
    plan = demo_plan("pinafore", "open")
    entry = plan.fabrics[0]
    opened = [placed for placed in entry.placements if placed.opened]
    assert opened
    for placed in opened:
        assert cut_words(placed) == "cut whole"
    rows = [*pin_rows(entry, System.METRIC), *cutting_rows(entry)]
    assert not any("on fold" in cell for row in rows for cell in row)
    assert any("traced whole" in row[-1] for row in cutting_rows(entry))
    first = opened[0]
    assert f"no. {first.number} {first.piece}" in " ".join(entry.notes)


def test_no_row_says_the_same_twice() -> None:
    """No "upper only; upper ply only", in any row of any plan; hatching means the paper's print."""
    for entry in entries():
        for row in cutting_rows(entry):
            parts = [part.strip() for part in re.split("[;,]", row[-1])]
            assert len(parts) == len(set(parts))
            assert row[-1].count("upper") <= 1
        for row, placed in zip(pin_rows(entry, System.METRIC), entry.placements, strict=True):
            assert ("printed side down" in row[1]) == placed.face_down


def test_words_of_the_trade_are_explained() -> None:
    """What combined folds are, and why two shares of the cloth differ."""
    text = plan_text(demo_plan("blouse"), System.METRIC)
    assert "boxes" not in text
    assert "Of the exact length alone" in " ".join(text.split())


def test_halves_on_leftovers_are_not_said_to_lie_on_a_fold() -> None:
    """A leftover is a single layer: a half is traced whole there, and its label says so."""
    cloth = find_fabric("demo-quilting-cotton")
    labels = {
        demand.piece.name: (traced_label(demand), demand.half is not None)
        for demand in demands_for(garment("pinafore").pieces, ("main",), cloth, 1)
    }
    assert any(half for _, half in labels.values())
    for label, half in labels.values():
        assert (label == "cut whole") == half

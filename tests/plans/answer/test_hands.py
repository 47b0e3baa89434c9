"""The hand that a garment file states: what is cut, and how every output calls it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from fabrics.fabric import Fabric
from fabrics.plain import plain_fabric
from fabrics.region import Region
from fabrics.stash.records import LeftoverRecord
from layout.hand import Hand
from pieces.drafting.garment import Garment
from pieces.drafting.summary import garment_summary
from pieces.lengths import System
from pieces.piece import Side
from pieces.readers.garment_toml import check_garment, load_garment
from plans.answer.planner import plan_garment
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.drawing.diagram import label_room
from plans.leftover_use.planning import plan_with_leftovers
from plans.order import Order
from plans.outputs.report.page import html_text
from plans.plan import FabricPlan, Plan
from plans.words.cutting_list import cutting_rows
from plans.words.facts import plan_text
from plans.words.lists.tables import garment_table
from plans.words.pinning import pin_rows, pin_words

PANEL = """
[[piece]]
name = "{name}"
cut = {{ main = "{cut}" }}
drawn = "with allowance"
grain = "up"
{more}
edges = [
  {{ name = "hem", to = [30, 0] }},
  {{ name = "side", to = [30, 40] }},
  {{ name = "top", to = [10, 50] }},
  {{ name = "front", to = [0, 0] }},
]
"""
LINEN = replace(plain_fabric("100cm"), name="linen", title="linen")


def written(folder: Path, *pieces: tuple[str, str, str]) -> Path:
    """A garment file of skewed panels: name, cut and what more each says."""
    path = folder / "vest.toml"
    panels = [PANEL.format(name=name, cut=cut, more=more) for name, cut, more in pieces]
    path.write_text('title = "Vest"\nunits = "cm"\n' + "".join(panels), encoding="utf-8")
    return path


def planned(garment: Garment, fold: str, cloth: Fabric = LINEN) -> Plan:
    """A quick plan on linen."""
    return plan_garment(Order(garment, {"main": cloth}, fold=fold, effort="quick"))


def vest(folder: Path, cut: str, more: str = 'hand = "left"') -> Garment:
    """A garment of one panel."""
    return load_garment(written(folder, ("panel", cut, more)))


def copies(entry: FabricPlan) -> list[tuple[Hand, Side | None]]:
    """Hands and sides of all copies, sorted."""
    found = [(copy.hand, copy.side) for placed in entry.placements for copy in placed.copies]
    return sorted(found, key=lambda pair: pair[0].value)


@pytest.mark.parametrize(
    ("cut", "fold", "expected"),
    [
        ("1", "open", [(Hand.DRAWN, Side.LEFT)]),
        ("1", "lengthwise", [(Hand.DRAWN, Side.LEFT)]),
        ("2", "open", [(Hand.DRAWN, Side.LEFT), (Hand.OTHER, Side.RIGHT)]),
        ("1 pair", "lengthwise", [(Hand.DRAWN, Side.LEFT), (Hand.OTHER, Side.RIGHT)]),
        ("2 same way", "open", [(Hand.DRAWN, Side.LEFT)] * 2),
    ],
)
def test_a_stated_hand_names_every_copy(
    tmp_path: Path, cut: str, fold: str, expected: list[tuple[Hand, Side]]
) -> None:
    """Pairs are one of each hand, a single one and those cut the same way of the hand drawn."""
    (entry,) = planned(vest(tmp_path, cut), fold).fabrics
    assert copies(entry) == expected


def test_a_left_one_lies_as_it_is_drawn_on_the_right_side(tmp_path: Path) -> None:
    """Printed side up on cloth right side up: its outline keeps its sense of turning."""
    (entry,) = planned(vest(tmp_path, "1"), "open").fabrics
    (placed,) = entry.placements
    assert not placed.face_down
    (entry,) = planned(vest(tmp_path, "2"), "open").fabrics
    assert {p.copies[0].side: p.face_down for p in entry.placements} == {
        Side.LEFT: False,
        Side.RIGHT: True,
    }


def test_no_hand_is_named_that_nobody_states_or_tells_apart(tmp_path: Path) -> None:
    """Neither without a word in the file, nor on cloth whose faces are alike."""
    (entry,) = planned(vest(tmp_path, "2", ""), "open").fabrics
    assert {side for _, side in copies(entry)} == {None}
    assert not any("left" in cell for row in cutting_rows(entry) for cell in row)
    alike = replace(LINEN, faces_alike=True)
    (entry,) = planned(vest(tmp_path, "2"), "open", alike).fabrics
    assert copies(entry) == [(Hand.EITHER, None)] * 2


def test_a_mirrored_piece_is_of_the_other_hand_unless_it_says_its_own(tmp_path: Path) -> None:
    """What a piece says of its hand is said of the piece as it is laid."""
    mirrored = 'name = "{0}"\ncut = {{ main = "1" }}\nlike = "panel"\nmirrored = true\n{1}\n'
    path = written(tmp_path, ("panel", "1", 'hand = "left"'))
    text = path.read_text(encoding="utf-8")
    for name, more in (("other", ""), ("own", 'hand = "left"')):
        text += "[[piece]]\n" + mirrored.format(name, more)
    path.write_text(text, encoding="utf-8")
    hands = {piece.name: piece.drawn_hand for piece in load_garment(path).pieces}
    assert hands == {"panel": Side.LEFT, "other": Side.RIGHT, "own": Side.LEFT}


def test_the_hand_of_a_half_on_the_fold_is_asked_about(tmp_path: Path) -> None:
    """A half has no hand; where the piece is cut singly too, it has."""
    half = 'fold = "side"\nhand = "left"'
    path = written(tmp_path, ("panel", "1 on fold", half))
    (asked,) = [finding for finding in check_garment(path) if finding.field == "hand"]
    assert not asked.fatal
    assert "left and right in one" in asked.message
    (entry,) = planned(load_garment(path), "lengthwise").fabrics
    assert copies(entry) == [(Hand.EITHER, None)]
    path = written(tmp_path, ("panel", "2", 'hand = "left"'))
    assert check_garment(path) == []


def test_tables_lists_and_labels_say_left_and_right(tmp_path: Path) -> None:
    """Each hand has a row of its own in the cutting list; two plies at once give both."""
    (entry,) = planned(vest(tmp_path, "2"), "open").fabrics
    rows = cutting_rows(entry)
    assert sorted(row[1] for row in rows) == ["panel, left", "panel, right"]
    assert {row[3] for row in rows} == {"cut 2 (1 from here)"}
    names = {row[1] for row in pin_rows(entry, System.METRIC)}
    assert names == {"panel, left", "panel, right (printed side down)"}
    wearer = "Left and right after the name of a piece are those of the wearer."
    assert wearer in pin_words(entry, System.METRIC)
    (unstated,) = planned(vest(tmp_path, "2", ""), "open").fabrics
    assert wearer not in pin_words(unstated, System.METRIC)
    labels = {
        label.spot.lines[0]
        for label in label_room(entry, 0, 10.0, 0.0, 2000.0, System.METRIC).labels()
    }
    sides = {placed.number: placed.copies[0].side for placed in entry.placements}
    assert labels == {f"{number}  panel, {side.value}" for number, side in sides.items() if side}
    plan = planned(vest(tmp_path, "2"), "lengthwise")
    (folded,) = plan.fabrics
    assert [row[1] for row in cutting_rows(folded)] == ["panel, left and right"]
    assert "panel, left and right" in html_text(plan, System.METRIC)


def test_the_list_of_pieces_says_which_hand_is_drawn(tmp_path: Path) -> None:
    """A single one is of that hand, of a pair it is the one drawn."""
    path = written(
        tmp_path, ("one", "1", 'hand = "left"'), ("two", "2", 'hand = "right"'), ("plain", "2", "")
    )
    table = garment_table(load_garment(path), System.METRIC)
    rows = {line.split()[0]: line for line in table.splitlines() if "main:" in line}
    assert rows["one"].endswith("main: cut 1, left")
    assert rows["two"].endswith("main: cut 2, right drawn")
    assert rows["plain"].endswith("main: cut 2")
    summary = garment_summary(load_garment(path))
    assert "one (1, left), two (2, right drawn), plain (2)" in summary[1]


def test_a_plan_file_keeps_the_side_and_older_ones_have_none(tmp_path: Path) -> None:
    """There and back; a plan that states no hand has no such field."""
    plan = planned(vest(tmp_path, "2"), "open")
    data = json.loads(json.dumps(plan_to_json(plan)))
    again = plan_from_json(data)
    assert copies(again.fabrics[0]) == copies(plan.fabrics[0])
    assert plan_to_json(again) == data
    older = plan_to_json(planned(vest(tmp_path, "2", ""), "open"))
    assert "side" not in older["fabrics"][0]["placements"][0]["copies"][0]


def test_leftovers_give_each_hand_by_its_name(tmp_path: Path) -> None:
    """What lies on a leftover is called by its side too; what is bought is the other one."""
    region = Region(
        ((0.0, 0.0), (520.0, 0.0), (520.0, 320.0), (0.0, 320.0)), (), 520.0 * 320.0,
        (0.0, 0.0, 520.0, 320.0),
    )  # fmt: skip
    narrow = replace(plain_fabric("40cm"), name="linen", title="linen")
    there = [LeftoverRecord("L1", narrow, region, "", "today")]
    garment = vest(tmp_path, "2")
    plan = plan_with_leftovers(Order(garment, {"main": narrow}, effort="quick", ends=0.0), there)
    (on_it,) = plan.on_leftovers[0].copies
    (bought,) = plan.fabrics[0].placements
    assert {on_it.side, bought.copies[0].side} == {Side.LEFT, Side.RIGHT}
    assert on_it.side is not None
    assert f"panel, {on_it.side.value} x 1" in plan_text(plan, System.METRIC)
    assert plan_from_json(json.loads(json.dumps(plan_to_json(plan)))).on_leftovers[0].copies[0].side

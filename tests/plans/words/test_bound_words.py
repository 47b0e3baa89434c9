"""Why a plan cannot be shorter, in words with figures known by hand and in the plan's file."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest

from fabrics.plain import plain_fabric
from layout.bounds.terms.bound import BoundKind, Share
from layout.layout import EndedBy
from pieces.drafting.garment import Garment
from pieces.lengths import System, format_length, parse_length
from pieces.piece import Cut, CutKind, Piece
from plans.answer.planner import plan_garment
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.order import Order
from plans.plan import FabricPlan, Plan
from plans.words.bound_words import proof_words
from plans.words.facts import arithmetic, ended_words
from plans.words.key_figures import key_figures


def panel(name: str, long: float, wide: float, kind: CutKind, count: int = 1) -> Piece:
    """A rectangle (mm), its fold edge along the grain where it lies on one."""
    return Piece(
        name=name,
        outline=((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)),
        grain=((long * 0.25, wide / 2), (long * 0.75, wide / 2)),
        fold=((0.0, 0.0), (long, 0.0)) if kind is CutKind.FOLD else None,
        cuts=(Cut("cloth", kind, count),),
    )


def planned(fold: str, *pieces: Piece, ends: float = 0.0, cloth: str = "140cm,selvage=0") -> Plan:
    order = Order(
        Garment("t", "T", pieces), {"cloth": plain_fabric(cloth)},
        fold=fold, effort="quick", ends=ends,
    )  # fmt: skip
    return plan_garment(order)


def proof(entry: FabricPlan) -> str:
    return proof_words(entry, System.METRIC)


def on_the_fold() -> Plan:
    """Wholes of 80 cm have no room on a lay of 70 cm: both halves lie on the fold."""
    front, back = (panel(n, a, 400.0, CutKind.FOLD) for n, a in (("front", 426.0), ("back", 390.0)))
    return planned("lengthwise", front, back, ends=30.0)


def test_pieces_that_need_the_fold_are_named_with_their_lengths() -> None:
    """42.6 cm and 39 cm of fold, the gap of 3 mm between, 3 cm of ends."""
    (entry,) = on_the_fold().fabrics
    assert entry.length == pytest.approx(426.0 + 390.0 + 3.0 + 30.0, abs=0.3)
    assert entry.bound == pytest.approx(entry.length, abs=0.4)
    assert entry.bound_shares == (Share("front", 1, 426.0), Share("back", 1, 390.0))
    assert proof(entry) == (
        "no layout so folded is shorter: front and back both need the fold: 42.6 cm + 39 cm, and "
        "0.3 cm between them; 3 cm more for the ends"
    )
    assert entry.ended_by is EndedBy.BOUND
    assert ended_words(entry).startswith("The search ended: no layout")
    rows = dict(key_figures(entry, System.METRIC).rows())
    assert rows["why no layout is shorter than that"] == proof(entry)


def test_pieces_of_which_all_places_are_ruled_out_need_so_much() -> None:
    """A plan of just that length is not shorter; of a longer one the least is told."""
    shares = (Share("front", 2, 0.0), Share("back", 1, 0.0))
    entry = replace(
        on_the_fold().fabrics[0], bound_kind=BoundKind.PLACED, bound_shares=shares, ends=30.0
    )
    assert proof(entry) == (
        "no layout so folded is shorter: 2 x front and back fit on nothing shorter, wherever each "
        "of them lies; 3 cm more for the ends"
    )
    longer = replace(entry, bound=entry.length - 9.0)
    least = format_length(longer.bound - 30.0, System.METRIC)
    assert f": 2 x front and back need {least} at least, wherever each" in proof(longer)


def test_pieces_too_wide_to_lie_side_by_side_are_named() -> None:
    """Two panels of 80 cm on cloth of 140 cm lie one after another."""
    entry = planned(
        "open",
        panel("panel", 300.0, 800.0, CutKind.SAME_WAY, 2),
        panel("flap", 200.0, 650.0, CutKind.SAME_WAY),
    ).fabrics[0]
    assert entry.bound_kind is BoundKind.SIDE_BY_SIDE
    assert entry.length == pytest.approx(806.0, abs=0.4)
    assert entry.bound == pytest.approx(entry.length, abs=0.4)
    assert proof(entry).startswith(
        "no layout in a single layer is shorter: of 2 x panel and flap no two fit side by side "
        "where they are wide: 2 x 30 cm + 20 cm, and 2 x 0.3 cm between them"
    )
    many = replace(entry, bound_shares=tuple(Share(str(n), 1, 100.3) for n in range(8)))
    many = replace(many, bound=802.1)
    assert proof(replace(many, length=802.1)).endswith(
        "8 kinds of piece no two fit side by side where they are wide: 80.2 cm"
    )
    # What is no sum of one row is told as it is.
    assert proof(replace(entry, gap=5.0)).endswith("2 x 30.3 cm + 20.3 cm")


@pytest.mark.parametrize("ends", [20.0, 30.0, 31.0])
def test_lengths_in_inches_add_up_to_the_bound(ends: float) -> None:
    """What is cut off at the ends is what is left of it, here and in the purchase."""
    entry = planned("open", panel("panel", 430.0, 800.0, CutKind.SAME_WAY), ends=ends).fabrics[0]
    alone, beyond = re.findall(r"(\d[\d /]* in)\b", proof_words(entry, System.IMPERIAL))
    total = parse_length(alone) + parse_length(beyond)
    assert total == pytest.approx(parse_length(format_length(entry.bound, System.IMPERIAL)))
    assert f"+ {beyond} for both" in arithmetic(entry, System.IMPERIAL)[1].how


def test_how_many_lie_side_by_side_is_told() -> None:
    """Seven squares of 40 cm, three across on 140 cm: three rows and two gaps."""
    entry = planned("open", panel("square", 400.0, 400.0, CutKind.SAME_WAY, 7)).fabrics[0]
    assert entry.bound_kind is BoundKind.SO_MANY_ACROSS
    assert entry.bound_across == 3
    assert entry.length == pytest.approx(1206.0, abs=0.4)
    assert entry.bound == pytest.approx(entry.length, abs=0.4)
    assert proof(entry) == (
        "no layout in a single layer is shorter: of 7 x square no more than 3 fit side by side "
        "where they are wide"
    )


def test_what_buys_no_less_is_told_apart_from_what_is_no_shorter() -> None:
    """Three wedges are longer than their area over the width, but cloth is sold by two metres."""
    outline = ((0.0, 0.0), (600.0, 0.0), (0.0, 1000.0))
    wedge = replace(panel("wedge", 600.0, 1000.0, CutKind.SAME_WAY, 3), outline=outline)
    entry = planned("open", wedge, cloth="140cm,selvage=0,step=2m").fabrics[0]
    assert 640.0 < entry.bound < entry.length - 10.0
    assert entry.ended_by is EndedBy.TARGET
    assert "would buy less" in ended_words(entry)
    assert proof(entry).startswith("no layout in a single layer buys less: ")


def test_the_reason_is_kept_in_the_file_and_older_files_have_none() -> None:
    """What was written before reasons were kept still reads."""
    plan = on_the_fold()
    text = json.dumps(plan_to_json(plan))
    assert plan_from_json(json.loads(text)).fabrics[0].bound_shares == plan.fabrics[0].bound_shares
    data = json.loads(text)
    assert data["fabrics"][0]["bound_pieces"][0] == {
        "piece": "front", "copies": 1, "length_mm": 426.0,
    }  # fmt: skip
    del data["fabrics"][0]["bound_pieces"]
    assert plan_from_json(data).fabrics[0].bound_shares == ()


def test_what_is_proved_of_a_fold_is_told_of_its_depth_alone() -> None:
    """Of a partial fold the planner has chosen the depth: another may take less."""
    front = panel("front", 426.0, 400.0, CutKind.FOLD)
    entry = planned("partial", front, panel("back", 390.0, 400.0, CutKind.FOLD)).fabrics[0]
    assert entry.ended_by is EndedBy.BOUND
    assert proof(entry).startswith("no layout folded just so deep is shorter: ")
    assert "spread so" in ended_words(entry)

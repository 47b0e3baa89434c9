"""Whose pieces are, and for which of several alike."""

from __future__ import annotations

import json
import re
from collections import Counter

import pytest

from pieces.lengths import System
from plans.answer.planner import plan_garment
from plans.data.plan_json import PlanFileError, plan_from_json, plan_to_json
from plans.orders.making import order_of
from plans.orders.request import GarmentAsked, Request
from plans.plan import Plan, PlannedGarment, Whose
from plans.words.cutting_list import cutting_rows
from plans.words.piece_names import merged, piece_words, whose_words
from plans.words.pinning import pin_rows
from tests.plans.orders.aprons import write_apron


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """Three aprons of one size and one of another, in half of the cloth folded."""
    apron = str(write_apron(tmp_path_factory.mktemp("aprons")))
    request = Request(
        (GarmentAsked(apron, "S", 3), GarmentAsked(apron, "L")),
        {"main": "140cm"},
        effort="quick",
        fold="lengthwise",
    )
    return plan_garment(order_of(request))


def test_each_garment_gets_all_of_its_pieces(plan: Plan) -> None:
    """As often as its file says: one front, one pocket, two ties."""
    assert plan.garments == (PlannedGarment("apron S", 3), PlannedGarment("apron L", 1))
    counts: Counter[tuple[str, int]] = Counter()
    for placed in plan.fabrics[0].placements:
        assert placed.whose is not None
        assert placed.piece.startswith(f"{placed.whose.garment}: ")
        assert placed.whose.of == {g.name: g.count for g in plan.garments}[placed.whose.garment]
        share, rest = divmod(len(placed.copies), len(placed.whose.which))
        assert rest == 0
        for which in placed.whose.which:
            counts[placed.piece, which] += share
    assert counts == {
        **{("apron S: front", k): 1 for k in (1, 2, 3)},
        **{("apron S: pocket", k): 1 for k in (1, 2, 3)},
        **{("apron S: tie", k): 2 for k in (1, 2, 3)},
        ("apron L: front", 1): 1,
        ("apron L: pocket", 1): 1,
        ("apron L: tie", 1): 2,
    }


def test_two_plies_may_be_for_two_garments(plan: Plan) -> None:
    """Fronts that are cut together through both plies are for one apron each."""
    pairs = [
        placed
        for placed in plan.fabrics[0].placements
        if placed.piece == "apron S: front" and len(placed.copies) == 2
    ]
    (words,) = [piece_words(placed) for placed in pairs]
    assert re.fullmatch("apron S (1 and 2|1 and 3|2 and 3) of 3: front", words)


def test_tables_say_whose_pieces_are(plan: Plan) -> None:
    """The pinning table piece by piece, the cutting list together."""
    entry = plan.fabrics[0]
    assert any(row[1].startswith("apron L: front") for row in pin_rows(entry, System.METRIC))
    listed = [row[1] for row in cutting_rows(entry)]
    assert "apron S 1 to 3 of 3: pocket" in listed
    assert "apron L: pocket" in listed


def test_a_plan_of_several_garments_is_read_back(plan: Plan) -> None:
    """With whose its pieces are."""
    data = json.loads(json.dumps(plan_to_json(plan)))
    assert plan_to_json(plan_from_json(data)) == data
    assert plan_from_json(data).fabrics[0].placements[0].whose == (
        plan.fabrics[0].placements[0].whose
    )
    for wrong in ([], ["one"], [0], [True]):
        data["fabrics"][0]["placements"][0]["whose"]["which"] = wrong
        with pytest.raises(PlanFileError, match="which"):
            plan_from_json(data)


@pytest.mark.parametrize(
    ("which", "of", "words"),
    [
        ((1,), 1, "apron S"),
        ((2,), 3, "apron S 2 of 3"),
        ((1, 2), 3, "apron S 1 and 2 of 3"),
        ((1, 3), 3, "apron S 1 and 3 of 3"),
        ((1, 2, 3), 3, "apron S 1 to 3 of 3"),
        ((1, 2, 3, 5, 7), 8, "apron S 1 to 3, 5, 7 of 8"),
    ],
)
def test_numbers_are_said_as_a_person_says_them(
    which: tuple[int, ...], of: int, words: str
) -> None:
    """Each, or from one to another."""
    assert whose_words(Whose("apron S", which, of)) == words
    assert merged([Whose("apron S", (k,), of) for k in reversed(which)]) == (
        Whose("apron S", which, of)
    )

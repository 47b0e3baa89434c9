"""What is not typed yet: asked for quietly, and at fault only once the draft is to be put away."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from tests.page import Client, client
from tests.plans.page.test_drafting import SQUARE, Tab, mine, said

__all__ = ["client", "mine"]


def test_what_is_empty_is_asked_for_until_it_is_to_be_put_away(client: Client) -> None:
    """A fresh draft has no faults; what is typed beside an empty field is judged as ever."""
    client.send("/new/garment/nothing", name="mine", units="cm")
    tab = Tab(client, "a")
    asked = {
        "kind": "empty", "piece": 0, "name": "front", "field": "edges[1].to[1].x",
        "place": "edge 1", "words": "type how far across and how far up", "size": "",
    }  # fmt: skip
    assert said(client, tab.data, piece=0)["findings"] == [asked]
    named = asked | {"kind": "error", "words": f"is empty: {asked['words']}"}
    assert tab.put()["findings"] == [named]
    assert said(client, tab.data, piece=0, finished=True)["findings"] == [named]
    tab.data["piece"][0]["edges"][0]["to"] = ["5x", " "]
    error, empty = said(client, tab.data, piece=0)["findings"]
    assert (error["kind"], error["place"]) == ("error", "edge 1, across")
    assert (empty["kind"], empty["words"]) == ("empty", "type how far up")


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"edges": []}, "edges", 'press "One more edge"'),
        ({"grain": [["", ""], [1, 2]]}, "grain[1].x", "type how far across and how far up"),
        ({"cut": {"main": ""}}, "cut.main", "say how often it is cut, "),
        ({"allowances": {"hem": ""}}, "allowances.hem", "type how wide it is"),
        ({"notches": [{"edge": "hem", "at": ""}]}, "notches[1].at", "type how far along"),
        ({"edits": [{"dart": [], "to": "x"}]}, "edits[1].dart", "name its legs"),
        ({"match": {"group": "", "at": [1, 2]}}, "match.group", "type one name for all points"),
        (
            {"match": [{"group": "c", "at": {"edge": "hem", "along": ""}}]},
            "match[1].at.along",
            "type how far along the edge",
        ),
        ({"match": [{"group": "c", "at": ["", ""]}]}, "match[1].at.x", "type how far across"),
        ({"match": [{"group": "c", "at": ""}]}, "match[1].at", "name a notch"),
        ({"match": [{"group": "c", "at": [1, 2], "bar": ""}]}, "match[1].bar", "type how far from"),
        ({"edits": [{"lengthen": "", "by": 3}]}, "edits[1].lengthen", "name the edge"),
    ],
)
def test_any_empty_field_is_asked_for_in_its_own_words(
    client: Client, mine: Path, change: dict[str, Any], field: str, words: str
) -> None:
    """Never as an error."""
    data = copy.deepcopy(SQUARE)
    data["piece"][0] |= change
    empty = [one for one in said(client, data, piece=0)["findings"] if one["kind"] == "empty"]
    assert [one["field"] for one in empty] == [field]
    assert empty[0]["words"].startswith(words)


def test_sides_of_a_seam_are_asked_for_and_its_question_is_no_point(
    client: Client, mine: Path
) -> None:
    """A pair of edges is not how far across and up."""
    data = copy.deepcopy(SQUARE)
    data["sew"] = [["front.hem", ""], ["front.hem", "front.edge 2"]]
    (empty,) = said(client, data)["findings"]
    assert (empty["kind"], empty["field"], empty["place"]) == ("empty", "sew[1].2", "seam 1, to")
    data["sew"] = data["sew"][1:]
    question = said(client, data)["findings"][-1]
    assert (question["field"], question["place"]) == ("sew[1]", "seam 1")
    assert question["words"].endswith("""shorter by that, or type 3.5 cm at "ease")""")

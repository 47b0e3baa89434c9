"""The sizes of a garment that is drafted: each judged, drawn and put away."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

from pieces.readers.garment_toml import load_garment
from tests.page import Client, client
from tests.plans.page.test_drafting import SQUARE, Tab, mine, said

__all__ = ["client", "mine"]


def in_sizes() -> dict[str, Any]:
    """The square in three sizes, of which the middle one is drawn."""
    data = copy.deepcopy(SQUARE) | {"sizes": ["S", "M", "L"], "drawn_size": "M"}
    data["piece"][0]["sizes"] = {"S": {"allowance": "1x"}, "L": {"start": ["q", 0]}}
    return data


def test_each_size_is_judged_and_its_findings_are_told_with_it(client: Client, mine: Path) -> None:
    """That which is shown first; the others beside it, but for a piece alone."""
    data = in_sizes()
    places = [("S", "allowance"), ("L", "start.x")]
    for shown, order in (("", places), ("S", places), ("L", places[::-1])):
        found = said(client, data, piece=0, size=shown)["findings"]
        assert [(one["size"], one["field"]) for one in found if one["kind"] == "error"] == order
    assert said(client, data, piece=0, alone=True)["findings"] == []
    (only,) = said(client, data, piece=0, alone=True, size="L")["findings"]
    assert (only["size"], only["field"]) == ("L", "start.x")
    assert said(client, data, piece=0, alone=True, size="none")["findings"] == []


def test_a_piece_is_drawn_in_the_size_that_is_shown(client: Client, mine: Path) -> None:
    """Its points are those of that size."""
    data = in_sizes()
    edges = copy.deepcopy(data["piece"][0]["edges"])
    edges[0]["to"] = [24, 0]
    data["piece"][0]["sizes"] = {"L": {"edges": edges}}
    for alone in (True, False):
        drawn = said(client, data, piece=0, alone=alone)["picture"]["points"]
        assert ["edges[1].to[1]", 200.0, 0.0] in drawn
        larger = said(client, data, piece=0, alone=alone, size="L")["picture"]["points"]
        assert ["edges[1].to[1]", 240.0, 0.0] in larger


def test_a_fault_in_one_size_keeps_it_off_the_shelf(client: Client, mine: Path) -> None:
    """Told with its size, so that its field can be shown."""
    tab = Tab(client, "a")
    tab.data["sizes"] = ["S", "M"]
    tab.data["piece"][0]["sizes"] = {"M": {"allowance": "1x"}}
    found = tab.put()["findings"]
    assert [(one["size"], one["field"]) for one in found] == [("M", "allowance")]
    tab.data["piece"][0]["sizes"] = {"M": {"allowance": "2 cm"}}
    assert tab.put()["put"]
    assert load_garment(mine, "M").sizes == ("S", "M")
    piece = tomllib.loads(mine.read_text(encoding="utf-8"))["piece"][0]
    assert piece["sizes"] == {"M": {"allowance": "2 cm"}}

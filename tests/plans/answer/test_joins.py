"""Strips that may be joined: bounds that hold however they are cut, and cloth that is short."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest

from fabrics.shelf import find_fabric
from pieces.drafting.garment import Garment
from pieces.readers.garment_toml import load_garment
from plans.answer.planner import plan_garment
from plans.folds.on_hand import ShortageError
from plans.order import Order
from plans.plan import FabricPlan

SASH = """
title = "Sash"
units = "cm"
[[piece]]
name = "front"
cut = { main = "2" }
drawn = "with allowance"
grain = "up"
edges = [
  { name = "hem", to = [32, 0] },
  { name = "side", to = [32, 27] },
  { name = "top", to = [0, 27] },
  { name = "centre", to = [0, 0] },
]
[[piece]]
name = "sash"
cut = { main = "1" }
strip = { length = "180 cm", width = "12 cm" }
drawn = "with allowance"
joinable = { min_part = "25 cm", allowance = "1 cm" }
"""


@lru_cache(maxsize=1)
def sash(folder: Path) -> Garment:
    path = folder / "sash.toml"
    path.write_text(SASH, encoding="utf-8")
    return load_garment(path)


def planned(garment: Garment, on_hand: float | None = None) -> FabricPlan:
    cloth = replace(find_fabric("140cm"), on_hand=on_hand)
    order = Order(garment, {"main": cloth}, fold="open", effort="quick", ends=0.0)
    return plan_garment(order).fabrics[0]


def test_no_bound_counts_on_a_whole_strip_that_may_be_joined(tmp_path: Path) -> None:
    """Pieces of 32 x 27 cm twice and 180 x 12 cm: their area is 28.2 cm of 138 cm cloth.

    No part need be longer than 25 cm and a bit, so that the panels' 27 or 32 cm are the longest.
    """
    entry = planned(sash(tmp_path))
    assert entry.bound <= 330.0
    assert entry.bound <= entry.length


def test_short_cloth_is_met_by_more_joins_before_it_is_called_too_short(tmp_path: Path) -> None:
    """What takes 60 cm with as few joins as are usual lies on 50 with more; 20 are too few."""
    garment = sash(tmp_path)
    usual = planned(garment)
    entry = planned(garment, 500.0)
    assert usual.length > 500.0 >= entry.length
    parts = [
        len([p for p in one.placements if p.piece.startswith("sash")]) for one in (usual, entry)
    ]
    assert parts[0] < parts[1]
    with pytest.raises(ShortageError):
        planned(garment, 200.0)

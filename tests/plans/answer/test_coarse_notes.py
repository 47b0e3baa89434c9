"""A piece with thousands of corners: planned, judged on its true outline, and its cost told."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from fabrics.fabric import Fabric
from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from plans.answer.planner import plan_garment
from plans.order import Order
from plans.plan import FabricPlan

CORNERS = 1500


def traced(folder: Path) -> Path:
    """A garment of one jagged piece."""
    chance = random.Random(2)
    points = []
    for k in range(CORNERS):
        a = 2.0 * math.pi * k / CORNERS
        out = 0.6 * (1 if k % 2 else -1) * chance.uniform(0.6, 1.0)
        points.append(f"{(150 + out) * math.cos(a):.4f},{(220 + out) * math.sin(a):.4f}")
    file = folder / "traced.toml"
    file.write_text(
        'title = "traced"\n[[piece]]\nname = "leaf"\ncut = "2"\ndrawn = "with allowance"\n'
        f'grain = "up"\npath = "M {" L ".join(points)} Z"\npath_unit = "1 mm"\n'
    )
    return file


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_plan_says_what_a_rough_outline_costs(tmp_path: Path, units: str) -> None:
    """A note with the piece, its corners, the distance and the area; every copy is the true one."""
    fabric = _planned(traced(tmp_path), units)
    (note,) = [note for note in fabric.notes if "corners" in note]
    assert "'leaf' has 1500 corners" in note
    assert ("mm outside" if units == "metric" else "in outside") in note
    assert "%) more cloth" in note
    copies = [copy for placed in fabric.placements for copy in placed.copies]
    assert [len(copy.outline) for copy in copies] == [CORNERS, CORNERS]
    one, other = (Polygon(copy.outline) for copy in copies)
    assert one.distance(other) >= 3.0 - 0.01


def test_a_plain_piece_has_no_such_note(tmp_path: Path) -> None:
    """Nothing is said where nothing is rough."""
    file = tmp_path / "plain.toml"
    file.write_text(
        'title = "plain"\n[[piece]]\nname = "strip"\ncut = "2"\ndrawn = "with allowance"\n'
        'strip = { length = "40 cm", width = "10 cm" }\n'
    )
    assert not [note for note in _planned(file, "metric").notes if "corners" in note]


def _planned(file: Path, units: str) -> FabricPlan:
    order = Order(
        garment=load_garment(file, None),
        cloth={"main": Fabric("plain", "plain", 1150.0)},
        fold="open",
        effort="quick",
        system=System(units),
    )
    return plan_garment(order).fabrics[0]

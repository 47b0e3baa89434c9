"""Drawings of flawed cloth folded across: shown to the end of the longer ply, nothing on a flaw."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import pytest
import shapely
from matplotlib.figure import Figure
from shapely.geometry import LineString, Polygon

from fabrics.shelf import find_fabric
from pieces.geometry_types import Ring
from pieces.lengths import System
from plans.answer.planner import plan_garment
from plans.drawing.diagram import draw_section, label_room, shown_flaws
from plans.drawing.labels import text_box
from plans.drawing.leftovers.leftover_marks import leftover_labels, leftover_regions
from plans.drawing.pages.legend import legend_words
from plans.drawing.sheets import ply_ends, sheets_of, shown_range
from plans.order import Order
from plans.plan import FabricPlan
from tests.plans.demo import demo_plan, garment

SCALE = 8.0


def rectangle_at(x: float, y: float, long: float, wide: float) -> Ring:
    return ((x, y), (x + long, y), (x + long, y + wide), (x, y + wide))


@lru_cache(maxsize=4)
def flawed(fold: str) -> FabricPlan:
    """A skirt on linen with a flaw of 30 x 70 cm that its fold must keep clear of."""
    linen = replace(find_fabric("demo-linen"), flaws=(rectangle_at(40.0, 450.0, 300.0, 700.0),))
    order = Order(garment("wrap-skirt"), {"main": linen}, fold=fold, effort="quick")
    return plan_garment(order).fabrics[0]


@pytest.mark.parametrize("fold", ["crosswise", "turned"])
def test_the_lay_is_shown_to_the_end_of_its_longer_ply(fold: str) -> None:
    """The upper ply is as long as the fold is far from the cut end; the lower has the rest."""
    entry = flawed(fold)
    section = entry.sections[0]
    assert section.folded_at is not None
    lower, upper = ply_ends(entry, 0)
    # Squaring off takes some of a cut end; turned, the upper ply is measured from what is left.
    off = section.start if fold == "turned" else 0.0
    assert upper == pytest.approx(section.folded_at - off)
    assert lower == pytest.approx(
        max(section.cloth_to, entry.purchase.bought_washed) - section.folded_at
    )
    assert abs(upper - lower) > 10.0
    assert shown_range(entry, 0) == (0.0, max(lower, upper))


@pytest.mark.parametrize("fold", ["crosswise", "turned"])
def test_every_leftover_is_drawn_whole(fold: str) -> None:
    entry = flawed(fold)
    parts = leftover_regions(entry, 0, *shown_range(entry, 0))
    for number, leftover in enumerate(entry.leftovers):
        drawn = sum(part.region.area for part in parts if part.number == number)
        # Of a turned ply what squaring off takes is not shown: a little more than a centimetre.
        least = 0.93 if fold == "turned" else 0.99
        assert least * leftover.area <= drawn <= 1.001 * leftover.area


@pytest.mark.parametrize("fold", ["crosswise", "turned"])
def test_names_of_leftovers_lie_on_no_flaw_and_on_no_other_leftover(fold: str) -> None:
    entry = flawed(fold)
    low, high = shown_range(entry, 0)
    parts = leftover_regions(entry, 0, low, high)
    places = label_room(entry, 0, SCALE, low, high, System.METRIC)
    places.labels()
    spots = leftover_labels(entry, 0, parts, places, System.METRIC)
    assert len(spots) == len(entry.leftovers)
    boxes = [text_box(spot, SCALE).buffer(-0.1) for spot in spots]
    flaws = [Polygon(ring) for ring in shown_flaws(entry, 0, low, high)]
    assert flaws
    assert not any(box.intersects(flaw) for box in boxes for flaw in flaws)
    assert not any(a.intersects(b) for k, a in enumerate(boxes) for b in boxes[:k])
    for number, box in enumerate(boxes):
        mine = shapely.union_all([part.region for part in parts if part.number == number])
        assert mine.contains(box)


@pytest.mark.parametrize(
    ("name", "fabric", "fold"),
    [("trousers", 0, "turned"), ("pinafore", 1, "double"), ("layered-top", 0, "turned")],
)
def test_names_of_leftovers_lie_on_no_line(name: str, fabric: int, fold: str) -> None:
    """Where a ply ends, where two meet, and along outlines; they say as much beside it."""
    entry = demo_plan(name, fold).fabrics[fabric]
    for index, section in enumerate(entry.sections):
        for sheet in sheets_of(entry, index, 255.0, 150.0):
            window = sheet.low, sheet.high
            places = label_room(entry, index, sheet.scale, *window, System.METRIC)
            places.labels()
            places.figures()
            parts = leftover_regions(entry, index, *window)
            spots = leftover_labels(entry, index, parts, places, System.METRIC)
            assert "tag L____" in spots[0].lines
            height = section.spread.lay_height
            lines = [part.region.boundary for part in parts]
            lines += [LineString([(x, 0.0), (x, height)]) for x in ply_ends(entry, index)]
            for zone in section.spread.zones:
                lines.append(LineString([(sheet.low, zone.y_to), (sheet.high, zone.y_to)]))
            drawn = shapely.union_all(lines)
            assert not any(text_box(spot, sheet.scale).intersects(drawn) for spot in spots)


def texts(entry: FabricPlan) -> set[str]:
    """All that is written on the drawing of the first section."""
    axes = Figure().add_axes((0.0, 0.0, 1.0, 1.0))
    draw_section(entry, 0, System.METRIC, axes, SCALE)
    return {text.get_text() for text in axes.texts}


def test_it_says_where_the_shorter_ply_ends() -> None:
    """Only where one ends before the other."""
    entry = flawed("crosswise")
    lower, upper = ply_ends(entry, 0)
    shorter, longer = ("lower", "upper") if lower < upper else ("upper", "lower")
    assert {f"{shorter} ply ends", f"{longer} ply alone"} <= texts(entry)
    even = demo_plan("wrap-skirt", "crosswise").fabrics[0]
    assert ply_ends(even, 0) == ()
    assert not any("ply ends" in text for text in texts(even))


def test_the_legend_tells_lines_of_the_lower_ply() -> None:
    entry = flawed("crosswise")
    parts = leftover_regions(entry, 0, *shown_range(entry, 0))
    assert any(part.below for part in parts)
    assert "dotted: under another ply" in legend_words(entry, System.METRIC)
    single = demo_plan("wrap-skirt", "open").fabrics[0]
    assert single.leftovers
    assert "dotted" not in legend_words(single, System.METRIC)

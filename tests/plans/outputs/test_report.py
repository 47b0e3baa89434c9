"""The report as a file: each outline once, its own script alone, links that lead somewhere."""

from __future__ import annotations

import base64
import hashlib
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

import pytest
from shapely.geometry import Polygon

from pieces.lengths import System
from plans.cutting_order import cutting_order
from plans.drawing.lay_picture import SMOOTH_MM
from plans.outputs.report.page import content_security_policy, html_text
from plans.outputs.report.table_view import MANY, table_view
from tests.plans.demo import demo_plan
from tests.plans.drawing.test_any_text import plan_named

DEMOS = ("layered-top", "trousers", "toy-hare")


@lru_cache(maxsize=16)
def report(name: str, fold: str = "auto", makes: int = 1) -> str:
    return html_text(demo_plan(name, fold, makes), System.METRIC)


@lru_cache(maxsize=16)
def at_table(name: str, fold: str = "auto", makes: int = 1) -> str:
    """The part for the cutting table alone, which draws nothing large."""
    return table_view(demo_plan(name, fold, makes), System.METRIC)


def parsed(text: str) -> ElementTree.Element:
    own = r"<!DOCTYPE html>|<style>.*?</style>|<script>.*?</script>"
    return ElementTree.fromstring(re.sub(own, "", text, flags=re.S))


def cards(text: str) -> list[str]:
    return re.findall(r"<article.*?</article>", text, re.S)


def elements(text: str, name: str) -> Iterator[ElementTree.Element]:
    return parsed(text).iter(name)


@pytest.mark.parametrize("name", DEMOS)
def test_every_piece_has_one_outline_and_one_card_in_cutting_order(name: str) -> None:
    """Cards light the outlines that are drawn once; what is lit is the piece of the card."""
    text = at_table(name)
    drawn = re.findall(r'<path class="outline" id="([^"]+)"', text)
    lit = [re.findall(r'<use class="lit" href="#([^"]+)"', card) for card in cards(text)]
    lit = [found for card, found in zip(cards(text), lit, strict=True) if "data-cuts" in card]
    cuts = re.findall(r'data-cuts="([^"]+)"', text)
    plan = demo_plan(name)
    assert sorted(drawn) == sorted(cuts)
    assert [set(found) for found in lit] == [{cut} for cut in cuts]
    numbers = [one.number for entry in plan.fabrics for one in cutting_order(entry.placements)]
    assert [int(cut.rsplit("-", 1)[1]) for cut in cuts] == numbers


def test_drawn_outlines_are_those_of_the_plan() -> None:
    """To the millimetre or two: whole mm, no corner that cannot be seen."""
    entry = demo_plan("layered-top").fabrics[0]
    for placed in entry.placements:
        path = re.search(rf'id="t0x0-{placed.number}" d="M([^"]+)z"', at_table("layered-top"))
        assert path is not None
        x, y, *steps = [int(word) for word in re.findall(r"-?\d+", path[1])]
        ring = [(x, -y)]
        for dx, dy in zip(steps[::2], steps[1::2], strict=True):
            x, y = x + dx, y + dy
            ring.append((x, -y))
        true = Polygon(placed.outline)
        assert true.exterior.hausdorff_distance(Polygon(ring).exterior) < SMOOTH_MM + 1.5


def test_a_card_is_small_however_many_pieces_lie_on_the_cloth() -> None:
    """The lay is not drawn again for each: four times the pieces make cards no larger."""
    once, often = (
        max(
            len(card)
            for card in cards(at_table("wrap-skirt", "open", makes))
            if "data-cuts" in card
        )
        for makes in (1, 4)
    )
    assert once < 3000
    assert often < 3000


def test_match_points_are_marked_where_they_are_pinned() -> None:
    """On the card of a piece whose design must match, and on no other."""
    entry = demo_plan("blouse").fabrics[0]
    matched = {f"{one.number} {one.piece}" for one in entry.placements if one.match}
    assert matched
    marked = {
        re.sub("<[^>]+>", "", card[card.index("<h") : card.index("</h")])
        for card in cards(at_table("blouse"))
        if 'class="match"' in card and "Match the design" in card
    }
    assert marked == matched


def test_the_policy_allows_the_script_that_stands_there_and_nothing_else() -> None:
    """Its hash is that of the script; no script is written at an element."""
    text = report("trousers")
    (script,) = re.findall(r"<script>(.*?)</script>", text, re.S)
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}';" in content_security_policy()
    assert f'content="{content_security_policy()}"' in text
    assert "default-src 'none'" in content_security_policy()
    for element in parsed(text).iter():
        assert not [name for name in element.attrib if name.startswith("on")]


@pytest.mark.parametrize("name", DEMOS)
def test_headings_follow_each_other_and_tables_say_what_they_are(name: str) -> None:
    """No level is left out; every table has a caption, every head cell a scope."""
    text = report(name)
    levels = [int(level) for level in re.findall(r"<h([1-6])[ >]", text)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    for table in elements(text, "table"):
        assert table[0].tag == "caption"
        assert all(cell.get("scope") in ("col", "row") for cell in table.iter("th"))
    for drawing in elements(text, "svg"):
        assert drawing.get("aria-hidden") == "true" or (
            drawing.get("role") == "img" and drawing.get("aria-label")
        )


def test_links_and_uses_lead_somewhere() -> None:
    """Inside the file, to ids that are there once."""
    for text in (report("trousers", "sectioned"), report("toy-hare")):
        ids = re.findall(r'\bid="([^"]+)"', text)
        assert len(ids) == len(set(ids))
        assert set(re.findall(r'href="#([^"]+)"', text)) <= set(ids)


def test_names_keep_their_own_direction() -> None:
    """A name in Hebrew stands as such in headings and cells, and turns no sentence of ours."""
    name = "כיס \U0001f60a"
    text = html_text(plan_named(name), System.METRIC)
    assert f'<h1 dir="auto">{name}</h1>' in text
    assert re.search(rf'<td dir="auto">{name}', text)
    assert not re.search(r"<p[^>]* dir=", text)
    parsed(text)


def test_many_pieces_are_printed_without_a_picture_each() -> None:
    """From so many on; fewer keep theirs."""
    few = at_table("wrap-skirt", "open")
    many = at_table("wrap-skirt", "open", 10)
    assert len(demo_plan("wrap-skirt", "open", 10).fabrics[0].placements) > MANY
    assert 'class="lay many"' not in few
    assert 'class="lay many"' in many


def test_what_is_kept_belongs_to_one_plan() -> None:
    """Another plan of the same garment has another mark."""
    marks = [
        re.findall(r'data-plan="([0-9a-f]{16})"', at_table(*which))
        for which in (("trousers",), ("trousers", "open"))
    ]
    assert marks[0] != marks[1]
    assert all(len(found) == 1 for found in marks)

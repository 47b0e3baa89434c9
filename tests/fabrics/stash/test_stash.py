"""The stash: what is put in comes out as it was; cuts are recorded and undone."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from fabrics.region import holds_rectangle, region_of, turned_to_warp
from fabrics.stash.errors import StashError
from fabrics.stash.exchange.files import stash_to_data
from fabrics.stash.place import default_stash_path
from fabrics.stash.records import NewCut
from fabrics.stash.search import Wish, matching
from fabrics.stash.store import Stash
from pieces.files.user_folders import user_data_folder
from tests.fabrics.stash.example import LAWN, VOILE, rectangle


@pytest.fixture
def stash(tmp_path: Path) -> Stash:
    return Stash(tmp_path / "deep" / "stash.sqlite")


def test_bolts_come_back_as_they_were(stash: Stash) -> None:
    """Fabric, length, state and note; the tag is short and never given twice."""
    first = stash.add_bolt(LAWN, 3000.0, False, "by the window")
    second = stash.add_bolt(LAWN, 1200.0, True)
    assert (first.tag, second.tag) == ("B1", "B2")
    assert (first.fabric, first.length, first.washed, first.note) == (
        LAWN, 3000.0, False, "by the window",
    )  # fmt: skip
    assert stash.bolts() == [first, second]
    stash.remove("b2")
    assert stash.add_bolt(VOILE, 500.0, False).tag == "B3"
    assert [bolt.tag for bolt in stash.bolts()] == ["B1", "B3"]


def test_a_washed_bolt_has_shrunk_once(stash: Stash) -> None:
    """Its width is that after washing, and nothing more is taken off."""
    fabric = replace(LAWN, shrink_across=0.1)
    bolt = stash.add_bolt(fabric, 1000.0, True)
    assert bolt.width == pytest.approx(1260.0)
    as_cut = bolt.as_fabric()
    assert as_cut.width_cut == pytest.approx(1260.0)
    assert as_cut.selvage_cut == pytest.approx(9.0)
    assert (as_cut.on_hand, as_cut.bolt) == (1000.0, "B1")


def test_leftovers_come_back_as_they_were(stash: Stash) -> None:
    """Outline, holes and rectangle to the last digit."""
    new = rectangle(VOILE, 612.34567890123, 200.1, "corner")
    region = replace(
        new.region,
        holes=(((10.1, 10.0), (20.0, 10.0), (15.0, 20.0)),),
        rectangle=(20.0, 0.0, 612.34567890123, 200.1),
    )
    new = replace(new, region=replace(region, area=region_of(region.outline, region.holes).area))
    put = stash.add_leftover(new)
    assert put.tag == "L1"
    assert put.region == new.region
    assert (put.region.long, put.region.wide, put.fabric, put.note) == (
        592.34567890123,
        200.1,
        VOILE,
        "corner",
    )


def test_a_cut_is_recorded_and_undone_as_one(stash: Stash) -> None:
    """Length off, leftovers in, used ones gone, plan kept; undone, all is as before."""
    stash.add_bolt(LAWN, 3000.0, False)
    stash.add_leftover(rectangle(LAWN, 400.0, 300.0))
    before = (stash.bolts(), stash.leftovers())
    cut = stash.record_cut(
        NewCut("top", '{"plan": 1}', (("B1", 1250.0),), (rectangle(LAWN, 500.0, 200.0),), ("L1",))
    )
    assert cut.taken == (("B1", 1250.0),)
    assert cut.left == ("L2",)
    assert cut.used == ("L1",)
    assert stash.bolt("B1").length == 1750.0
    assert [one.tag for one in stash.leftovers()] == ["L2"]
    assert stash.leftover("L2").made_by == cut.number
    assert json.loads(stash.cuts()[0].plan) == {"plan": 1}
    with pytest.raises(StashError, match="recorded as cut 1 already"):
        stash.record_cut(NewCut("top", '{"plan": 1}', (("B1", 10.0),)))
    undone = stash.undo_cut(cut.number)
    assert undone.undone
    assert (stash.bolts(), stash.leftovers()) == before
    # Undone, the cut still tells what it did.
    (told,) = stash.cuts()
    assert (told.taken, told.left, told.used) == (cut.taken, cut.left, cut.used)
    with pytest.raises(StashError, match="was undone"):
        stash.undo_cut(cut.number)
    assert stash.record_cut(NewCut("top", '{"plan": 1}', (("B1", 10.0),))).number == 2


def test_cutting_more_than_there_is_changes_nothing(stash: Stash) -> None:
    """The message says what is missing; the second bolt's length is not touched either."""
    stash.add_bolt(LAWN, 3000.0, False)
    stash.add_bolt(LAWN, 1000.0, True)
    with pytest.raises(StashError, match=r"bolt B2: 120\.0 cm come off it.*washed.*20\.0 cm are"):
        stash.record_cut(NewCut("top", "{}", (("B1", 500.0), ("B2", 1200.0))))
    assert [bolt.length for bolt in stash.bolts()] == [3000.0, 1000.0]
    assert not stash.cuts()


def test_a_bolt_that_is_used_up_is_gone_and_comes_back(stash: Stash) -> None:
    """The last of it cut off; undone, it is there again."""
    stash.add_bolt(LAWN, 1000.0, True)
    cut = stash.record_cut(NewCut("top", "{}", (("B1", 1000.0),)))
    assert not stash.bolts()
    stash.undo_cut(cut.number)
    assert stash.bolt("B1").length == 1000.0


def test_a_cut_whose_leftover_is_gone_cannot_be_undone(stash: Stash) -> None:
    """It would bring back cloth that was cut up or given away."""
    stash.add_bolt(LAWN, 1000.0, True)
    cut = stash.record_cut(NewCut("top", "{}", (("B1", 400.0),), (rectangle(LAWN, 300.0, 200.0),)))
    stash.remove("L1")
    with pytest.raises(StashError, match="leftover L1 is no longer there"):
        stash.undo_cut(cut.number)
    assert stash.bolt("B1").length == 600.0


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda s: s.add_bolt(LAWN, 0.0, True), "no length"),
        (lambda s: s.add_bolt(LAWN, float("nan"), True), "no length"),
        (lambda s: s.find("B7"), "nothing in the stash carries it"),
        (lambda s: s.leftover("B1"), "a bolt, not a leftover"),
        (lambda s: s.bolt("L1"), "a leftover, not a bolt"),
        (lambda s: s.correct("L1", length=5.0), "only the note"),
        (lambda s: s.correct("B1", length=-5.0), "take it out"),
        (lambda s: s.undo_cut(9), "none of that number"),
    ],
)
def test_wrong_changes_are_refused_with_a_reason(
    stash: Stash, change: object, message: str
) -> None:
    """And leave everything as it was."""
    stash.add_bolt(LAWN, 1000.0, True)
    stash.add_leftover(rectangle(LAWN, 300.0, 200.0))
    before = stash_to_data(stash)
    with pytest.raises(StashError, match=message):
        change(stash)  # type: ignore[operator]
    assert stash_to_data(stash) == before


def test_corrections_keep_what_they_do_not_name(stash: Stash) -> None:
    """A length without the note, a note without the length."""
    stash.add_bolt(LAWN, 1000.0, False, "shelf")
    stash.correct("B1", length=900.0, washed=True)
    bolt = stash.bolt("B1")
    assert (bolt.length, bolt.washed, bolt.note) == (900.0, True, "shelf")
    stash.correct("B1", note="drawer")
    assert stash.bolt("B1").length == 900.0


def test_search_by_words_and_size(stash: Stash) -> None:
    """Fabric, colour, fibre; anything at least 20 x 60 cm with the grain along the long side."""
    stash.add_bolt(LAWN, 650.0, False)
    stash.add_bolt(VOILE, 600.0, True)
    stash.add_leftover(rectangle(LAWN, 600.0, 200.0))
    stash.add_leftover(rectangle(VOILE, 200.0, 600.0))

    def found(wish: Wish) -> list[str]:
        bolts, leftovers = matching(stash.bolts(), stash.leftovers(), wish)
        return [*(one.tag for one in bolts), *(one.tag for one in leftovers)]

    assert found(Wish()) == ["B1", "B2", "L1", "L2"]
    assert found(Wish(colour="GREEN")) == ["B1", "L1"]
    assert found(Wish(fibre="silk", fabric="voile")) == ["B2", "L2"]
    # 650 mm unwashed are 617.5 mm washed at 5 %: enough for 600, not for 620.
    assert found(Wish(size=(600.0, 200.0))) == ["B1", "B2", "L1"]
    assert found(Wish(size=(600.0, 200.0), either_way=True)) == ["B1", "B2", "L1", "L2"]
    assert found(Wish(size=(620.0, 200.0))) == []
    assert found(Wish(size=(600.01, 200.0), fabric="lawn")) == ["B1"]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=8, unique=True
    ),
    st.integers(1, 12),
    st.integers(1, 12),
)
def test_a_rectangle_fits_as_brute_force_says(
    points: list[tuple[int, int]], long: int, wide: int
) -> None:
    """Against trying many places, on outlines of our own; a place found must be found."""
    outline = Polygon(points)
    if not outline.is_valid or outline.area < 1.0:
        return
    region = region_of(tuple((10.0 * x, 10.0 * y) for x, y in points))
    fits = holds_rectangle(region, 10.0 * long, 10.0 * wide)
    x1, y1, x2, y2 = region.bounds
    shapely.prepare(region)
    grown = region.buffer(1e-7)
    tried = any(
        grown.covers(box(x, y, x + 10.0 * long, y + 10.0 * wide))
        for x in (x1 + 2.5 * k for k in range(int((x2 - x1) / 2.5) + 1))
        for y in (y1 + 2.5 * k for k in range(int((y2 - y1) / 2.5) + 1))
    )
    assert fits or not tried
    if not tried:
        # Places between those tried may still do, but never for one that is 5 mm larger.
        assert not holds_rectangle(region, 10.0 * long + 5.1, 10.0 * wide + 5.1)


def test_a_rectangle_fits_between_holes() -> None:
    """A frame of 10 cm around a hole holds its bars and nothing wider."""
    region = region_of(
        ((0.0, 0.0), (500.0, 0.0), (500.0, 400.0), (0.0, 400.0)),
        (((100.0, 100.0), (400.0, 100.0), (400.0, 300.0), (100.0, 300.0)),),
    )
    assert holds_rectangle(region, 500.0, 100.0)
    assert holds_rectangle(region, 100.0, 400.0)
    assert not holds_rectangle(region, 100.1, 300.0 + 100.1)
    assert not holds_rectangle(region, 101.0, 101.0)


def test_measured_corners_are_turned_to_the_warp() -> None:
    """Warp measured along +y: the long side in y becomes the long side along the grain."""
    ring = turned_to_warp(((0.0, 0.0), (20.0, 0.0), (20.0, 60.0), (0.0, 60.0)), 90.0)
    x1, y1, x2, y2 = Polygon(ring).bounds
    assert (x2 - x1, y2 - y1) == pytest.approx((60.0, 20.0))


@pytest.mark.parametrize(
    "outline",
    [
        ((0.0, 0.0), (1.0, 0.0)),
        ((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)),
        ((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)),
        ((0.0, 0.0), (1.0, float("inf")), (2.0, 0.0)),
    ],
)
def test_outlines_that_are_none_are_refused(outline: tuple[tuple[float, float], ...]) -> None:
    """Two corners, crossing itself, no area, no number."""
    with pytest.raises(ValueError, match=r"outline|corner"):
        region_of(outline)


def test_the_file_is_where_it_is_said_to_be(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The environment first; else the platform's folder for a user's data."""
    monkeypatch.setenv("LAYWRIGHT_STASH", str(tmp_path / "mine.sqlite"))
    assert default_stash_path() == tmp_path / "mine.sqlite"
    monkeypatch.delenv("LAYWRIGHT_STASH")
    assert default_stash_path() == user_data_folder() / "stash.sqlite"

"""Labels on drawings: none covers an arrow or another label, and none ever stops a drawing."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
import shapely
from matplotlib.figure import Figure
from shapely.geometry import LineString, Polygon

from fabrics.shelf import find_fabric
from pieces.lengths import System
from pieces.piece import Side
from plans.answer.planner import plan_garment
from plans.drawing import look
from plans.drawing.diagram import (
    draw_section,
    label_room,
    label_wordings,
    pieces_shown,
)
from plans.drawing.label_places import CLEAR_MM, Labelled, Places
from plans.drawing.labels import arrow_area, find_spot
from plans.drawing.picture import lay_figure, sheet_figures
from plans.drawing.sheets import Sheet, sheets_of, shown_range
from plans.order import Order
from plans.plan import FabricPlan, PlacedPiece, Whose
from tests.plans.demo import CLOTH, demo_plan, garment

ROOM = (255.0, 150.0)


def drawn_sheets(name: str, fold: str = "auto") -> list[tuple[FabricPlan, int, Sheet]]:
    """Every sheet of a demo plan."""
    return [
        (entry, index, sheet)
        for entry in demo_plan(name, fold).fabrics
        for index in range(len(entry.sections))
        for sheet in sheets_of(entry, index, *ROOM)
    ]


@pytest.mark.parametrize(
    ("name", "fold"),
    [
        *((name, "auto") for name in CLOTH),
        ("layered-top", "open"), ("layered-top", "lengthwise"), ("wrap-skirt", "open"),
    ],
)  # fmt: skip
def test_no_label_touches_an_arrow_or_another_label(name: str, fold: str) -> None:
    """On every sheet of every demo: each piece has its label, and all arrows stay in sight."""
    for entry, index, sheet in drawn_sheets(name, fold):
        places = label_room(entry, index, sheet.scale, sheet.low, sheet.high, System.IMPERIAL)
        shown = pieces_shown(entry, index, sheet.low, sheet.high)
        labels = places.labels()
        assert {label.number for label in labels} == {placed.number for placed in shown}
        spots = places.figures()
        boxes = [label.box for label in labels] + [spot.box for spot in spots]
        for first, second in combinations(boxes, 2):
            assert first.distance(second) >= 0.99 * CLEAR_MM * sheet.scale
        arrows = shapely.union_all(places.arrows)
        assert not any(place.intersects(arrows) for place in boxes)


@pytest.mark.parametrize("system", list(System))
def test_labels_of_narrow_strips_leave_room_for_their_figures(system: System) -> None:
    """Ties along the cloth, bands across it: figures at both ends, and how to cut is told."""
    for name, fabric, pieces in (("wrap-skirt", 0, "tie"), ("blouse", 1, "button band")):
        entry = demo_plan(name, "open").fabrics[fabric]
        for sheet in sheets_of(entry, 0, *ROOM):
            places = label_room(entry, 0, sheet.scale, sheet.low, sheet.high, system)
            labels = {label.number: label for label in places.labels()}
            figures = [label.number for label in places.figures()]
            strips = [one for one in entry.placements if one.piece.startswith(pieces)]
            assert len(strips) >= 2
            for placed in strips:
                assert figures.count(placed.number) == 2
                assert "cut 1 of 2" in " ".join(labels[placed.number].spot.lines)


def test_a_label_that_would_say_less_elsewhere_stays_where_it_is() -> None:
    """A strip that holds its name or its figures, not both, keeps its name."""
    arrow = ((40.0, 20.0), (120.0, 20.0))
    strip = Labelled(
        1, shapely.box(0.0, 0.0, 160.0, 40.0), arrow, (("1  strap", "cut 2"), ("1 strap",), ("1",)),
        (("10.0 | 20.0", arrow[0]), ("12.0 | 20.0", arrow[1])),
    )  # fmt: skip
    bare = Places([replace(strip, notes=())], 8.0, (0.0, 0.0, 160.0, 40.0))
    with_figures = Places([strip], 8.0, (0.0, 0.0, 160.0, 40.0))
    assert with_figures.labels() == bare.labels()


def test_the_pieces_whose_arrows_were_hidden_keep_them_on_one_way_pile() -> None:
    """The toy hare's head gusset and tail have their labels clear of tail, shaft and head."""
    (entry,) = [e for e in demo_plan("toy-hare").fabrics if "plush" in e.roles]
    scale = 3.0
    low, high = shown_range(entry, 0)
    labels = {
        one.number: one for one in label_room(entry, 0, scale, low, high, System.METRIC).labels()
    }
    for placed in entry.placements:
        assert not labels[placed.number].box.intersects(arrow_area(placed.grain, scale))


def test_label_boxes_hold_what_is_drawn() -> None:
    """The text that is drawn lies in the box that was kept for it, to within half a mm of paper."""
    entry = demo_plan("trousers").fabrics[0]
    figure = Figure(figsize=(14.0, 10.0), dpi=100)
    scale = 6.0
    low, high = shown_range(entry, 0)
    height = entry.sections[0].spread.lay_height
    wide = (high - low) / scale + 22.0
    axes = figure.add_axes((0.0, 0.0, wide / (14 * 25.4), (height / scale + 22.0) / 254.0))
    draw_section(entry, 0, System.METRIC, axes, scale)
    figure.canvas.draw()
    kept = {
        "\n".join(label.spot.lines): label.box
        for label in label_room(entry, 0, scale, low, high, System.METRIC).labels()
    }
    to_cloth = axes.transData.inverted()
    checked = 0
    for text in axes.texts:
        if text.get_text() in kept:
            bounds = text.get_window_extent()
            (x1, y1), (x2, y2) = to_cloth.transform(
                [(bounds.x0, bounds.y0), (bounds.x1, bounds.y1)]
            )
            assert kept[text.get_text()].buffer(0.5 * scale).contains(shapely.box(x1, y1, x2, y2))
            checked += 1
    assert checked >= 3


@pytest.mark.parametrize("system", list(System))
def test_no_figure_of_a_ruler_is_cut_off(system: System) -> None:
    """All words of a picture lie on its paper, on cloth wider than a metre and lays longer than."""
    for fold in ("open", "lengthwise"):
        entry = demo_plan("wrap-skirt", fold).fabrics[0]
        figures = [lay_figure(entry, system), *(f for _, f in sheet_figures(entry, system))]
        for figure in figures:
            figure.canvas.draw()
            paper = figure.bbox
            for axes in figure.axes:
                for text in axes.texts:
                    if text.get_text():
                        box = text.get_window_extent()
                        assert box.x0 >= paper.x0 - 0.5, text.get_text()
                        assert box.x1 <= paper.x1 + 0.5, text.get_text()
                        assert box.y0 >= paper.y0 - 0.5, text.get_text()
                        assert box.y1 <= paper.y1 + 0.5, text.get_text()


def squares(count: int, size: float, pitch: float) -> list[Labelled]:
    """Small squares in rows."""
    found = []
    for k in range(count):
        x, y = pitch * (k % 20), pitch * (k // 20)
        outline = shapely.box(x, y, x + size, y + size)
        arrow = ((x + 0.2 * size, y + size / 2), (x + 0.8 * size, y + size / 2))
        found.append(Labelled(k + 1, outline, arrow, ((f"{k + 1} patch",), (str(k + 1),))))
    return found


def test_pieces_too_small_for_a_label_get_a_number_beside_them() -> None:
    """Squares of 5 mm at one to ten: every number stands somewhere, tied to its piece."""
    wanted = squares(40, 5.0, 12.0)
    labels = Places(wanted, 10.0, (-100.0, 0.0, 900.0, 700.0)).labels()
    assert [label.number for label in labels] == list(range(1, 41))
    arrows = shapely.union_all([arrow_area(one.arrow, 10.0) for one in wanted if one.arrow])
    for label in labels:
        assert label.tie is not None
        assert wanted[label.number - 1].outline.buffer(1e-6).contains(shapely.Point(label.tie))
        assert not label.box.intersects(arrows)
    for first, second in combinations([label.box for label in labels], 2):
        assert not first.overlaps(second)


def test_a_drawing_without_room_for_all_numbers_is_drawn_all_the_same() -> None:
    """Where not even the margin holds them, labels are left out rather than the plan."""
    wanted = squares(60, 5.0, 6.0)
    labels = Places(wanted, 20.0, (0.0, 0.0, 118.0, 30.0)).labels()
    assert len(labels) < 60


def test_regions_without_area_have_no_room() -> None:
    """Nothing, and less than a line of text, give no spot and no fault."""
    assert find_spot(Polygon(), (("x",),), 1.0) is None
    tiny = shapely.box(0, 0, 5, 5)
    assert find_spot(tiny, (("x",),), 10.0, ((1.0, 2.5), (4.0, 2.5))) is None


def test_a_lay_of_many_small_pieces_is_drawn() -> None:
    """A garment of three patches of 4 mm, eight times in one lay, is planned and drawn."""
    pieces = tuple(
        replace(
            piece,
            name=f"patch {k}",
            outline=((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)),
            grain=((1.0, 2.0), (3.0, 2.0)),
            stitching=None,
            fold=None,
            notches=(),
            match_points=(),
            strip=None,
            joining=None,
            cuts=(replace(piece.cuts[0], role="main", count=2),),
        )
        for k, piece in enumerate(p for p in garment("trousers").pieces if p.fold is None)
    )
    small = replace(garment("trousers"), pieces=pieces)
    entry = plan_garment(
        Order(small, {"main": find_fabric("demo-linen")}, fold="open", effort="quick", makes=8)
    ).fabrics[0]
    figure = lay_figure(entry, System.METRIC)
    figure.canvas.draw()
    texts = {text.get_text() for axes in figure.axes for text in axes.texts}
    assert {str(placed.number) for placed in entry.placements} <= {
        text.split()[0] for text in texts if text
    }


def test_many_labels_cost_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three hundred pieces ask for a bounded number of places, whatever the machine."""
    tried = 0
    free = Places._free

    def counted(self: Places, centres: object, *rest: object, **more: object) -> object:
        nonlocal tried
        tried += 1
        return free(self, centres, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Places, "_free", counted)
    wanted = squares(300, 30.0, 60.0)
    labels = Places(wanted, 10.0, (0.0, 0.0, 1200.0, 950.0)).labels()
    assert len(labels) == 300
    assert tried <= 6 * 300


def test_fills_of_roles_are_told_apart_in_grey() -> None:
    """Each fill is darker than the one before, and ink is readable on all."""
    lights = [look.lightness(fill) for fill in look.ROLE_FILLS]
    assert all(a - b >= 0.08 for a, b in pairwise(lights))
    assert min(lights) >= 0.28


def called(whose: Whose | None, *sides: Side) -> PlacedPiece:
    """A piece that is called so."""
    placed = demo_plan("trousers").fabrics[0].placements[0]
    copies = tuple(replace(placed.copies[0], side=side) for side in sides or (None,))
    owner = "" if whose is None else f"{whose.garment}: "
    return replace(placed, piece=f"{owner}pocket", whose=whose, copies=copies)


@pytest.mark.parametrize("whose", [None, Whose("apron S"), Whose("apron S", (2,), 3)])
@pytest.mark.parametrize("sides", [(), (Side.LEFT,)])
def test_a_label_keeps_the_name_of_its_piece_however_short(
    whose: Whose | None, sides: tuple[Side, ...]
) -> None:
    """Only the bare number, which tables explain, stands without it; the hand goes with it."""
    wordings = label_wordings("7", called(whose, *sides), "cut 1")
    assert wordings[-1] == ("7",)
    for lines in wordings[:-1]:
        words = " ".join(lines)
        assert words.startswith("7 ")
        assert "pocket" in words
        assert all(side.value in words for side in sides)
    assert len(set(wordings)) == len(wordings)


def test_small_pieces_of_several_garments_say_what_they_are() -> None:
    """On a pocket with room for its name but not for whose it is, the name stands."""
    wordings = label_wordings("7", called(Whose("apron S", (2,), 3)), "cut 1")
    lines = []
    for high in (60.0, 20.0):
        wanted = [Labelled(7, shapely.box(0.0, 0.0, 50.0, high), None, wordings)]
        (label,) = Places(wanted, 5.0, (0.0, 0.0, 500.0, 500.0)).labels()
        lines.append(label.spot.lines)
    assert lines == [("7  apron S", "2 of 3", "pocket"), ("7 pocket",)]


def test_lines_to_labels_beside_strips_do_not_cross() -> None:
    """Narrow strips side by side: each line ends on its own strip without crossing another."""
    strips = [
        Labelled(
            k,
            Polygon([(60.0 * k, 0.0), (60.0 * k + 30.0, 0.0), (60.0 * k + 230.0, 200.0),
                     (60.0 * k + 200.0, 200.0)]),
            None,
            ((f"{k}  neck binding part {k} of 4", "cut 1"), (f"{k} neck binding part {k} of 4",),
             (f"{k}",)),
        )
        for k in range(4)
    ]  # fmt: skip
    labels = Places(strips, 12.0, (-600.0, -300.0, 1200.0, 900.0)).labels()
    lines = [LineString([(label.spot.x, label.spot.y), label.tie]) for label in labels if label.tie]
    assert len(lines) == 4
    assert not any(a.intersects(b) for a, b in combinations(lines, 2))

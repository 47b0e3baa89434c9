"""What the sheets show beside the pieces: folds, repeats, leftovers, allowances, joined sheets."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import pytest
from matplotlib.figure import Figure
from shapely.geometry import Polygon

from fabrics.fold_words import how_to_fold
from fabrics.spread import Faces, Fold, make_spread
from pieces.lengths import System
from pieces.piece import EdgeAllowance
from plans.answer.allowances import allowances_of
from plans.drawing.fold_marks import SIZE_MM
from plans.drawing.fold_sketch import draw_fold_sketch
from plans.drawing.leftovers.leftover_marks import leftover_regions
from plans.drawing.picture import sheet_svgs
from plans.drawing.repeat_lines import match_points, repeat_lines
from plans.drawing.sheets import SMALLEST_READABLE, sheets_of, shown_range
from plans.outputs.report.page import html_text
from plans.plan import SectionPlan
from plans.problem.demand import demands_for
from plans.problem.joins import split
from plans.words.account_lines import account, leftover_size
from plans.words.allowance_table import allowance_rows, edge_words
from plans.words.columns import format_area, length_column, long_column, yards_and_inches
from plans.words.facts import arithmetic, fold_rows
from tests.plans.demo import CLOTH, cloth_for, demo_plan, garment


def section_of(fold: Fold, faces: Faces = Faces.IN) -> SectionPlan:
    """A section of 2 m of cloth 1.5 m wide in a fold."""
    first = 300.0 if fold in (Fold.PARTIAL, Fold.DOUBLE) else None
    second = 200.0 if fold is Fold.DOUBLE else None
    spread = make_spread(fold, 1500.0, 15.0, first, second, faces)
    lay = 1000.0 if spread.doubled else 2000.0
    return SectionPlan("A", spread, lay, lay, 0.0, 0.0, 2000.0, how_to_fold(spread, System.METRIC))


@pytest.mark.parametrize("faces", list(Faces))
@pytest.mark.parametrize(
    ("fold", "figures"),
    [
        (Fold.OPEN, ["1.5 m"]),
        (Fold.LENGTHWISE, ["75 cm"]),
        (Fold.PARTIAL, ["30 cm", "90 cm"]),
        (Fold.DOUBLE, ["30 cm", "20 cm", "50 cm"]),
        (Fold.CROSSWISE, ["1 m"]),
        (Fold.TURNED, ["1 m"]),
    ],
)
def test_a_sketch_shows_how_to_fold_with_the_figures(
    fold: Fold, figures: list[str], faces: Faces
) -> None:
    """Each fold has its sketch, in both systems; nothing in it reaches beyond it."""
    for system in System:
        figure = Figure(figsize=(SIZE_MM[0] / 25.4, SIZE_MM[1] / 25.4))
        axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        draw_fold_sketch(axes, section_of(fold, faces), system)
        figure.canvas.draw()
        words = " ".join(text.get_text() for text in axes.texts).replace("\u00a0", " ")
        if system is System.METRIC:
            for wanted in figures:
                assert wanted in words
        if fold not in (Fold.OPEN, Fold.TURNED):
            assert "fold" in words
        for text in axes.texts:
            if text.get_text():
                box = text.get_window_extent()
                assert figure.bbox.x0 - 1 <= box.x0
                assert box.x1 <= figure.bbox.x1 + 1
                assert figure.bbox.y0 - 1 <= box.y0
                assert box.y1 <= figure.bbox.y1 + 1


def test_the_folds_of_a_double_fold_lie_on_their_own_sides() -> None:
    """Seen from the cut end the first fold is at the right hand, with its own depth."""
    figure = Figure(figsize=(3.0, 1.0))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    draw_fold_sketch(axes, section_of(Fold.DOUBLE), System.METRIC)
    places = {text.get_text().replace("\u00a0", " "): text.get_position() for text in axes.texts}
    assert places["left fold"][0] < places["20 cm"][0] < places["30 cm"][0]
    assert places["30 cm"][0] < places["right fold"][0]


def test_the_repeat_is_drawn_in_phase_with_every_match_point() -> None:
    """Each match point of the blouse lies on a line across; lines along are axes of the design."""
    for fold in ("lengthwise", "open"):
        entry = demo_plan("blouse", fold).fabrics[0]
        repeat = entry.fabric.repeat
        assert repeat is not None
        assert repeat.axis is not None
        low, high = shown_range(entry, 0)
        lines = repeat_lines(entry, 0, low, high)
        across = [x1 for x1, _, x2, _ in lines if x1 == x2]
        points = match_points([p for p in entry.placements if p.section == 0])
        assert len(points) >= 3
        assert across
        for x, _ in points:
            assert min(abs(x - line) for line in across) <= 0.6
        section = entry.sections[0]
        for y in [y1 for _, y1, _, y2 in lines if y1 == y2]:
            offs = []
            for ply in section.spread.plies:
                if ply.y_from - 0.1 <= y <= ply.y_to + 0.1:
                    off = (ply.y0 + ply.sy * y - repeat.axis) / repeat.across
                    offs.append(abs(off - round(off)) * repeat.across)
            assert min(offs) <= 0.1


def test_cloth_on_which_nothing_matches_has_no_lines() -> None:
    """Neither plain cloth, nor a check from which nothing is cut in phase."""
    for entry in demo_plan("toy-hare").fabrics:
        assert repeat_lines(entry, 0, 0.0, 1000.0) == ()


def test_leftovers_are_where_no_piece_lies() -> None:
    """On every drawing, ply by ply, a leftover meets no piece that is cut through that ply."""
    seen = 0
    for name in CLOTH:
        for entry in demo_plan(name).fabrics:
            for index, section in enumerate(entry.sections):
                low, high = shown_range(entry, index)
                areas = [0.0] * len(entry.leftovers)
                for part in leftover_regions(entry, index, low, high):
                    number, region = part.number, part.region
                    assert bool(part.ply) <= (len(section.spread.plies) > 1)
                    seen += 1
                    areas[number] += region.area
                    assert region.bounds[0] >= low - 1e-6
                    assert region.bounds[2] <= high + 1e-6
                    if len(section.spread.plies) == 1:
                        for placed in entry.placements:
                            if placed.section == index:
                                assert region.intersection(Polygon(placed.outline)).area < 5.0
                if len(entry.sections) == 1 and not section.spread.doubled:
                    for area, leftover in zip(areas, entry.leftovers, strict=True):
                        assert area == pytest.approx(leftover.area, rel=0.01)
    assert seen


def test_leftovers_are_named_with_their_sizes_in_the_account() -> None:
    """The letters on the drawing stand in the account, too."""
    for name in CLOTH:
        for entry in demo_plan(name).fabrics:
            words = account(entry, System.METRIC)[1].how
            for leftover in entry.leftovers:
                assert leftover_size(leftover, System.METRIC) in words


def test_allowances_are_told_piece_by_piece_and_edge_by_edge() -> None:
    """The blouse's front: 1.5 cm, hem 2 cm turned up, nothing at the front edge."""
    entry = demo_plan("blouse").fabrics[0]
    rows = {row[0]: row for row in allowance_rows(entry.allowances, System.METRIC)}
    assert set(rows) == {placed.piece for placed in entry.placements}
    assert rows["front"][1] == "without allowance"
    assert rows["front"][2] == "add 1.5 cm; hem 2 cm (turned up); front edge none"
    assert "includes" in rows["front"][3]
    assert rows["button band"][1] == "with allowance"
    assert "centre back" not in rows["back"][2]
    assert "all round" in rows["cuff"][2]


def test_pieces_carry_what_was_added_to_them() -> None:
    """A net piece knows the allowance of every edge but the fold; another one none."""
    pieces = {piece.name: piece for piece in garment("blouse").pieces}
    front = {edge.edge: edge for edge in pieces["front"].allowances}
    assert front["hem"] == EdgeAllowance("hem", 20.0, True)
    assert front["front edge"].width == 0.0
    assert "centre back" not in {edge.edge for edge in pieces["back"].allowances}
    assert pieces["front"].net
    assert not pieces["button band"].net


def test_parts_of_a_joined_strip_share_a_row() -> None:
    """Four parts of one binding are one line, which tells the joins."""
    binding = next(p for p in garment("layered-top").pieces if p.name == "neck binding")
    cloth = cloth_for("layered-top")["base"]
    (whole,) = demands_for((binding,), ("base",), cloth, 1)
    (one,) = allowances_of(split(whole, 4, cloth, 1))
    assert (one.piece, one.parts) == ("neck binding", 4)
    (row,) = allowance_rows((one,), System.METRIC)
    assert row[0] == "neck binding, 4 parts"
    assert "joins 0.6 cm" in row[2]
    assert edge_words((), System.METRIC) == "nothing"


def test_a_long_lay_stands_on_several_sheets_in_the_report() -> None:
    """More than three metres: several pictures that together show all of it, none too small."""
    entry = demo_plan("wrap-skirt", "open", makes=4).fabrics[0]
    low, high = shown_range(entry, 0)
    assert high - low > 3000.0
    sheets = sheets_of(entry, 0, 255.0, 150.0)
    assert len(sheets) >= 2
    assert sheets[0].low == pytest.approx(low)
    assert sheets[-1].high == pytest.approx(high)
    for one, following in itertools.pairwise(sheets):
        assert one.high == pytest.approx(following.low)
    assert all(sheet.scale <= SMALLEST_READABLE for sheet in sheets)
    report = html_text(demo_plan("wrap-skirt", "open", makes=4), System.METRIC)
    assert report.count('<figure class="sheet">') == len(sheets)
    assert "Sheet 1 of" in report
    ids = re.findall(r'\bid="([^"]+)"', report)
    assert len(ids) == len(set(ids))


def test_drawings_reach_from_the_cut_end_to_the_end_of_the_cloth() -> None:
    """Rulers begin where the distances of the pinning table do, squared-off ends included."""
    entry = demo_plan("wrap-skirt", "open").fabrics[0]
    section = replace(entry.sections[0], start=15.0, cloth_to=entry.length)
    with_ends = replace(entry, ends=30.0, sections=(section,))
    low, high = shown_range(with_ends, 0)
    assert low == -15.0
    assert high >= section.extent
    first, last = shown_range(entry, 0)
    assert last - first == pytest.approx(entry.purchase.bought_washed)


def test_a_column_has_one_unit() -> None:
    """Metres as soon as one length reaches a metre, else cm; yards and inches for long cloth."""
    assert length_column([948.0, 1000.0, None], System.METRIC) == ["0.948 m", "1.000 m", "-"]
    assert length_column([948.0, 20.5], System.METRIC) == ["94.8 cm", "2.0 cm"]
    assert length_column([254.0], System.IMPERIAL) == ["10 in"]
    assert long_column([3000.0, 685.8], System.IMPERIAL) == ["3 yd 10 1/8 in", "0 yd 27 in"]
    assert long_column([685.8], System.IMPERIAL) == ["27 in"]
    assert yards_and_inches(914.4) == "1 yd"
    assert yards_and_inches(25 * 914.4) == "25 yd"
    assert format_area(914.4**2, System.IMPERIAL) == "1.000 sq yd"
    assert format_area(1e6, System.METRIC) == "1.000 m²"


def test_lengths_of_other_folds_are_in_one_unit() -> None:
    """No cm above metres in the table of folds."""
    for name in CLOTH:
        for entry in demo_plan(name).fabrics:
            units = {row[1].split()[-1] for row in fold_rows(entry, System.METRIC)} - {"-"}
            assert len(units) == 1


def test_sheets_carry_the_sketch_once_for_each_section() -> None:
    """The first sheet of a section has the sketch of its fold; a caption names its section."""
    for name in ("blouse", "layered-top"):
        for entry in demo_plan(name).fabrics:
            captions = [caption for caption, _ in sheet_svgs(entry, System.METRIC)]
            used = [section for section in entry.sections if section.extent > 0.0]
            assert len(captions) >= len(used)
            assert all(captions) == (len(used) > 1 or len(captions) > 1)


def test_the_arithmetic_of_a_purchase_is_in_metres_from_top_to_bottom() -> None:
    """No centimetres above or below metres in the column of results."""
    for name in CLOTH:
        for entry in demo_plan(name).fabrics:
            results = [line.result for line in arithmetic(entry, System.METRIC)]
            assert not any(result.endswith(" cm") for result in results)
            assert sum(result.endswith(" m") for result in results) >= 3

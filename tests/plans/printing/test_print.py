"""Printing at full size, measured from the vector data of the PDF."""

from __future__ import annotations

import io
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath
from pypdf import PdfReader
from pypdf.generic import ContentStream, DictionaryObject
from shapely import STRtree
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.cli.paper.print import command
from plans.errors import PlanError
from plans.full_size.lays import lays_sheet
from plans.full_size.pieces import pieces_sheet
from plans.full_size.sheet import LineKind, Sheet
from plans.orders.making import order_without_cloth
from plans.orders.request import GarmentAsked, Request
from plans.printing.arranging import Arranged, arranged
from plans.printing.contents import contents, runs
from plans.printing.joint_marks import CIRCLE_MM, CLEAR_MM, joint_places
from plans.printing.label_shape import label_shapes
from plans.printing.map_page import draw_map
from plans.printing.media import A4, LETTER, MARGIN_MM, OVERLAP_MM, Medium, medium_of
from plans.printing.packing import outline_of
from plans.printing.pdf import pdf_bytes
from plans.printing.tiles import Tile, column_letters, joints_of, tiles_of
from tests.plans.demo import demo_plan

MM = 72.0 / 25.4


@lru_cache(maxsize=8)
def sheet_of(name: str) -> Sheet:
    return pieces_sheet(load_garment(find_garment(name)))


@lru_cache(maxsize=8)
def laid_on(name: str, paper: str) -> Arranged:
    return arranged(sheet_of(name), medium_of(paper), System.METRIC)


@lru_cache(maxsize=8)
def printed(name: str, paper: str) -> tuple[Arranged, PdfReader]:
    medium = medium_of(paper)
    laid = laid_on(name, paper)
    content = pdf_bytes(laid, A4 if medium.roll else medium)
    return laid, PdfReader(io.BytesIO(content))


def strokes(reader: PdfReader, page: int) -> list[list[tuple[float, float]]]:
    """Lines of a page, in mm from its lower left corner."""
    content = reader.pages[page].get_contents()
    found: list[list[tuple[float, float]]] = []
    for numbers, operator in ContentStream(content, reader).operations:
        if operator == b"m":
            found.append([(float(numbers[0]) / MM, float(numbers[1]) / MM)])
        elif operator == b"l":
            found[-1].append((float(numbers[0]) / MM, float(numbers[1]) / MM))
    return [line for line in found if len(line) > 1]


def shown(tile: Tile) -> Polygon:
    """The part of the sheet that a page shows."""
    return box(tile.left, tile.bottom, tile.left + tile.wide, tile.bottom + tile.high)


def words_of(sheet: Sheet) -> list[Polygon]:
    """The paper that each line of each label takes."""
    labels = [group.label for group in sheet.groups if group.label is not None]
    return [Polygon(ring) for label in labels for ring in label_shapes(label)]


def test_the_test_squares_measure_100_mm_and_4_in() -> None:
    """Both sides, to a hundredth of a millimetre."""
    for paper in ("a4", "letter", "90cm"):
        _, reader = printed("pinafore", paper)
        sides = []
        for line in strokes(reader, 0):
            if len(line) == 5 and line[0] == pytest.approx(line[4]):
                sides.append((max(x for x, _ in line) - min(x for x, _ in line),
                              max(y for _, y in line) - min(y for _, y in line)))  # fmt: skip
        for side in (100.0, 101.6):
            assert any(w == pytest.approx(side, abs=0.01) and h == pytest.approx(side, abs=0.01)
                       for w, h in sides)  # fmt: skip


@pytest.mark.parametrize("paper", ["a4", "letter", "90cm"])
def test_nothing_is_lost_between_the_pages(paper: str) -> None:
    """Every piece's outline, sampled each 5 mm, is drawn on some page where it belongs."""
    laid, reader = printed("pinafore", paper)
    drawn = []
    for tile in laid.tiles:
        for line in strokes(reader, tile.number):
            placed = [(x - MARGIN_MM + tile.left, y - MARGIN_MM + tile.bottom) for x, y in line]
            # What runs on beyond the printed area is in the file, and not on paper.
            drawn.append(LineString(placed).intersection(shown(tile)))
    tree = STRtree(drawn)
    assert len(laid.sheet.groups) == 5
    for group in laid.sheet.groups:
        ring = LineString([*outline_of(group), outline_of(group)[0]])
        for k in range(int(ring.length / 5.0)):
            spot = ring.interpolate(5.0 * k)
            near = drawn[tree.nearest(spot)]
            assert near.distance(spot) < 0.05


def test_pages_that_meet_show_the_same_and_bear_the_same_number() -> None:
    """Circles of a joint lie wholly in what both pages show."""
    laid, reader = printed("pinafore", "a4")
    tiles = {tile.number: tile for tile in laid.tiles}
    joints = joints_of(laid.tiles)
    assert [joint.number for joint in joints] == list(range(1, len(joints) + 1))
    assert len(joints) >= len(tiles) - 1
    places = joint_places(joints, laid.sheet)
    for joint in joints:
        for number in (joint.first, joint.second):
            tile = tiles[number]
            for x, y in places[joint.number]:
                assert tile.left + 5.0 < x < tile.left + tile.wide - 5.0
                assert tile.bottom + 5.0 < y < tile.bottom + tile.high - 5.0
            assert str(joint.number) in reader.pages[number].extract_text().split()
        one, two = tiles[joint.first], tiles[joint.second]
        if joint.beside:
            assert one.left + one.wide - two.left == pytest.approx(OVERLAP_MM)
        else:
            assert two.bottom + two.high - one.bottom == pytest.approx(OVERLAP_MM)


@pytest.mark.parametrize("name", ["pinafore", "toy-hare"])
def test_joining_marks_keep_clear_of_the_pieces(name: str) -> None:
    """A circle on a cut line, a notch or a name would be in the way."""
    laid = laid_on(name, "a4")
    lines: list[LineString | Polygon] = [
        LineString([*line.points, line.points[0]] if line.closed else line.points)
        for group in laid.sheet.groups
        for line in group.lines
    ]
    lines += words_of(laid.sheet)
    joints = joints_of(laid.tiles)
    places = joint_places(joints, laid.sheet)

    def gap(spot: tuple[float, float]) -> float:
        return float(min(line.distance(Point(spot)) for line in lines))

    clear = 0
    for joint in joints:
        length = joint.end - joint.start
        for half, place in enumerate(places[joint.number]):
            if gap(place) > CIRCLE_MM:
                clear += 1
                continue
            # Lines run all along this half of the joint: no other place would do.
            for k in range(int(0.1 * length), int(0.46 * length)):
                along = joint.end - k if half else joint.start + k
                other = (joint.at, along) if joint.beside else (along, joint.at)
                assert gap(other) < CLEAR_MM + length / 100
    assert clear >= 0.8 * 2 * len(joints)


def test_a_crowded_joint_hides_no_line() -> None:
    """Circles are not filled: nothing white is painted over a piece."""
    _, reader = printed("pinafore", "a4")
    content = reader.pages[1].get_contents()
    filled = [op for _, op in ContentStream(content, reader).operations if op in (b"b", b"B")]
    assert not filled


def test_the_map_tells_the_pages_of_each_piece() -> None:
    """A page is named with a piece if it shows some of it."""
    assert runs([1, 2, 3, 6, 8, 9]) == "1-3, 6, 8-9"
    laid, reader = printed("pinafore", "a4")
    told = contents(laid.sheet, laid.tiles)
    assert [text.split(":")[0] for text in told] == [g.name for g in laid.sheet.groups]
    pages = reader.pages[0].extract_text()
    assert all(text in pages for text in told)
    for text, group in zip(told, laid.sheet.groups, strict=True):
        ring = Polygon(outline_of(group))
        seen = [tile.number for tile in laid.tiles if shown(tile).intersects(ring)]
        assert text == f"{group.name}: {runs(seen)}"


def test_pages_have_their_size_and_ask_for_no_scaling() -> None:
    """ISO 32000-1, table 150: PrintScaling None."""
    for paper, size in (("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))):
        _, reader = printed("pinafore", paper)
        preferences = reader.root_object["/ViewerPreferences"].get_object()
        assert isinstance(preferences, DictionaryObject)
        assert str(preferences["/PrintScaling"]) == "/None"
        for page in reader.pages:
            sides = float(page.mediabox.width) / MM, float(page.mediabox.height) / MM
            assert sorted(sides) == pytest.approx(sorted(size), abs=0.01)


def test_blank_pages_are_left_out_and_the_map_names_every_page() -> None:
    """One page for each number, and the numbers stand on the map."""
    laid, reader = printed("pinafore", "a4")
    assert len(reader.pages) == 1 + len(laid.tiles)
    words = reader.pages[0].extract_text().split()
    assert all(str(tile.number) in words for tile in laid.tiles)
    drawn = [LineString(line.points) for group in laid.sheet.groups for line in group.lines]
    for tile in laid.tiles:
        assert any(line.intersects(shown(tile)) for line in drawn)


def test_pieces_on_paper_are_those_of_the_garment_turned_by_quarters() -> None:
    """Never mirrored, never resized, apart from each other."""
    laid, _ = printed("pinafore", "a4")
    before = {group.name: outline_of(group) for group in sheet_of("pinafore").groups}
    shapes = []
    for group in laid.sheet.groups:
        old, new = before[group.name], outline_of(group)
        turn = complex(new[1][0] - new[0][0], new[1][1] - new[0][1]) / complex(
            old[1][0] - old[0][0], old[1][1] - old[0][1]
        )
        assert abs(turn) == pytest.approx(1.0, abs=1e-6)
        moved = [complex(new[0][0], new[0][1]) + turn * complex(x - old[0][0], y - old[0][1])
                 for x, y in old]  # fmt: skip
        assert max(abs(m - complex(*p)) for m, p in zip(moved, new, strict=True)) < 1e-6
        shapes.append(LineString(new))
    for k, one in enumerate(shapes):
        assert all(one.distance(other) > 5.0 for other in shapes[k + 1 :])


def test_a_roll_is_as_long_as_needed_and_never_longer_than_a_pdf_page() -> None:
    """5.08 m at most; longer lays go on on a further page."""
    laid, reader = printed("pinafore", "90cm")
    assert len(laid.tiles) == 1
    height = float(reader.pages[1].mediabox.height) / MM
    drawn = laid.sheet.bounds[3] - laid.sheet.bounds[1]
    assert height == pytest.approx(drawn + 2 * MARGIN_MM + 1.0, abs=0.1)
    narrow = arranged(sheet_of("wrap-skirt"), medium_of("80cm"), System.METRIC)
    long = Sheet("long", narrow.sheet.groups, of_pieces=False)
    tiles = arranged(long, Medium("short roll", 800.0, 900.0, roll=True), System.METRIC).tiles
    assert len(tiles) > 1
    assert all(tile.high + 2 * MARGIN_MM <= 900.0 + 1e-6 for tile in tiles)


def test_a_plan_is_printed_lay_by_lay() -> None:
    """Everything that is drawn of it lies on some page."""
    sheet = lays_sheet(demo_plan("pinafore"))
    laid = arranged(sheet, LETTER, System.METRIC)
    kinds = {line.kind for group in laid.sheet.groups for line in group.lines}
    assert LineKind.CLOTH in kinds
    x1, y1, x2, y2 = sheet.bounds
    assert min(tile.left for tile in laid.tiles) <= x1
    assert min(tile.bottom for tile in laid.tiles) <= y1
    assert max(tile.left + tile.wide for tile in laid.tiles) >= x2
    assert max(tile.bottom + tile.high for tile in laid.tiles) >= y2


@pytest.mark.parametrize("paper", ["a4", "letter", "90cm"])
def test_every_lay_keeps_its_heading(paper: str) -> None:
    """The first one's stands above everything that is drawn."""
    sheet = lays_sheet(demo_plan("pinafore"))
    tiles = arranged(sheet, medium_of(paper), System.METRIC).tiles
    pages = unary_union([shown(tile) for tile in tiles])
    labels = [group.label for group in sheet.groups if group.label is not None]
    assert any(label.at[1] > sheet.bounds[3] for label in labels)
    assert all(pages.buffer(1e-6).contains(words) for words in words_of(sheet))


def test_what_cannot_be_printed_is_told(tmp_path: Path) -> None:
    """Paper that is none, a file that is there, a piece that is wider than the roll."""
    out = tmp_path / "top.pdf"

    def run(*more: str) -> tuple[int, str]:
        result = CliRunner().invoke(command, ["layered-top", "--out", str(out), *more])
        return result.exit_code, result.output + str(result.exception or "")

    code, told = run("--paper", "a7")
    assert code == 2
    assert "'a7' is no paper" in told
    result = CliRunner().invoke(command, ["layered-top", "--out", str(tmp_path / "top.png")])
    assert result.exit_code == 2
    assert "ends in none of .pdf" in result.output
    code, told = run("--paper", "2in")
    assert code == 2
    assert "a roll is between 5 15/16 in and 200 in wide" in told
    code, told = run("--piece", "sleeve")
    assert code == 2
    assert "there is no piece 'sleeve': front, back" in told
    with pytest.raises(PlanError, match=r"piece 'front' needs paper .* leaves 17.9 cm"):
        arranged(sheet_of("layered-top"), medium_of("20cm"), System.METRIC)
    code, told = run("--piece", "strap")
    assert code == 0 or "page" in told
    assert out.read_bytes().startswith(b"%PDF")
    before = out.read_bytes()
    assert "is there already" in run("--piece", "strap")[1]
    assert out.read_bytes() == before


def test_columns_are_lettered() -> None:
    """A to Z, then AA."""
    assert [column_letters(k) for k in (0, 25, 26, 27)] == ["A", "Z", "AA", "AB"]


def test_the_title_of_a_whole_order_ends_with_its_page() -> None:
    """On the map and at the foot of each page; pieces name their garment, not all of them."""
    names = ("toy-hare", "wrap-skirt", "blouse")
    order = order_without_cloth(Request(tuple(map(GarmentAsked, names))))
    sheet = pieces_sheet(order.garment)
    # Moved together or not, pieces have the same title above them.
    laid = Arranged(sheet, A4, tiles_of(sheet, A4))
    title = draw_map(laid, A4).axes[0].texts[0]
    assert title.get_text().endswith("\u2026")
    bold = FontProperties(family="DejaVu Sans", weight="bold", size=13.0)
    drawn = TextPath((0.0, 0.0), title.get_text(), prop=bold).get_extents()
    assert drawn.width / MM <= 297.0 - 2 * MARGIN_MM
    labels = [group.label for group in sheet.groups if group.label is not None]
    assert labels
    assert not [label for label in labels if order.garment.title in " ".join(label.lines)]

"""Labels on tiled pages: each on one page where one has room, and clear of the stitching line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from shapely.geometry import LineString, MultiPolygon, Polygon, box

from pieces.geometry_types import Point
from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from plans.full_size.pieces import pieces_sheet
from plans.full_size.sheet import Group, LineKind
from plans.printing.arranging import arranged
from plans.printing.label_shape import label_shapes
from plans.printing.media import A4
from plans.printing.tiles import Tile, tiles_of
from plans.printing.whole_labels import with_whole_labels

BAG = """
title = "Bag"
units = "cm"
[[piece]]
name = "side"
cut = { main = "2" }
drawn = "net"
allowance = "1 cm"
grain = "up"
edges = [{ to = [35, 0] }, { to = [35, 40] }, { to = [0, 40] }, { to = [0, 0] }]
[[piece]]
name = "narrow handle of a bag"
cut = { main = "2" }
drawn = "net"
allowance = "1 cm"
strip = { length = "60 cm", width = "2.5 cm" }
"""


def written(group: Group) -> MultiPolygon:
    assert group.label is not None
    return MultiPolygon([Polygon(ring) for ring in label_shapes(group.label)])


def test_a_label_is_read_on_one_page(tmp_path: Path) -> None:
    """As a rule it would run over the edge of one, here the side's, and be cut apart."""
    path = tmp_path / "bag.toml"
    path.write_text(BAG)
    sheet = pieces_sheet(load_garment(path))

    def whole(group: Group, tiles: tuple[Tile, ...]) -> bool:
        pages = (box(t.left, t.bottom, t.left + t.wide, t.bottom + t.high) for t in tiles)
        return any(page.covers(written(group)) for page in pages)

    cut_apart = 0
    for shift in range(0, 200, 40):
        aside = replace(sheet, groups=tuple(shifted(group, shift) for group in sheet.groups))
        # The first group begins where the grid does, whatever lies beside it.
        laid = replace(aside, groups=(sheet.groups[0], *aside.groups))
        tiles = tiles_of(laid, A4)
        moved = with_whole_labels(laid, tiles)
        cut_apart += sum(not whole(group, tiles) for group in laid.groups)
        assert all(whole(group, tiles) for group in moved.groups)
        for group in moved.groups:
            (net,) = (line.points for line in group.lines if line.kind is LineKind.NET)
            assert Polygon(net).contains(written(group))
            assert LineString([*net, net[0]]).distance(written(group)) >= 1.0
    assert cut_apart
    found = arranged(sheet, A4, System.METRIC)
    assert all(whole(group, found.tiles) for group in found.sheet.groups)


def shifted(group: Group, by: float) -> Group:
    """A group so far to the right, and further up (mm)."""

    def moved(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + by, y + by + 600.0) for x, y in points)

    assert group.label is not None
    lines = tuple(replace(line, points=moved(line.points)) for line in group.lines)
    (at,) = moved((group.label.at,))
    return replace(group, lines=lines, notches=(), label=replace(group.label, at=at))

"""A sheet in tiles: which pages there are, and where two of them meet."""

from __future__ import annotations

from dataclasses import dataclass

from plans.full_size.sheet import Sheet
from plans.printing.label_shape import label_shapes
from plans.printing.media import OVERLAP_MM, Medium

LINE_MM = 0.5
"""Kept round the drawing, so that lines at its edge are printed in their full width."""

HAIR_MM = 0.01
"""What reaches over a page by no more than this is on it."""


@dataclass(frozen=True)
class Tile:
    """One page: its number, its place in the grid, and the part of the sheet it shows (mm)."""

    number: int
    column: int
    row: int
    left: float
    bottom: float
    wide: float
    high: float

    @property
    def name(self) -> str:
        """Row and column as people say them: 2 C is the third of the second row."""
        return f"{self.row + 1} {column_letters(self.column)}"


@dataclass(frozen=True)
class Joint:
    """Where two pages meet: a number that both bear, and the line (sheet mm) along which they do.

    The line runs in the middle of what both show; `beside` is whether they lie side by side.
    """

    number: int
    first: int
    second: int
    beside: bool
    at: float
    start: float
    end: float


def column_letters(index: int) -> str:
    """Return A, B, ... Z, AA, AB, ... for a column counted from 0."""
    letters = ""
    index += 1
    while index:
        index, digit = divmod(index - 1, 26)
        letters = chr(ord("A") + digit) + letters
    return letters


def tiles_of(sheet: Sheet, medium: Medium) -> tuple[Tile, ...]:
    """Part a sheet into pages, row by row from the top; pages with nothing on them are left out."""
    from shapely import STRtree, total_bounds
    from shapely.geometry import LineString, Polygon, box

    (wide, high), (across, down) = medium.area, medium.step
    drawn = [
        LineString([*line.points, line.points[0]] if line.closed else line.points)
        for group in sheet.groups
        for line in group.lines
    ]
    written = [
        Polygon(ring)
        for group in sheet.groups
        if group.label is not None
        for ring in label_shapes(group.label)
    ]
    everything = [*drawn, *written]
    tree = STRtree(everything)
    x1, y1, x2, y2 = (
        edge + side * LINE_MM
        for edge, side in zip(total_bounds(everything).tolist(), (-1, -1, 1, 1), strict=True)
    )
    found: list[Tile] = []
    row = 0
    while row == 0 or y2 - row * down - OVERLAP_MM > y1 + HAIR_MM:
        top = y2 - row * down
        # The last page of a roll ends where the drawing does.
        height = min(high, max(top - y1, OVERLAP_MM)) if medium.roll else high
        column = 0
        while column == 0 or x1 + column * across + OVERLAP_MM < x2 - HAIR_MM:
            left = x1 + column * across
            part = box(left, top - height, left + wide, top)
            if len(tree.query(part, predicate="intersects")):
                number = len(found) + 1
                found.append(Tile(number, column, row, left, top - height, wide, height))
            column += 1
        row += 1
    return tuple(found)


def joints_of(tiles: tuple[Tile, ...]) -> tuple[Joint, ...]:
    """Number the places where pages meet, side by side or one below the other."""
    by_place = {(tile.column, tile.row): tile for tile in tiles}
    joints: list[Joint] = []
    for tile in tiles:
        right = by_place.get((tile.column + 1, tile.row))
        below = by_place.get((tile.column, tile.row + 1))
        if right is not None:
            at = (tile.left + tile.wide + right.left) / 2.0
            joints.append(
                Joint(
                    len(joints) + 1, tile.number, right.number, True, at, tile.bottom,
                    tile.bottom + tile.high,
                )
            )  # fmt: skip
        if below is not None:
            at = (tile.bottom + below.bottom + below.high) / 2.0
            joints.append(
                Joint(
                    len(joints) + 1, tile.number, below.number, False, at, tile.left,
                    tile.left + tile.wide,
                )
            )  # fmt: skip
    return tuple(joints)

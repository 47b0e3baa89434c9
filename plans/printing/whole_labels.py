"""Labels moved off the edges of pages: each stands on one page, where it can be read untaped."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

from plans.full_size.labels import label_within
from plans.full_size.sheet import Group, Label, LineKind, Sheet
from plans.printing.label_shape import label_shapes
from plans.printing.tiles import Tile

if TYPE_CHECKING:
    from shapely.geometry import Polygon

LEAST_SHARE = 0.6
"""A label that would be smaller than this share of what it is stays where it is."""


def with_whole_labels(sheet: Sheet, tiles: tuple[Tile, ...]) -> Sheet:
    """Move each label of a piece that runs over the edge of a page, if one page has room for it.

    `tiles` are the pages on which the sheet was to be printed; which have anything on them may
    be others afterwards.
    """
    pages = _grid(tiles)
    return replace(sheet, groups=tuple(_moved(group, pages) for group in sheet.groups))


def _moved(group: Group, pages: list[Polygon]) -> Group:
    from shapely.geometry import MultiPolygon, Polygon

    label = group.label
    if label is None or not any(line.kind is LineKind.GRAIN for line in group.lines):
        return group
    written = MultiPolygon([Polygon(ring) for ring in label_shapes(label)])
    if any(page.covers(written) for page in pages):
        return group
    near = [page for page in pages if page.intersects(Polygon(_outline(group)))]
    found = [label_within(group.lines, (label.lines,), page) for page in near]
    rooms = [one for one in found if one is not None]
    largest = max(rooms, key=lambda one: one.height, default=None)
    if largest is None or largest.height < LEAST_SHARE * label.height:
        return group
    return replace(group, label=_as_large(largest, label))


def _as_large(found: Label, label: Label) -> Label:
    """What was found, no larger than the label was."""
    return replace(found, height=min(found.height, label.height))


def _outline(group: Group) -> tuple[tuple[float, float], ...]:
    return next(line.points for line in group.lines if line.kind is LineKind.OUTLINE)


def _grid(tiles: tuple[Tile, ...]) -> list[Polygon]:
    """All pages of the grid, with those between that nothing is drawn on."""
    from shapely.geometry import box

    columns = {tile.column: (tile.left, tile.left + tile.wide) for tile in tiles}
    rows = {tile.row: (tile.bottom, tile.bottom + tile.high) for tile in tiles}
    return [
        box(left, bottom, right, top)
        for (left, right), (bottom, top) in product(columns.values(), rows.values())
    ]

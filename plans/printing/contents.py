"""What lies on which page, in words for the map."""

from __future__ import annotations

from plans.full_size.sheet import Group, LineKind, Sheet
from plans.printing.tiles import Tile


def contents(sheet: Sheet, tiles: tuple[Tile, ...]) -> tuple[str, ...]:
    """Name the pages of each piece, or of each lay of a plan: "front: 1-3, 6"."""
    from shapely.geometry import Polygon, box

    kind = LineKind.OUTLINE if sheet.of_pieces else LineKind.CLOTH
    parts = [
        (tile.number, box(tile.left, tile.bottom, tile.left + tile.wide, tile.bottom + tile.high))
        for tile in tiles
    ]
    told = []
    for group in sheet.groups:
        ring = _ring(group, kind)
        if ring:
            shape = Polygon(ring)
            told.append(f"{group.name}: {runs([n for n, part in parts if part.intersects(shape)])}")
    return tuple(told)


def runs(numbers: list[int]) -> str:
    """Write numbers that follow one another as runs: 1-3, 6."""
    written: list[list[int]] = []
    for number in numbers:
        if written and number == written[-1][1] + 1:
            written[-1][1] = number
        else:
            written.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in written)


def _ring(group: Group, kind: LineKind) -> tuple[tuple[float, float], ...]:
    return next((line.points for line in group.lines if line.kind is kind), ())

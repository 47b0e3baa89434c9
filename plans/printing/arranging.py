"""How a sheet goes on pages: the arrangement that takes the fewest."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pieces.lengths import System, format_width
from plans.errors import PlanError
from plans.full_size.sheet import Sheet
from plans.printing.media import Medium
from plans.printing.packing import least_width, packed
from plans.printing.tiles import Tile, tiles_of
from plans.printing.whole_labels import with_whole_labels

MOST_COLUMNS = 5
"""Wider arrangements are tried only where a piece needs them."""


@dataclass(frozen=True)
class Arranged:
    """A sheet as it lies on pages."""

    sheet: Sheet
    medium: Medium
    tiles: tuple[Tile, ...]


def arranged(sheet: Sheet, medium: Medium, system: System) -> Arranged:
    """Move the pieces of a sheet together and part it into pages; lays stay as they are.

    Raises
    ------
    PlanError
        If a piece is wider than the roll.
    """
    if not sheet.of_pieces:
        found = [Arranged(sheet, medium, tiles_of(sheet, medium))]
    else:
        found = _rolled(sheet, medium, system) if medium.roll else _tiled(sheet, medium)
    fewest = min(found, key=lambda one: (len(one.tiles), -one.sheet.bounds[1]))
    laid = with_whole_labels(fewest.sheet, fewest.tiles)
    return Arranged(laid, fewest.medium, tiles_of(laid, fewest.medium))


def _tiled(sheet: Sheet, medium: Medium) -> list[Arranged]:
    needed = max(least_width(group) for group in sheet.groups)
    found = []
    for paper in (medium, medium.across()):
        least = max(1, math.ceil((needed - paper.width_of(0)) / paper.step[0] - 1e-9))
        for columns in range(least, max(least, MOST_COLUMNS) + 1):
            laid = packed(sheet, paper.width_of(columns))
            if laid is not None:
                found.append(Arranged(laid, paper, tiles_of(laid, paper)))
    return found


def _rolled(sheet: Sheet, medium: Medium, system: System) -> list[Arranged]:
    width = medium.width_of(1)
    widest = max(sheet.groups, key=least_width)
    laid = packed(sheet, width) if least_width(widest) <= width else None
    if laid is None:
        raise PlanError(
            f"piece '{widest.name}' needs paper {format_width(least_width(widest), system)} wide, "
            f"and the {medium.name} leaves {format_width(width, system)} between its margins; a "
            "wider roll would do, or tiles: --paper a4"
        )
    return [Arranged(laid, medium, tiles_of(laid, medium))]

"""Leftovers worth keeping on the drawing of a lay, with their size and room for their tag."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from pieces.lengths import System
from plans.drawing import look
from plans.drawing.label_places import Places
from plans.plan import FabricPlan
from plans.words.account_lines import leftover_letter, leftover_size

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from plans.drawing.labels import LabelSpot

LEAST_MM2 = 1.0
"""A part of a leftover that is smaller is not drawn."""

TAG_BLANK = "tag L____"
"""Room on paper for the tag that the stash will give."""


@dataclass(frozen=True)
class LeftoverPart:
    """Where a leftover lies on one ply of a lay: its number and its region (lay mm).

    `ply` says which of two plies, "upper ply" or "lower ply"; empty where there is only one.
    """

    number: int
    region: BaseGeometry
    ply: str


def leftover_regions(
    entry: FabricPlan, index: int, low: float, high: float
) -> tuple[LeftoverPart, ...]:
    """Where the leftovers lie on a range of a section's lay, ply by ply."""
    section = entry.sections[index]
    plies = section.spread.plies
    found = []
    for number, leftover in enumerate(entry.leftovers):
        for ply in plies:
            rings = [
                ply.from_cloth(np.asarray(ring), section.lay_length, section.start)
                for ring in (leftover.outline, *leftover.holes)
            ]
            region = Polygon(rings[0], rings[1:]).buffer(0.0)
            part = shapely.clip_by_rect(region, low, ply.y_from, high, ply.y_to)
            if part.area > LEAST_MM2:
                middle = part.representative_point().y
                lying = [one for one in plies if one.y_from < middle < one.y_to]
                name = "lower ply" if ply is plies[0] else "upper ply"
                found.append(LeftoverPart(number, part, name if len(lying) > 1 else ""))
    return tuple(found)


def draw_leftovers(
    axes: Axes, entry: FabricPlan, index: int, low: float, high: float
) -> tuple[LeftoverPart, ...]:
    """Outline the leftovers of a section; returns what was drawn."""
    parts = leftover_regions(entry, index, low, high)
    for part in parts:
        draw_region_outline(axes, part.region)
    return parts


def draw_region_outline(axes: Axes, region: BaseGeometry) -> None:
    """Draw the broken outline of what is worth keeping."""
    for polygon in getattr(region, "geoms", [region]):
        if isinstance(polygon, Polygon):
            for ring in (polygon.exterior, *polygon.interiors):
                axes.plot(
                    *np.asarray(ring.coords).T, color=look.LEFTOVER, linewidth=0.7,
                    linestyle=look.LEFTOVER_STYLE, zorder=2,
                )  # fmt: skip


def leftover_labels(
    entry: FabricPlan,
    index: int,
    parts: tuple[LeftoverPart, ...],
    places: Places,
    system: System,
) -> tuple[LabelSpot, ...]:
    """Find room for size and tag in the largest part of each leftover; without room, none."""
    low, _, high, _ = places.frame
    zones = entry.sections[index].spread.zones
    clear = shapely.union_all([shapely.box(low, z.y_from, high, z.y_to) for z in zones])
    spots = []
    for number in dict.fromkeys(part.number for part in parts):
        mine = [part for part in parts if part.number == number]
        part = max(mine, key=lambda part: part.region.area)
        # One that reaches over a fold is on both plies.
        ply = part.ply if len({one.ply for one in mine}) == 1 else ""
        letter = leftover_letter(number)
        size = leftover_size(entry.leftovers[number], system)
        spot = places.free_spot(
            part.region.intersection(clear), leftover_wordings(letter, size, ply)
        )
        if spot is not None:
            spots.append(spot)
    return tuple(spots)


def leftover_wordings(letter: str, size: str, ply: str) -> tuple[tuple[str, ...], ...]:
    """What is written on a leftover, the fullest first."""
    named = f"leftover {letter}{', ' + ply if ply else ''}"
    return ((named, size, TAG_BLANK), (f"{letter}: {size}", TAG_BLANK), (f"{letter}: {size}",),
            (letter,))  # fmt: skip

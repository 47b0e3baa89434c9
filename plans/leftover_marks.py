"""Leftovers worth keeping on the drawing of a lay, with their size and room for their tag."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from pieces.geometry_types import Ring
from pieces.lengths import System
from plans import look
from plans.account_lines import leftover_letter, leftover_size
from plans.label_places import Places
from plans.plan import FabricPlan

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from plans.labels import LabelSpot

TAG_BLANK = "tag L____"
"""Room on paper for the tag that the stash will give."""


def leftover_regions(
    entry: FabricPlan, index: int, low: float, high: float
) -> tuple[tuple[int, BaseGeometry], ...]:
    """Where each leftover lies on a section's lay, ply by ply: its number and its region (mm)."""
    section = entry.sections[index]
    found: list[tuple[int, BaseGeometry]] = []
    for number, leftover in enumerate(entry.leftovers):
        for ply in section.spread.plies:

            def laid(ring: Ring, ply=ply) -> np.ndarray:  # type: ignore[no-untyped-def]
                points = np.asarray(ring)
                return np.asarray(ply.from_cloth(points, section.lay_length, section.start))

            region = Polygon(laid(leftover.outline), [laid(hole) for hole in leftover.holes])
            part = shapely.clip_by_rect(region.buffer(0.0), low, ply.y_from, high, ply.y_to)
            if not part.is_empty and part.area > 1.0:
                found.append((number, part))
    return tuple(found)


def draw_leftovers(
    axes: Axes, entry: FabricPlan, index: int, low: float, high: float
) -> tuple[tuple[int, BaseGeometry], ...]:
    """Outline the leftovers of a section; returns what was drawn."""
    regions = leftover_regions(entry, index, low, high)
    for _, region in regions:
        for part in getattr(region, "geoms", [region]):
            if isinstance(part, Polygon):
                for ring in (part.exterior, *part.interiors):
                    axes.plot(
                        *np.asarray(ring.coords).T, color=look.LEFTOVER, linewidth=0.7,
                        linestyle=look.LEFTOVER_STYLE, zorder=2,
                    )  # fmt: skip
    return regions


def leftover_labels(
    entry: FabricPlan,
    regions: tuple[tuple[int, BaseGeometry], ...],
    places: Places,
    system: System,
) -> tuple[LabelSpot, ...]:
    """Find room for size and tag in the largest part of each leftover; without room, none."""
    spots = []
    for number in dict.fromkeys(number for number, _ in regions):
        region = max((r for n, r in regions if n == number), key=lambda part: part.area)
        letter = leftover_letter(number)
        size = leftover_size(entry.leftovers[number], system)
        spot = places.free_spot(
            region,
            ((f"leftover {letter}", size, TAG_BLANK), (f"{letter}: {size}", TAG_BLANK),
             (f"{letter}: {size}",), (letter,)),
        )  # fmt: skip
        if spot is not None:
            spots.append(spot)
    return tuple(spots)

"""Leftovers worth keeping on the drawing of a lay, with their size and room for their tag."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from pieces.lengths import System
from plans.drawing import look
from plans.drawing.label_places import Places
from plans.drawing.sheets import ply_ends
from plans.plan import FabricPlan
from plans.words.account_lines import leftover_letter, leftover_size

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from plans.drawing.labels import LabelSpot

LEAST_MM2 = 1.0
"""A part of a leftover that is smaller is not drawn."""

LOWER_PLY, UPPER_PLY = "lower ply", "upper ply"

COINCIDES_MM = 0.5
"""Lines on two plies that lie no farther apart are drawn once, as those of the upper."""

BESIDE_LINE_MM = 0.3
"""Kept free between a name and a line, mm of paper; the margin of a label comes on top."""

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

    @property
    def below(self) -> bool:
        """Whether another ply lies on it."""
        return self.ply == LOWER_PLY


def leftover_regions(
    entry: FabricPlan, index: int, low: float, high: float
) -> tuple[LeftoverPart, ...]:
    """Where the leftovers lie on a range of a section's lay, ply by ply."""
    section = entry.sections[index]
    plies = section.spread.plies
    ends = ply_ends(entry, index) or (high,) * len(plies)
    found = []
    for number, leftover in enumerate(entry.leftovers):
        for ply, end in zip(plies, ends, strict=True):
            rings = [
                ply.from_cloth(np.asarray(ring), section.lay_length, section.start)
                for ring in (leftover.outline, *leftover.holes)
            ]
            region = Polygon(rings[0], rings[1:]).buffer(0.0)
            part = shapely.clip_by_rect(region, low, ply.y_from, min(high, end), ply.y_to)
            if part.area > LEAST_MM2:
                middle = part.representative_point().y
                lying = [one for one in plies if one.y_from < middle < one.y_to]
                name = LOWER_PLY if ply is plies[0] else UPPER_PLY
                found.append(LeftoverPart(number, part, name if len(lying) > 1 else ""))
    return tuple(found)


def draw_leftovers(
    axes: Axes, entry: FabricPlan, index: int, low: float, high: float
) -> tuple[LeftoverPart, ...]:
    """Outline the leftovers of a section, those under another ply dotted; returns what was drawn.

    Where outlines on both plies coincide, that of the upper is seen.
    """
    parts = leftover_regions(entry, index, low, high)
    above = shapely.union_all([part.region.boundary for part in parts if not part.below])
    hidden = above.buffer(COINCIDES_MM)
    for part in parts:
        if part.below:
            seen = part.region.boundary.difference(hidden)
            _draw_lines(axes, seen, look.LOWER_LEFTOVER_STYLE)
        else:
            draw_region_outline(axes, part.region)
    return parts


def draw_region_outline(axes: Axes, region: BaseGeometry) -> None:
    """Draw the broken outline of what is worth keeping."""
    _draw_lines(axes, region.boundary, look.LEFTOVER_STYLE)


def _draw_lines(axes: Axes, lines: BaseGeometry, style: object) -> None:
    for line in shapely.get_parts(shapely.line_merge(lines)):
        if isinstance(line, LineString):
            axes.plot(
                *np.asarray(line.coords).T, color=look.LEFTOVER, linewidth=0.7, linestyle=style,
                zorder=2,
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
    lines = _lines(entry, index, parts, places)
    spots = []
    for number in dict.fromkeys(part.number for part in parts):
        mine = [part for part in parts if part.number == number]
        part = max(mine, key=lambda part: part.region.area)
        # One that reaches over a fold is on both plies.
        ply = part.ply if len({one.ply for one in mine}) == 1 else ""
        letter = leftover_letter(number)
        size = leftover_size(entry.leftovers[number], system)
        # What lies on the other ply there has a name, too: rather where nothing does.
        others = shapely.union_all([one.region for one in parts if one.number != number])
        room = part.region.intersection(clear)
        wordings = leftover_wordings(letter, size, ply)
        alone = room.difference(others)
        for region, shown in (
            (alone.difference(lines), wordings[:2]),
            (room.difference(lines), wordings[:2]),
            (alone.difference(lines), wordings),
            (alone, wordings[:2]),
            (room, wordings),
        ):
            spot = places.free_spot(region, shown)
            if spot is not None:
                spots.append(spot)
                break
    return tuple(spots)


def _lines(
    entry: FabricPlan, index: int, parts: tuple[LeftoverPart, ...], places: Places
) -> BaseGeometry:
    """Where lines are drawn that a name had better not lie on: outlines, ends and edges of plies.

    So wide that letters beside them do not touch.
    """
    low, bottom, high, top = places.frame
    across = [LineString([(x, bottom), (x, top)]) for x in ply_ends(entry, index)]
    along = [
        LineString([(low, y), (high, y)])
        for zone in entry.sections[index].spread.zones
        for y in (zone.y_from, zone.y_to)
    ]
    drawn = [part.region.boundary for part in parts]
    lines: BaseGeometry = shapely.union_all([*drawn, *across, *along])
    return lines.buffer(BESIDE_LINE_MM * places.scale, quad_segs=2)


def leftover_wordings(letter: str, size: str, ply: str) -> tuple[tuple[str, ...], ...]:
    """What is written on a leftover, the fullest first."""
    named = f"leftover {letter}{', ' + ply if ply else ''}"
    return ((named, size, TAG_BLANK), (f"{letter}: {size}", TAG_BLANK), (f"{letter}: {size}",),
            (letter,))  # fmt: skip

"""Where the circles of a joint go: on both pages, and clear of what is drawn if they can be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pieces.geometry_types import Point
from plans.full_size.sheet import Sheet
from plans.printing.label_shape import label_shapes
from plans.printing.tiles import Joint

if TYPE_CHECKING:
    from shapely import STRtree

CIRCLE_MM = 5.0
"""Radius of the circles at a joint; all of it lies in what both pages show."""

CLEAR_MM = CIRCLE_MM + 1.0
"""From the centre of a circle to what is drawn, where that can be."""

PARTS = tuple(sorted((k / 100 for k in range(10, 47)), key=lambda part: abs(part - 0.25)))
"""Where along a joint its first circle may lie; the second one lies in the other half."""


def joint_places(joints: tuple[Joint, ...], sheet: Sheet) -> dict[int, tuple[Point, Point]]:
    """Centres (sheet mm) of the two circles of each joint, by its number."""
    from shapely import STRtree
    from shapely.geometry import LineString, Polygon

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
    tree = STRtree([*drawn, *written])
    return {
        joint.number: (
            _place(joint, PARTS, tree),
            _place(joint, tuple(1.0 - part for part in PARTS), tree),
        )
        for joint in joints
    }


def _place(joint: Joint, parts: tuple[float, ...], tree: STRtree) -> Point:
    """Return the first place that is clear, else the one farthest from everything."""
    from shapely.geometry import Point as Spot

    best = (-1.0, (0.0, 0.0))
    for part in parts:
        along = joint.start + part * (joint.end - joint.start)
        place = (joint.at, along) if joint.beside else (along, joint.at)
        _, gap = tree.query_nearest(Spot(place), return_distance=True)
        if float(gap[0]) >= CLEAR_MM:
            return place
        best = max(best, (float(gap[0]), place), key=lambda found: found[0])
    return best[1]

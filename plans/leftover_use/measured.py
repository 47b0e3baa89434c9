"""A leftover as somebody measured it: its outline turned to the grain, and what it holds."""

from __future__ import annotations

from fabrics.fabric import Fabric
from fabrics.region import Region, region_of, turned_to_warp
from fabrics.stash.records import NewLeftover
from pieces.geometry_types import Ring
from plans.errors import PlanError
from plans.folds.leftovers import largest_rectangle, ring_of


def rectangle_ring(long: float, wide: float) -> Ring:
    """Corners of a rectangle: so long along the grain, so wide across it (mm)."""
    return (0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)


class NoLeftoverError(PlanError):
    """Corners that enclose nothing that could be used."""


def measured_leftover(
    fabric: Fabric, outer: Ring, holes: tuple[Ring, ...] = (), warp: float = 0.0, note: str = ""
) -> NewLeftover:
    """Make what is put into the stash of measured corners.

    Parameters
    ----------
    fabric : Fabric
    outer, holes : rings of points
        Corners (mm) of washed cloth, seen from its right side.
    warp : float
        Direction of the warp in degrees, counter-clockwise from x.
    note : str

    Raises
    ------
    NoLeftoverError
        If the corners are no outline, or nothing within it holds a rectangle.
    """
    try:
        region = region_of(
            turned_to_warp(outer, warp), tuple(turned_to_warp(hole, warp) for hole in holes)
        )
    except ValueError as error:
        raise NoLeftoverError(str(error)) from error
    largest = largest_rectangle(region)
    if not (largest[2] > largest[0] and largest[3] > largest[1]):
        raise NoLeftoverError("is too narrow to hold any rectangle")
    return NewLeftover(
        fabric=fabric,
        region=Region(
            outline=ring_of(region.exterior.coords),
            holes=tuple(ring_of(hole.coords) for hole in region.interiors),
            area=region.area,
            rectangle=largest,
        ),
        note=note,
    )

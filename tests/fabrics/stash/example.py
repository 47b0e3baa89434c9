"""Cloth of our own for the tests of the stash."""

from __future__ import annotations

from dataclasses import replace

from fabrics.fabric import Fabric
from fabrics.plain import plain_fabric
from fabrics.region import Region
from fabrics.stash.records import NewLeftover

LAWN = replace(
    plain_fabric("140cm"),
    name="green-lawn",
    title="green lawn",
    colour="leaf green",
    fibre="cotton",
    shrink_along=0.05,
)
VOILE = replace(plain_fabric("115cm"), name="voile", title="voile", colour="ivory", fibre="silk")


def rectangle(fabric: Fabric, long: float, wide: float, note: str = "") -> NewLeftover:
    """A rectangular leftover, sides in mm."""
    outline = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    return NewLeftover(fabric, Region(outline, (), long * wide, (0.0, 0.0, long, wide)), note)

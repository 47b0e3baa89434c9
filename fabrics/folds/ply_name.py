"""What a ply is called."""

from __future__ import annotations

from enum import Enum


class PlyName(Enum):
    """One thickness of cloth in a lay; the value is its name in files."""

    LOWER = "lower"
    """What lies on the table."""
    UPPER = "upper"
    """What lies over all of it: crosswise folds, and cut and turned."""
    FLAP1 = "flap1"
    """The selvage folded in at lay y = 0."""
    FLAP2 = "flap2"
    """The selvage folded in across from it."""
    CLOTH = "cloth"
    """A leftover, open on the table: the only ply that there is."""

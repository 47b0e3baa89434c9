"""Re-planning on the width that washed cloth really has."""

from __future__ import annotations

from dataclasses import replace

from fabrics.fabric import Fabric
from plans.errors import ContradictionError


def with_measured_width(fabric: Fabric, width: float) -> Fabric:
    """Return the fabric with its washed width as measured (mm); the selvage stays.

    The width as bought follows back through the shrinkage across.

    Raises
    ------
    ContradictionError
        If the selvages leave nothing of it.
    """
    if width <= 2.0 * fabric.selvage_cut:
        raise ContradictionError(
            f"measured width: {width / 10:g} cm of '{fabric.name}' is no more than its selvages"
        )
    bought = width if fabric.washed else width / (1.0 - fabric.shrink_across)
    return replace(fabric, width=bought)

"""What is known of cloth that one has: the width it really has, and how much of it there is."""

from __future__ import annotations

from dataclasses import replace

from fabrics.fabric import Fabric
from fabrics.stash.records import TAPE_STEP_MM
from pieces.lengths import System, format_width
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
        measured = format_width(width, System.IMPERIAL if fabric.imperial else System.METRIC)
        raise ContradictionError(
            f"measured width: {measured} of '{fabric.name}' is no more than its selvages"
        )
    bought = width if fabric.washed else width / (1.0 - fabric.shrink_across)
    return replace(fabric, width=bought)


def with_amount(fabric: Fabric, length: float, washed: bool | None = None) -> Fabric:
    """Return the fabric as cloth of which there is a length (mm), in the state it is in.

    Parameters
    ----------
    fabric : Fabric
    length : float
    washed : bool, optional
        Whether it is washed; as the fabric says unless given.
    """
    if washed is not None:
        fabric = fabric.as_washed() if washed else replace(fabric, washed=False)
    return replace(fabric, on_hand=length, step=TAPE_STEP_MM, minimum=0.0)


def on_the_same_cloth(cloth: dict[str, Fabric], role: str, changed: Fabric) -> dict[str, Fabric]:
    """Change the cloth of a role, and of those that are cut from the same cloth."""
    former = cloth[role]
    return {name: changed if fabric == former else fabric for name, fabric in cloth.items()}

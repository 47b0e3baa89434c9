"""What must not be overlooked in one fabric's plan: it is printed first, and bold."""

from __future__ import annotations

from fabrics.buying import CLOSE_MM, Purchase, off_the_bolt
from fabrics.fabric import Fabric
from pieces.lengths import System, format_length

USUAL_SHRINKAGE = (
    "cotton usually loses 2 to 7 % of its length, linen 4 to 8 %, viscose 5 to 12 %, polyester "
    "less than 1 % (onlineclothingstudy.com and lydenim.com)"
)


def warnings_for(fabric: Fabric, bought: Purchase, laid: float, system: System) -> tuple[str, ...]:
    """List the warnings of a plan.

    Parameters
    ----------
    fabric : Fabric
    bought : Purchase
    laid : float
        Washed length (mm) that the drawn layout takes, ends included.
    system : System
    """
    return (*_close(fabric, bought, laid, system), *shrinkage_warning(fabric))


def _close(fabric: Fabric, bought: Purchase, laid: float, system: System) -> tuple[str, ...]:
    spare = bought.bought - off_the_bolt(laid, fabric)
    if fabric.on_hand is not None:
        spare += max(0.0, fabric.on_hand - bought.bought)
    if spare >= CLOSE_MM:
        return ()
    more = "take all the care you can" if fabric.on_hand is not None else "ask for a step more"
    return (
        f"Only {format_length(max(0.0, spare), system)} to spare beyond the squared-off ends: cut "
        f"the ends dead straight, or {more}.",
    )


def shrinkage_warning(fabric: Fabric) -> tuple[str, ...]:
    """Warn of cloth that will shrink by nobody knows how much; nothing where it is known."""
    if fabric.washed or fabric.shrinkage_known:
        return ()
    return (
        "No shrinkage is allowed for, because none is stated for this cloth. Unless it was washed "
        f"already, find out and say so: {USUAL_SHRINKAGE}.",
    )

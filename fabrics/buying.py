"""From the length that a layout needs to the length that is bought and what it costs."""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.fabric import Fabric
from pieces.lengths import EXCESS_MM, round_up_to_step


@dataclass(frozen=True)
class Purchase:
    """What to ask for in the shop; all lengths mm.

    Attributes
    ----------
    exact : float
        Length of washed cloth that the layout needs, squared-off ends included.
    unwashed : float
        The same before washing: exact / (1 - shrinkage), or exact if the cloth was washed.
    margin : float
        The user's safety margin.
    bought : float
        unwashed + margin, rounded up to the cutting step and the minimum.
    bought_washed : float
        Length that is there to cut from, after washing.
    cost : float or None
    currency : str
    """

    exact: float
    unwashed: float
    margin: float
    bought: float
    bought_washed: float
    cost: float | None
    currency: str


def purchase(exact: float, fabric: Fabric, margin: float = 0.0) -> Purchase:
    """Work out what to buy for a layout.

    Unwashed cloth shrinks, so the need is divided by what the wash leaves (2.00 m at 5 % is
    2.105 m, not 2.10 m); then comes the margin, then the shop's step and minimum. An excess below
    0.01 mm does not cost a step. Off cloth on hand never comes more than there is, if that is
    enough.

    Parameters
    ----------
    exact, margin : float
        Washed length needed (squared-off ends included) and the user's margin, mm.
    fabric : Fabric
    """
    kept = 1.0 if fabric.washed else 1.0 - fabric.shrink_along
    unwashed = exact / kept
    bought = round_up_to_step(max(unwashed + margin, fabric.minimum), fabric.step)
    if fabric.on_hand is not None and unwashed + margin <= fabric.on_hand + EXCESS_MM:
        bought = min(bought, fabric.on_hand)
    cost = None if fabric.price is None else fabric.price * bought / fabric.price_unit
    return Purchase(
        exact=exact,
        unwashed=unwashed,
        margin=margin,
        bought=bought,
        bought_washed=bought * kept,
        cost=cost,
        currency=fabric.currency,
    )


def off_the_bolt(exact: float, fabric: Fabric, margin: float = 0.0) -> float:
    """Length (mm) that a layout takes off cloth on hand, in its own state: no shop's step applies.

    `exact` is the washed length, squared-off ends included (mm); unwashed cloth will still shrink.
    """
    kept = 1.0 if fabric.washed else 1.0 - fabric.shrink_along
    return exact / kept + margin


def longest_for_same_purchase(bought: float, fabric: Fabric, margin: float = 0.0) -> float:
    """Return the greatest washed length (mm) that is still sold as `bought`."""
    kept = 1.0 if fabric.washed else 1.0 - fabric.shrink_along
    return (bought - margin) * kept


def within_one_step(bought: float, least: float, fabric: Fabric) -> bool:
    """Whether a purchase is at most one cutting step more than the least one (both mm)."""
    return bought <= least + fabric.step + EXCESS_MM

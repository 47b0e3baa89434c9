"""From the length that a layout needs to the length that is bought and what it costs.

A purchase is rounded up once, in the unit in which that cloth is sold.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from fabrics.fabric import Fabric
from pieces.lengths import EXCESS_MM, YARD_MM, System, round_up_to_step

SHOP_STEP_MM = {System.METRIC: 100.0, System.IMPERIAL: YARD_MM / 8.0}
"""What shops cut to where the cloth does not say: 0.1 m, 1/8 yd (common practice, no source)."""

CLOSE_MM = 10.0
"""With less to spare than this a person is warned: no one cuts a whole lay that exactly."""


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
        None if nobody said a price, and for cloth on hand: that is paid already.
    currency : str
    """

    exact: float
    unwashed: float
    margin: float
    bought: float
    bought_washed: float
    cost: float | None
    currency: str

    @property
    def spare(self) -> float:
        """What is bought beyond the need, the user's margin included."""
        return self.bought - self.unwashed


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
    kept = fabric.kept_along
    unwashed = exact / kept
    bought = round_up_to_step(max(unwashed + margin, fabric.minimum), fabric.step)
    if fabric.on_hand is not None and unwashed + margin <= fabric.on_hand + EXCESS_MM:
        bought = min(bought, fabric.on_hand)
    cost = None
    if fabric.price is not None and fabric.on_hand is None:
        cost = fabric.price * bought / fabric.price_unit
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
    kept = fabric.kept_along
    return exact / kept + margin


def longest_for_same_purchase(bought: float, fabric: Fabric, margin: float = 0.0) -> float:
    """Return the greatest washed length (mm) that is still sold as `bought`."""
    kept = fabric.kept_along
    return (bought - margin) * kept


def within_one_step(bought: float, least: float, fabric: Fabric) -> bool:
    """Whether a purchase is at most one cutting step more than the least one (both mm)."""
    return bought <= least + fabric.step + EXCESS_MM


def sold_in(fabric: Fabric, system: System) -> Fabric:
    """Return a fabric as it is sold to someone who asks in these units.

    Cloth with a step of its own is sold in that whoever asks, as is cloth on hand; other cloth in
    tenths of a metre or eighths of a yard.
    """
    if fabric.own_step or fabric.on_hand is not None:
        return fabric
    return replace(
        fabric, step=SHOP_STEP_MM[system], imperial=system is System.IMPERIAL, own_step=True
    )


def longest_however_sold(exact: float, fabric: Fabric, margin: float = 0.0) -> float:
    """Return the greatest washed length (mm) that costs no more than `exact`, whoever asks.

    A search that fills what is bought anyway keeps to it, so that a layout does not depend on the
    units that figures are shown in.
    """
    forms = {sold_in(fabric, system) for system in System}
    return min(
        longest_for_same_purchase(purchase(exact, form, margin).bought, form, margin)
        for form in forms
    )

"""From the length that a layout needs to the length that is bought and what it costs."""

from __future__ import annotations

from dataclasses import dataclass


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

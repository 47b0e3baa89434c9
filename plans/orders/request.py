"""A request: what somebody asks for, as it is typed or stands in an order file, not yet looked up.

Garments and cloth are still names, files and widths here; `making` makes an order of them.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from pieces.lengths import GAP_MM, System
from plans.order import USUAL_ENDS_MM, Order

MOST_MAKES = 100
"""Of one garment, or of a whole order, from one purchase."""


@dataclass(frozen=True)
class GarmentAsked:
    """A garment by its name on the shelf or its file, in a size, how often, and what to call it.

    `cloth` is fabric by role, as in `Request`, for this garment alone.
    """

    name: str
    size: str | None = None
    count: int = 1
    called: str = ""
    cloth: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Request:
    """What is asked for. Lengths in mm.

    Attributes
    ----------
    garments : tuple of GarmentAsked
    cloth : dict of str to str
        Fabric by role, as it is typed: a name, a file, `stash:TAG` or a width. "ROLE+ROLE" lays two
        roles on one cloth; "ROLE@GARMENT" is cloth for one garment alone ("GARMENT:SIZE", too).
    measured_width : dict of str to float
        Washed width by role.
    on_hand : dict of str to (float, bool or None)
        Length that there is by role, and whether it is washed, if that is said.
    leftovers : bool
        Whether what is in the stash is used first.
    source : str
        The order file that it stands in, for messages; empty if it was typed.
    title : str
        What the order is called; empty to name its garments.

    The rest is as in `plans.order.Order`. Order files do not say how long a proof is looked for:
    what it finds depends on the machine, and no layout depends on it.
    """

    garments: tuple[GarmentAsked, ...]
    cloth: dict[str, str] = field(default_factory=dict)
    measured_width: dict[str, float] = field(default_factory=dict)
    on_hand: dict[str, tuple[float, bool | None]] = field(default_factory=dict)
    leftovers: bool = False
    fold: str = Order.fold
    makes: int = 1
    gap: float = GAP_MM
    ends: float = USUAL_ENDS_MM
    margin: float = 0.0
    effort: str = Order.effort
    seed: int = Order.seed
    members: int | None = Order.members
    leftover_size: tuple[float, float] = Order.leftover_size
    leftover_neck: float = Order.leftover_neck
    nap_optional: bool = False
    prove: float = Order.prove
    system: System = System.METRIC
    title: str = ""
    source: str = ""

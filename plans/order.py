"""What the user asked for, and what is reported while it is worked on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fabrics.fabric import Fabric
from pieces.drafting.garment import Garment
from pieces.lengths import GAP_MM, System
from plans.sketch import Sketch

USUAL_ENDS_MM = 30.0
"""Lost to squaring off both raw ends: nobody cuts quite straight (common practice, no source)."""

MOST_BESIDE_MM = 10_000.0
"""A gap, squared-off ends or a margin beyond this is a slip of a unit."""

MOST_PROVE_S = 24 * 3600
"""Seconds that a proof may take: what no day proves, no night will."""

MOST_SEED = 2**31 - 1
"""Seeds run from 0 to this."""


@dataclass(frozen=True)
class Order:
    """A garment and the cloth for each of its roles. Lengths in mm.

    Attributes
    ----------
    garment : Garment
    cloth : dict of str to Fabric
        By role. Roles with equal cloth share one layout and one purchase; two plain widths are
        told apart by their lots.
    fold : str
        Machine name of a fold, or "auto".
    makes : int
        How many of the garment are cut from one purchase.
    gap, ends, margin : float
        Distance between pieces; total length lost to squaring off the two raw ends; safety margin.
    effort : str
        "quick", "normal" or "thorough".
    seed : int
    members : int or None
        How many search together, unless only a first look is taken; as many as there are cores, at
        least two, if that is not said. The plan depends on it.
    leftover_size : (float, float)
        A leftover worth keeping holds a rectangle of these sides, either way round.
    leftover_neck : float
        Width below which what is left is parted and slivers dropped.
    nap_optional : bool
        Whether laying against the nap may be offered where cloth on hand is too short.
    prove : float
        Seconds for each fabric to search for a proof that no layout is shorter; 0 for none.
    system : System
        Units that figures for a person are given in; they never change a layout.
    """

    garment: Garment
    cloth: dict[str, Fabric]
    fold: str = "auto"
    makes: int = 1
    gap: float = GAP_MM
    ends: float = USUAL_ENDS_MM
    margin: float = 0.0
    effort: str = "normal"
    seed: int = 1
    members: int | None = None
    leftover_size: tuple[float, float] = (150.0, 150.0)
    leftover_neck: float = 50.0
    nap_optional: bool = False
    prove: float = 0.0
    system: System = System.METRIC


@dataclass(frozen=True)
class PlanProgress:
    """What is going on.

    A better layout was found: for which fabric (and its `roles`), in which fold, how long (mm), how
    it would look (`sketch` draws it when it is called), and how long a layout on cloth spread so is
    at least (`bound`, mm, worked out when it is called). Or, without a length, a stage of the work
    begins (`stage` says which), or the work goes on (`stage` is empty).
    """

    fabric: str = ""
    fold: str = ""
    length_mm: float | None = None
    stage: str = ""
    sketch: Callable[[], Sketch] | None = None
    bound: Callable[[], float] | None = None
    roles: tuple[str, ...] = ()


OnProgress = Callable[[PlanProgress], None]

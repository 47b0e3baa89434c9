"""The cells of a comparison: which cloth, in which fold, and what came of it. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fabrics.buying import SHOP_STEP_MM, purchase, sold_in
from fabrics.fabric import Fabric
from fabrics.spread import Fold
from pieces.lengths import EXCESS_MM
from pieces.outline import ring_area
from plans.folds.bound import least_bound, require_no_more
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldFailure, FoldResult, Outcome

FOLDS = tuple(Fold)
"""Every fold, in the order in which they are taught."""

NOT_REACHED = "not reached"
"""Why a cell is empty that was not looked into before the user ended it."""


@dataclass(frozen=True)
class Question:
    """One cell to be filled: the roles, cloth and gap stand in its job."""

    job: FabricJob
    fold: Fold


@dataclass(frozen=True)
class Cell:
    """What one cloth needs in one fold.

    Attributes
    ----------
    roles : tuple of str
    cloth : str
        Name of the fabric, or the plain width.
    width : float
        As bought.
    fold : Fold
    one_way : bool
    length, buy, bound : float or None
        Exact washed length, purchase, and the least length that is possible on cloth spread as
        it is there (another depth of the fold may take less); None where the cell cannot be or
        was not reached.
    waste : float or None
        Share of the bought cloth that is not pieces.
    cost : float or None
        None where nobody said a price, and for cloth on hand.
    currency : str
    reason : str
        Why it cannot be; empty otherwise.
    best : bool
        Whether nothing for these roles needs less: the least cost where all prices are known,
        else the least to buy. What is on hand is held against what is on hand.
    imperial : bool
        Whether the cloth is sold by the yard.
    step : float
        What it is sold in steps of, mm.
    effort : str
        How long was searched in this cell.
    plain : bool
        Whether the cloth is a plain width.
    on_hand : bool
        Whether there is such cloth, so that nothing is bought.
    proved : bool
        Whether no layout on cloth spread as it is there buys less (takes less of cloth on hand).
    """

    roles: tuple[str, ...]
    cloth: str
    width: float
    fold: Fold
    one_way: bool
    length: float | None = None
    buy: float | None = None
    bound: float | None = None
    waste: float | None = None
    cost: float | None = None
    currency: str = ""
    reason: str = ""
    best: bool = False
    imperial: bool = False
    step: float = 0.0
    effort: str = "quick"
    plain: bool = False
    on_hand: bool = False
    proved: bool = False

    @property
    def rivals(self) -> tuple[tuple[str, ...], bool, bool]:
        """Cells that say the same here are held against each other."""
        return self.roles, self.one_way, self.on_hand


def cell_of(question: Question, outcome: Outcome | None, proved: float = 0.0) -> Cell:
    """Work out the figures of a cell.

    `proved` is a bound (mm of cloth, without its ends) that is known besides.

    Raises
    ------
    FaultError
        If a bound exceeds the layout: a fault of ours.
    """
    job = question.job
    fabric = sold_in(job.fabric, job.system)
    empty = Cell(
        job.roles, fabric.name, fabric.width, question.fold, fabric.one_way,
        imperial=fabric.imperial, step=fabric.step, plain=fabric.plain,
        on_hand=fabric.on_hand is not None,
    )  # fmt: skip
    if outcome is None:
        return replace(empty, reason=NOT_REACHED)
    if isinstance(outcome, FoldFailure):
        return replace(empty, reason=outcome.reason)
    if outcome.needless:
        return replace(empty, reason=outcome.needless)
    bought = purchase(outcome.length + job.beyond, fabric, job.margin)
    known = least_bound(job, outcome.variant)
    require_no_more(job, outcome, known)
    bound = min(outcome.length, max(known.length, proved))  # rounding of equal figures only
    least = purchase(bound + job.beyond, fabric, job.margin)
    area = sum(ring_area(demand.whole) * demand.wanted.total for demand in outcome.demands)
    return replace(
        empty,
        length=bought.exact,
        buy=bought.bought,
        bound=bound + job.beyond,
        waste=1.0 - area / (bought.bought_washed * fabric.width_cut),
        cost=bought.cost,
        currency=bought.currency,
        proved=not _is_placed(outcome) and bought.bought <= least.bought + EXCESS_MM,
    )


def _is_placed(result: FoldResult) -> bool:
    """Whether its fold has its place, of which bounds know nothing."""
    return any(section.fold_at > 0.0 for section in result.sections)


def with_best(cells: list[Cell]) -> tuple[Cell, ...]:
    """Mark what needs least among rivals."""
    result = list(cells)
    for group in {cell.rivals for cell in cells}:
        worth = _worth(cells, group)
        least = min((value for value, _ in worth.values()), default=0.0)
        for k, (value, _) in worth.items():
            if value <= least + 1e-6:
                result[k] = replace(cells[k], best=True)
    return tuple(result)


def deciding(cells: list[Cell]) -> set[int]:
    """Cells that are the best of their group or within one cutting step (of either system) of it.

    A first look may be longer than need be by more than that; it cannot be known without a search.
    """
    result: set[int] = set()
    for group in {cell.rivals for cell in cells}:
        worth = _worth(cells, group)
        least = min((value for value, _ in worth.values()), default=0.0)
        result |= {k for k, (value, step) in worth.items() if value <= least + step + EXCESS_MM}
    return result


def _worth(
    cells: list[Cell], group: tuple[tuple[str, ...], bool, bool]
) -> dict[int, tuple[float, float]]:
    """What each cell of a group that has an answer costs, and what a cutting step does.

    Where not all have a price, what they buy (mm). A group is what is made of one set of roles in
    one direction of nap, of cloth to buy or of cloth on hand.
    """
    found = {
        k: cell for k, cell in enumerate(cells) if cell.rivals == group and cell.buy is not None
    }
    by_cost = (
        all(cell.cost is not None for cell in found.values())
        and len({cell.currency for cell in found.values()}) == 1
    )
    result = {}
    for k, cell in found.items():
        buy, step = cell.buy or 0.0, max(cell.step, *SHOP_STEP_MM.values())
        rate = (cell.cost or 0.0) / buy if by_cost and buy else 1.0
        result[k] = (rate * buy, rate * step)
    return result


def alike_but_for_width(fabric: Fabric) -> Fabric | None:
    """What two fabrics share between which a layout may be passed on, or None if it may not.

    How cloth is sold, named and coloured does not change what fits on it; a design across the cloth
    or a flaw lies elsewhere on other cloth.
    """
    if fabric.flaws or (fabric.repeat is not None and fabric.repeat.across > 0.0):
        return None
    return Fabric(
        name="", title="", width=0.0, faces_alike=fabric.faces_alike, grainless=fabric.grainless,
        faces=fabric.faces, repeat=fabric.repeat,
    )  # fmt: skip

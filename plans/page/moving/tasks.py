"""What takes longer: laying again around what is kept, and keeping a moved plan with its files."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from layout.layout import Placement
from pieces.lengths import System, format_length
from plans.by_hand.again import laid_again
from plans.by_hand.changed import changed_plan
from plans.by_hand.reopened import OpenLay
from plans.orders.asked import with_request
from plans.page.moving.state import places_of
from plans.page.moving.table import Table, opened_table
from plans.page.planning.tasks.laying import Place
from plans.page.planning.tasks.laying import kept as written
from plans.page.planning.tasks.telling import Telling
from plans.page.work.process import NothingFoundError, Tell

STILL_MM = 0.05
"""A length that is shorter by no more is no news."""


@dataclass(frozen=True)
class Wanted:
    """A lay as somebody left it: of which plan and fabric, and where its pieces lie."""

    folder: Path
    at: int
    system: System
    placements: tuple[Placement, ...]
    by_hand: tuple[bool, ...]
    shortest: float

    def opened(self) -> tuple[Table, OpenLay]:
        """The plan, read once more, and the lay; raises as `opened_table`."""
        table = opened_table(self.folder, self.at, self.system)
        lay = table.lay.put_all(dict(enumerate(self.placements)))
        return table, replace(lay, by_hand=self.by_hand, shortest=self.shortest)


def lay_again(tell: Tell, wanted: Wanted, keep: tuple[int, ...]) -> dict[str, Any]:
    """Lay everything again but what is kept; the places of all pieces.

    Raises
    ------
    NotValidError, NothingFitsError
        As `laid_again`.
    NothingFoundError
        If it was asked to end before there was any layout.
    """
    table, lay = wanted.opened()
    least = [float("inf")]

    def hear(length: float) -> None:
        if length < least[0] - STILL_MM:
            least[0] = length
            tell({"kind": "best", "words": format_length(length, wanted.system)})

    tell({"kind": "stage", "words": "laying the rest again"})
    try:
        again = laid_again(lay, keep, table.order, hear)
    except KeyboardInterrupt:
        raise NothingFoundError("ended before anything was laid; all lies as it did") from None
    return {
        "places": places_of(again),
        "by_hand": [index for index, mark in enumerate(again.by_hand) if mark],
        "kept": list(keep),
        "shortest": again.shortest,
    }


def keep_moved(
    tell: Tell, wanted: Wanted, kept: tuple[int, ...], name: str, place: Place
) -> dict[str, Any]:
    """Keep a lay as a plan of its own, with all its files.

    Raises
    ------
    NotValidError
        If it may not be cut as it lies.
    FolderError
        If the disk refuses.
    """
    table, lay = wanted.opened()
    telling = Telling(tell)
    telling.stage("working out what the plan says")
    plan = changed_plan(table.plan, {wanted.at: lay}, table.order, {wanted.at: kept})
    plan = with_request(plan, table.request, place.plans / "plan")
    return written(telling, plan, name, wanted.system, place)

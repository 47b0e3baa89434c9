"""The task of a new plan: it searches, and writes the plan into the plans folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from pieces.lengths import System
from pieces.name_length import is_numbered, with_ending
from pieces.system_words import system_words
from plans.folds.on_hand import ShortageError
from plans.orders.making import order_of
from plans.orders.planning import plan_order
from plans.orders.request import Request
from plans.outputs.folder import FolderError, write_folder
from plans.page.names import NameRefusedError, free_name, sound_name
from plans.page.planning.tasks.telling import Telling
from plans.page.surroundings import Surroundings
from plans.page.work.process import NothingFoundError, Tell, finishing
from plans.plan import Plan

WRITING = "writing the plan: PDF, pictures, report"

MOST_TRIES = 1000


@dataclass(frozen=True)
class Place:
    """Where a task finds and keeps things."""

    plans: Path
    stash: Path
    paper: str

    @classmethod
    def of(cls, surroundings: Surroundings) -> Place:
        """The place of whoever started the page."""
        return cls(surroundings.plans, surroundings.stash, surroundings.paper)


def lay(tell: Tell, request: Request, place: Place) -> dict[str, Any]:
    """Plan what is asked for; tell where the plan is, or what would help if cloth is short.

    Raises
    ------
    NothingFoundError
        If it was asked to end before anything was complete.
    PlanError, PieceError, FabricError
        As `order_of` and `plan_order`.
    """
    telling = Telling(tell)
    telling.begin(request.effort != "quick")
    found: Plan | None = None
    try:
        order = order_of(request, place.stash)
        found = plan_order(request, order, place.stash, telling.hear, folder=place.plans / "plan")
    except ShortageError as error:
        from plans.page.planning.tasks.rescuing import rescued

        return rescued(tell, error, request.system)
    except KeyboardInterrupt:
        if found is None:
            raise NothingFoundError(
                "ended before any layout was complete; nothing is written"
            ) from None
    return kept(telling, found, with_ending(order.garment.name, "-plan"), request.system, place)


def kept(telling: Telling, plan: Plan, wished: str, system: System, place: Place) -> dict[str, Any]:
    """Write a plan into a folder of its own, whoever wants no more of it meanwhile."""
    with finishing():
        telling.stage(WRITING)
        folder = claimed(place.plans, wished)
        try:
            write_folder(plan, folder, system, place.paper)
        except BaseException:
            _given_back(folder)
            raise
    go = f"/plans/{quote(folder.name)}"
    if is_numbered(folder.name, wished):
        # The view of the plan says why it is not called as was wished.
        go += f"?instead={quote(wished)}"
    return {"go": go, "name": folder.name}


def claimed(plans: Path, wished: str) -> Path:
    """Make an empty folder that nobody else can take, by this name or with a number behind it.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    try:
        name = sound_name(wished, "plan")
    except NameRefusedError:
        name = "plan"
    try:
        plans.mkdir(parents=True, exist_ok=True)
        for _ in range(MOST_TRIES):
            folder = plans / free_name(plans, name)
            try:
                folder.mkdir()
            except FileExistsError:
                continue
            return folder
    except FileExistsError as error:
        raise FolderError(
            f"{plans}: is a file, where the folder of plans should be; name another with --plans"
        ) from error
    except OSError as error:
        raise FolderError(f"{plans}: cannot be written: {system_words(error)}") from error
    raise FolderError(f"{plans}: holds too many plans called '{name}'")


def _given_back(folder: Path) -> None:
    try:
        folder.rmdir()
    except OSError:
        return

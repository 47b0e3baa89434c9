"""What a worker does with one order: it plans it, draws it, and says what came of it."""

from __future__ import annotations

import tempfile
import threading
import traceback
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from typing import Any

from fabrics.folds.errors import FabricError
from pieces.errors import PieceError
from pieces.lengths import System, format_length
from plans.answer.planner import title_of
from plans.errors import FaultError, NothingFitsError, PlansError
from plans.folds.on_hand import ShortageError
from plans.order import Order
from plans.orders.planning import AtHand, plan_with
from plans.outputs.folder import write_outputs, write_plan_file
from plans.plan import FabricPlan, Plan
from plans.words.purchase_words import sold_text

_DRAWING = threading.Lock()
"""Threads of one worker draw one after another: what draws has settings of its process."""


class State(Enum):
    """What came of an order."""

    PLANNED = "planned"
    FAULTY = "faulty order"
    NO_LAYOUT = "no layout fits"
    SHORT = "too little cloth"
    NOT_WRITTEN = "not written"
    LOST = "given up"
    FAULT = "fault in laywright"
    NOT_REACHED = "not reached"


@dataclass(frozen=True)
class OrderTask:
    """Everything that a worker needs; plain data."""

    order: Order
    stash: AtHand | None
    paper: str
    asked: dict[str, Any]
    """What the order says, as the plan will say it."""
    drawings: bool
    """Whether the plan is drawn, too; its JSON alone tells all."""


@dataclass(frozen=True)
class Cloth:
    """What one fabric of a plan comes to. Lengths in mm; `length_text` and `buy_text` in words."""

    fabric: str
    roles: tuple[str, ...]
    fold: str
    width: float
    length: float
    buy: float
    cost: float | None
    currency: str
    imperial: bool
    length_text: str
    buy_text: str
    on_hand: bool = False
    """Whether it is there already, so that nothing of it is bought."""


@dataclass(frozen=True)
class Answer:
    """What came of an order, with the files of its plan by name."""

    state: State
    title: str = ""
    reason: str = ""
    cloths: tuple[Cloth, ...] = ()
    files: tuple[tuple[str, bytes], ...] = ()
    trace: str = ""
    """Where a fault of ours happened."""


def answer_order(task: OrderTask) -> Answer:
    """Plan an order; nothing that goes wrong with it goes further than its answer."""
    title = title_of(task.order.garment)
    try:
        plan = replace(plan_with(task.order, task.stash), asked=task.asked)
        if plan.interrupted:
            return Answer(State.NOT_REACHED, title)
        cloths = tuple(_cloth(entry, task.order.system) for entry in plan.fabrics)
        return Answer(State.PLANNED, title, cloths=cloths, files=_files(plan, task))
    except ShortageError as error:
        return Answer(State.SHORT, title, f"{error}\nlaywright plan tells what would help")
    except NothingFitsError as error:
        return Answer(State.NO_LAYOUT, title, str(error))
    except FaultError as error:
        return Answer(State.FAULT, title, str(error), trace=traceback.format_exc())
    except (PieceError, FabricError, PlansError) as error:
        return Answer(State.FAULTY, title, str(error))
    except Exception as error:
        reason = f"{type(error).__name__}: {error}"
        return Answer(State.FAULT, title, reason, trace=traceback.format_exc())


def _cloth(entry: FabricPlan, system: System) -> Cloth:
    return Cloth(
        fabric=entry.fabric.name,
        roles=entry.roles,
        fold=entry.fold.value,
        width=entry.fabric.width,
        length=entry.length,
        buy=entry.purchase.bought,
        cost=entry.purchase.cost,
        currency=entry.purchase.currency,
        imperial=entry.fabric.imperial,
        length_text=format_length(entry.length, system),
        buy_text=sold_text(entry, entry.purchase.bought, system),
        on_hand=entry.fabric.on_hand is not None,
    )


def _files(plan: Plan, task: OrderTask) -> tuple[tuple[str, bytes], ...]:
    """Write the plan's folder somewhere and take it along: no folder may be shared with us."""
    with tempfile.TemporaryDirectory(prefix="laywright-") as name:
        folder = Path(name)
        if task.drawings:
            with _DRAWING:
                write_outputs(plan, folder, task.order.system, task.paper)
        else:
            write_plan_file(plan, folder)
        return tuple((path.name, path.read_bytes()) for path in sorted(folder.iterdir()))

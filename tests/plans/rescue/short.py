"""Garments of rectangles on cloth that is too short: what would help is known by hand."""

from __future__ import annotations

import pytest

from fabrics.fabric import Fabric
from fabrics.spread import Fold
from pieces.drafting.garment import Garment
from plans.answer.planner import plan_garment
from plans.folds.on_hand import Shortage, ShortageError, needed
from plans.order import Order
from plans.rescue.changes.change import Attempt
from plans.rescue.changes.ideas import ideas_for
from plans.rescue.rescue import Rescue, rescue
from plans.rescue.trial import Trial, try_idea
from tests.plans.rectangles import INCH, rectangle


def only(garment: Garment, cloth: Fabric, kind: type, **more: object) -> tuple[Rescue, Trial]:
    """Try the one idea of a kind by itself, in a single layer; as if nothing else were tried."""
    one = shortage(garment, cloth, **{"fold": "open", **more})
    (idea,) = (idea for idea in ideas_for(one) if isinstance(idea.steps[-1], kind))
    trial = try_idea(Attempt(one.job, (Fold.OPEN,)), idea)
    before = needed(one.job, one.best)
    return Rescue(one, (trial,), None, before, 1, 0, False), trial


def bolt(width: float, length: float, **more: object) -> Fabric:
    """So much cloth (mm), usable to both edges."""
    return Fabric(
        name="cloth", title="cloth", width=width, selvage=0.0, faces_alike=True, step=10.0,
        on_hand=length, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def mm(name: str, along: float, across: float, count: int = 1):  # type: ignore[no-untyped-def]
    """A rectangle in mm."""
    return rectangle(name, along / INCH, across / INCH, count)


def shortage(garment: Garment, cloth: Fabric, **more: object) -> Shortage:
    """The one shortage of an order that does not fit."""
    settings: dict[str, object] = {"effort": "quick", "gap": 0.0, "ends": 0.0, **more}
    with pytest.raises(ShortageError) as caught:
        plan_garment(Order(garment, {"cloth": cloth}, **settings))  # type: ignore[arg-type]
    (one,) = caught.value.shortages
    return one


def answer(garment: Garment, cloth: Fabric, **more: object) -> Rescue:
    """What would help an order that does not fit."""
    return rescue(shortage(garment, cloth, **more))


def told(found: Rescue, words: str) -> Trial:
    """The idea whose words hold these; exactly one does."""
    system = found.shortage.job.system
    (trial,) = (
        trial
        for trial in found.trials
        if len(trial.changes) == 1 and words in trial.changes[0].words(system)
    )
    return trial
